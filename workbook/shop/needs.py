"""The materials one knife takes besides steel: handle material, fittings, pins and bolts for its holes, and consumables."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from workbook.shop.materials import Material, MaterialKind
from workbook.template.fittings import between_scales, bolster_of, guard_of, lean, liner_of, scale_front
from workbook.template.model import Purpose
from workbook.template.shape import Shape
from workbook.texts import _

_KINDS = {Purpose.PIN: MaterialKind.PIN, Purpose.BOLT: MaterialKind.BOLT, Purpose.LANYARD: MaterialKind.TUBE}
_SAME = 0.06  # mm by which a pin may differ from the size a hole is for, and a fitting's material from its thickness
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


def uses(
    blank: Shape, handle: Material | None, materials: Sequence[Material], sheath: Use | None = None
) -> tuple[tuple[Use, ...], tuple[Missing, ...]]:
    """The materials one knife takes, and what none was found for. `handle`: that of its scales, None where none is chosen;
    `sheath`: what its sheath takes, where it has one.
    """
    items: list[Use] = []
    if handle is not None:
        items.append(Use(material=handle, amount=handle.knife or 1.0, why=_("handle")))
    missing: list[Missing] = []
    for need in _fittings(blank):
        own = [m for m in materials if all(word in m.name.casefold() for word in need.made_of.casefold().split())]
        material = _fitting(own, need.kind, need.size)
        if material is None:
            missing.append(Missing(kind=need.kind, size=need.size, count=need.count))
        else:
            items.append(Use(material=material, amount=_of_fitting(material, need), why=_("on the handle")))
    for (purpose, size), count in _fasteners(blank).items():
        material = _fitting(materials, _KINDS[purpose], size)
        if material is None:
            missing.append(Missing(kind=_KINDS[purpose], size=size, count=count))
        else:
            items.append(
                Use(material=material, amount=count * _of_one(blank, material), why=_("{count} in the tang", count=count))
            )
    return (*items, *([sheath] if sheath else []), *_used_up(materials)), tuple(missing)


def sheath_use(material: Material, area: float) -> Use:
    """What a sheath takes: its share of a sheet whose sizes are given, else what a knife is said to take, else one. Area mm2."""
    sheet = material.width * material.length
    return Use(material=material, amount=area / sheet if sheet > 0 and area > 0 else material.knife or 1.0, why=_("its sheath"))


class _Fitting(Struct, frozen=True, kw_only=True):
    """A guard, or a pair of bolsters or liners: thickness, length and height to saw one from, mm."""

    kind: MaterialKind
    made_of: str
    size: float
    long: float
    tall: float
    count: int


def _fittings(blank: Shape) -> Iterator[_Fitting]:
    """The guard, bolsters and liners of a knife."""
    template = blank.template
    if template is None:
        return
    handle, own = template.handle, template.fittings
    if guard_of(template) > 0:
        yield _Fitting(kind=MaterialKind.GUARD, made_of=own.guard_material, size=own.guard, long=own.guard_height,
                       tall=own.guard_width, count=1)  # fmt: skip
    if bolster_of(template) > 0:
        yield _Fitting(kind=MaterialKind.BOLSTER, made_of=own.bolster_material, size=own.bolster_thickness,
                       long=own.bolster + lean(handle), tall=handle.front + 2 * TRIM, count=2)  # fmt: skip
    if liner_of(template) > 0:
        yield _Fitting(kind=MaterialKind.LINER, made_of=own.liner_material, size=own.liner,
                       long=handle.length + scale_front(template) + lean(handle),
                       tall=max(handle.front, handle.palm, handle.butt) + 2 * TRIM, count=2)  # fmt: skip


def _of_fitting(material: Material, need: _Fitting) -> float:
    """The amount that fittings take: their share of a sheet, or of a bar or strip whose length is given, else what a knife is
    said to take. Without any, one guard, or one pair of bolsters or liners.
    """
    if material.width > 0 and material.length > 0:
        return need.count * need.long * need.tall / (material.width * material.length)
    if material.length > 0:
        return need.count * max(need.long, need.tall) / material.length
    return material.knife or 1.0


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
    between = between_scales(blank.template, blank.thickness)
    return (2 * blank.template.handle.scale_thickness + between + 2 * TRIM) / material.length


def _used_up(materials: Iterable[Material]) -> Iterator[Use]:
    """The consumables every knife takes: glue, belts, finish."""
    fittings = (MaterialKind.GUARD, MaterialKind.BOLSTER, MaterialKind.LINER, MaterialKind.SHEATH)
    counted = (MaterialKind.HANDLE, *_KINDS.values(), *fittings)
    for material in materials:
        if material.knife > 0 and material.kind not in counted:
            of_starts = material.kind is MaterialKind.ABRASIVE
            yield Use(material=material, amount=material.knife, why=_("used up"), of_starts=of_starts)
