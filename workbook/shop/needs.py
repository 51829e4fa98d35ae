"""What a knife takes besides steel: its handle material, pins and bolts by its holes, what is used up on each."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from workbook.shop.materials import Material, MaterialKind
from workbook.template.model import Purpose
from workbook.template.shape import Shape
from workbook.texts import _

_KINDS = {Purpose.PIN: MaterialKind.PIN, Purpose.BOLT: MaterialKind.BOLT, Purpose.LANYARD: MaterialKind.TUBE}
_SAME = 0.06  # mm by which a pin may differ from the size a hole is for
TRIM = 3.0  # mm of a rod that stand out on either side and are ground off: common practice, no source


class Use(Struct, frozen=True, kw_only=True):
    """So much of a material for one knife. `of_starts`: it is used up on every blank started, also on one that is lost."""

    material: Material
    amount: float
    why: str
    of_starts: bool = False


class Missing(Struct, frozen=True, kw_only=True):
    """Something a knife takes that no material in stock stands for: it is not counted."""

    kind: MaterialKind
    size: float  # mm, 0: none
    count: int


def uses(blank: Shape, handle: Material | None, materials: Sequence[Material]) -> tuple[tuple[Use, ...], tuple[Missing, ...]]:
    """What one knife takes, and what no material was found for. `handle`: that of its scales, None where none is chosen."""
    found: list[Use] = []
    if handle is not None:
        found.append(Use(material=handle, amount=handle.knife or 1.0, why="handle"))
    missing: list[Missing] = []
    for (purpose, size), count in _fasteners(blank).items():
        fits = _fitting(materials, _KINDS[purpose], size)
        if fits is None:
            missing.append(Missing(kind=_KINDS[purpose], size=size, count=count))
        else:
            found.append(Use(material=fits, amount=count * _of_one(blank, fits), why=_("{count} in the tang", count=count)))
    return (*found, *_used_up(materials)), tuple(missing)


def _fasteners(blank: Shape) -> Counter[tuple[Purpose, float]]:
    """How many of each kind and size go through the tang; holes of an outline from a file are for nothing known."""
    if blank.template is None:
        return Counter()
    return Counter((hole.purpose, hole.size) for hole in blank.holes if hole.purpose in _KINDS)


def _fitting(materials: Sequence[Material], kind: MaterialKind, size: float) -> Material | None:
    """The first of a kind and size; what lies there goes before what does not."""
    same = [m for m in materials if m.kind is kind and abs(m.size - size) <= _SAME]
    return min(same, key=lambda m: m.have <= 0, default=None)


def _of_one(blank: Shape, material: Material) -> float:
    """What one hole takes of it: a piece as long as the handle is thick where it comes as a rod, else one."""
    if material.length <= 0 or blank.template is None:
        return 1.0
    return (2 * blank.template.handle.scale_thickness + blank.thickness + 2 * TRIM) / material.length


def _used_up(materials: Iterable[Material]) -> Iterator[Use]:
    """What every knife takes some of: glue, belts, finish."""
    counted = (MaterialKind.HANDLE, *_KINDS.values())
    for material in materials:
        if material.knife > 0 and material.kind not in counted:
            of_starts = material.kind is MaterialKind.ABRASIVE
            yield Use(material=material, amount=material.knife, why=_("used up"), of_starts=of_starts)
