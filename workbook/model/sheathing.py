"""The sheath of a knife: its pattern for the blade in hand, and what it takes of a material."""

from collections.abc import Iterator
from functools import lru_cache
from typing import TYPE_CHECKING

from workbook.document.document import Document
from workbook.document.records import MaterialRecord
from workbook.document.shop_records import OrderLine, PieceRecord
from workbook.later import modules
from workbook.model.model import Model
from workbook.problems import JobError, Mistake
from workbook.sheath.rules import SheathRules
from workbook.shop.in_hand import InHand
from workbook.shop.materials import Material, MaterialKind
from workbook.shop.needs import Use, sheath_use
from workbook.template.shape import Shape
from workbook.texts import _
from workbook.units import show

if TYPE_CHECKING:
    from workbook.sheath import amount, pattern, room
else:
    amount, pattern, room = modules("sheath.amount", "sheath.pattern", "sheath.room")


_SAME = 0.25  # mm by which a sheath's material may differ from what is drawn


@lru_cache(maxsize=64)
def _pattern(blank: Shape, bar: float, rules: SheathRules) -> "pattern.SheathPattern | str":
    """The pattern, or why there is none."""
    if blank.template is None:
        return _("an imported outline has no handle. A sheath can be drawn for a template made from a family.")
    try:
        return pattern.sheath_pattern(blank, bar, rules)
    except pattern.NoSheath as trouble:
        return _("{trouble}.", trouble=trouble)


@lru_cache(maxsize=64)
def _rectangles(blank: Shape, bar: float, rules: SheathRules) -> "tuple[amount.Rectangle, ...]":
    """The sizes that the pieces of a sheath are cut from, mm, the largest first; none where none can be drawn."""
    return () if blank.template is None else tuple(amount.rectangles(room.room_for(blank, bar, rules), rules))


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


def handle_name(document: Document, piece: PieceRecord) -> str:
    """What a blade's handle is of; "" while it has none."""
    material = material_of(document, piece.handle)
    return material.name if material is not None else ""


def sheath_of(document: Document, model: Model, line: OrderLine) -> Use | None:
    """What the sheath of one knife of a line takes; None without one, or where its material is none for sheaths."""
    material = material_of(document, line.sheath)
    if material is None or material.kind is not MaterialKind.SHEATH:
        return None
    return sheath_use(material, sum(long * across for long, across in _pieces(model, line)))


def _pieces(model: Model, line: OrderLine) -> "tuple[amount.Rectangle, ...]":
    return _rectangles(model.shapes[line.of], model.in_hand(line.of).thickness, model.job.sheath)


def sheath_doubts(document: Document, model: Model, line: OrderLine) -> Iterator[str]:
    """Why the sheath of a line, as it is counted, cannot be made, in words."""
    material = material_of(document, line.sheath)
    if material is None:
        return
    if material.kind is not MaterialKind.SHEATH:
        yield _("The sheath is not counted: {name} is not a material for sheaths.", name=material.name)
        return
    rules, unit = model.job.sheath, model.job.unit
    if material.size and abs(material.size - rules.thickness) > _SAME:
        yield _(
            "{name} is {own} thick, but sheaths are drawn for {drawn}. See Settings.",
            name=material.name,
            own=f"{show(material.size, unit, fine=True)} {unit}",
            drawn=f"{show(rules.thickness, unit, fine=True)} {unit}",
        )
    pieces, sheet = _pieces(model, line), sorted((material.width, material.length))
    if pieces and sheet[0] > 0 and any(side > room for side, room in zip(sorted(pieces[0]), sheet, strict=True)):
        sides = " × ".join(show(side, unit) for side in pieces[0]) + f" {unit}"
        yield _("A sheet of {name} is too small for the largest piece: {sides}.", name=material.name, sides=sides)
