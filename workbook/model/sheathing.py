"""The sheath of a knife: its pattern for the blade in hand, and what it takes of a material."""

from functools import lru_cache
from typing import TYPE_CHECKING

from workbook.document.document import Document
from workbook.document.records import MaterialRecord
from workbook.document.shop_records import OrderLine
from workbook.later import modules
from workbook.model.model import Model
from workbook.problems import JobError, Mistake
from workbook.sheath.rules import SheathRules
from workbook.shop.in_hand import InHand
from workbook.shop.materials import Material
from workbook.shop.needs import Use, sheath_use
from workbook.template.shape import Shape
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.sheath import amount, pattern, room
else:
    amount, pattern, room = modules("sheath.amount", "sheath.pattern", "sheath.room")


@lru_cache(maxsize=64)
def _pattern(blank: Shape, bar: float, rules: SheathRules) -> "pattern.SheathPattern | str":
    """The pattern, or why there is none."""
    if blank.template is None:
        return _("an outline from a file has no handle: a sheath can be drawn for a template of a family.")
    try:
        return pattern.sheath_pattern(blank, bar, rules)
    except ValueError as trouble:
        return f"{trouble}."


@lru_cache(maxsize=64)
def _area(blank: Shape, bar: float, rules: SheathRules) -> float:
    """The material of a sheath, mm2; 0 where none can be drawn."""
    return 0.0 if blank.template is None else amount.sheet_area(room.room_for(blank, bar, rules), rules)


def sheath_for(model: Model, key: str, bar: InHand) -> "pattern.SheathPattern":
    """The pattern of a template's sheath for blades of a bar. Raises JobError where none can be drawn."""
    blank = model.shapes[key]
    found = _pattern(blank, bar.thickness, model.job.sheath)
    if isinstance(found, str):
        raise JobError([Mistake(place=_("sheath of {name}", name=blank.name), what=found)])
    return found


def material_of(document: Document, id: str) -> Material | None:  # noqa: A002
    """The material with an id, if there is one."""
    record = document.records.get(id)
    return record.material if isinstance(record, MaterialRecord) else None


def sheath_of(document: Document, model: Model, line: OrderLine) -> Use | None:
    """What the sheath of one knife of a line takes; None without one."""
    material = material_of(document, line.sheath)
    if material is None:
        return None
    return sheath_use(material, _area(model.shapes[line.of], model.in_hand(line.of).thickness, model.job.sheath))
