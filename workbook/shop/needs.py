"""The materials one knife takes besides steel: its handle material, pins and bolts for its holes, and consumables."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from workbook.shop.materials import Material, MaterialKind
from workbook.template.model import Purpose
from workbook.template.shape import Shape
from workbook.texts import _

_KINDS = {Purpose.PIN: MaterialKind.PIN, Purpose.BOLT: MaterialKind.BOLT, Purpose.LANYARD: MaterialKind.TUBE}
_SAME = 0.06  # mm by which a pin may differ from the size a hole is for
TRIM = 3.0  # mm of a rod that stand proud on either side and are ground off: common practice, no source


class Use(Struct, frozen=True, kw_only=True):
    """The amount of a material for one knife. `of_starts`: it is used on every blank started, even one that is lost."""

    material: Material
    amount: float
    why: str
    of_starts: bool = False


class Missing(Struct, frozen=True, kw_only=True):
    """Something a knife takes for which there is no material in stock; it is not counted."""

    kind: MaterialKind
    size: float  # mm, 0: none
    count: int


def uses(blank: Shape, handle: Material | None, materials: Sequence[Material]) -> tuple[tuple[Use, ...], tuple[Missing, ...]]:
    """The materials one knife takes, and what none was found for. `handle`: that of its scales, None where none is chosen."""
    items: list[Use] = []
    if handle is not None:
        items.append(Use(material=handle, amount=handle.knife or 1.0, why="handle"))
    missing: list[Missing] = []
    for (purpose, size), count in _fasteners(blank).items():
        material = _fitting(materials, _KINDS[purpose], size)
        if material is None:
            missing.append(Missing(kind=_KINDS[purpose], size=size, count=count))
        else:
            items.append(
                Use(material=material, amount=count * _of_one(blank, material), why=_("{count} in the tang", count=count))
            )
    return (*items, *_used_up(materials)), tuple(missing)


def _fasteners(blank: Shape) -> Counter[tuple[Purpose, float]]:
    """Count the fasteners through the tang by kind and size; the purpose of holes in an outline from a file is not known."""
    if blank.template is None:
        return Counter()
    return Counter((hole.purpose, hole.size) for hole in blank.holes if hole.purpose in _KINDS)


def _fitting(materials: Sequence[Material], kind: MaterialKind, size: float) -> Material | None:
    """The first material of a kind and size; those in stock come first."""
    matches = [m for m in materials if m.kind is kind and abs(m.size - size) <= _SAME]
    return min(matches, key=lambda m: m.have <= 0, default=None)


def _of_one(blank: Shape, material: Material) -> float:
    """The amount one hole takes: of a rod, a piece as long as the handle is thick, else one."""
    if material.length <= 0 or blank.template is None:
        return 1.0
    return (2 * blank.template.handle.scale_thickness + blank.thickness + 2 * TRIM) / material.length


def _used_up(materials: Iterable[Material]) -> Iterator[Use]:
    """The consumables every knife takes: glue, belts, finish."""
    counted = (MaterialKind.HANDLE, *_KINDS.values())
    for material in materials:
        if material.knife > 0 and material.kind not in counted:
            of_starts = material.kind is MaterialKind.ABRASIVE
            yield Use(material=material, amount=material.knife, why=_("used up"), of_starts=of_starts)
