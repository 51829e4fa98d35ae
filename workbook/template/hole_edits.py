"""Edits of single holes: add, move and remove them, and fill the tang with lightening holes.

After an edit the holes of a template's patterns are listed one by one, each where its pattern put it.
"""

import itertools
from collections.abc import Sequence
from math import hypot, inf

from workbook.geometry.path import Point
from workbook.structs import replace
from workbook.template.handle import middle
from workbook.template.hole_places import Datum, point_at, reading
from workbook.template.holes import LETTERS, Hole, filled
from workbook.template.model import HolePattern, HoleWish, Purpose, Template
from workbook.template.shape import Shape
from workbook.texts import _

_WIDER = 0.4  # mm a hole in the tang may be drilled wider than what goes through it (holes.py)
_ENDS = 12.0  # mm from handle front and butt within which no hole is placed automatically
_MOST = 99


class NoRoomError(ValueError):
    """A tang has no room for one more hole."""


def wishes_of(blank: Shape) -> tuple[HoleWish, ...]:
    """The holes one by one, as they are now placed, from the handle front to the butt."""
    return tuple(HoleWish(purpose=h.purpose, size=h.size, x=h.centre[0], y=h.centre[1]) for h in blank.holes)


def with_hole(blank: Shape, purpose: Purpose, size: float, web: float) -> Template:
    """Add a hole on the middle line, in the widest room between the other holes and the ends of the handle.

    Where that leaves less than `web` mm of steel beside a new hole that carries load, lightening holes make way for it. Raises
    NoRoomError where no room is wide enough.
    """
    template = _of(blank)
    wish = _in_widest_room(template, blank.holes, purpose, size)
    if purpose is not Purpose.EPOXY and any(_steel(hole, wish) < web for hole in blank.holes):
        carrying = [hole for hole in blank.holes if hole.purpose is not Purpose.EPOXY]
        wish = _in_widest_room(template, carrying, purpose, size)
        if any(_steel(hole, wish) < web for hole in carrying):
            raise NoRoomError(_("There is no room for another hole between the holes"))
        keep = [h.purpose is not Purpose.EPOXY or _steel(h, wish) >= web for h in blank.holes]
        remaining = tuple(itertools.compress(wishes_of(blank), keep))
        return replace(template, holes=_ordered((*remaining, wish)))
    if any(_steel(hole, wish) < 0 for hole in blank.holes):
        raise NoRoomError(_("There is no room for another hole between the holes"))
    return replace(template, holes=_ordered((*wishes_of(blank), wish)))


def _in_widest_room(template: Template, holes: Sequence[Hole], purpose: Purpose, size: float) -> HoleWish:
    """A hole half-way along the widest room between some holes and the ends of the handle."""
    spans = sorted((h.centre[0] - h.diameter / 2, h.centre[0] + h.diameter / 2) for h in holes)
    ends = [(-inf, -template.handle.length + _ENDS), *spans, (-_ENDS, inf)]
    (_, left), (right, _) = max(itertools.pairwise(ends), key=lambda pair: pair[1][0] - pair[0][1])
    x = (left + right) / 2
    return HoleWish(purpose=purpose, size=size, x=x, y=middle(template.handle, x))


def _steel(hole: Hole, wish: HoleWish) -> float:
    """Steel left between a hole and a requested one, drilled as wide as it may have to be, mm."""
    return hypot(hole.centre[0] - wish.x, hole.centre[1] - wish.y) - (hole.diameter + wish.size + _WIDER) / 2


def with_hole_at(blank: Shape, purpose: Purpose, size: float, point: Point) -> Template:
    """Add a hole at a point."""
    wish = HoleWish(purpose=purpose, size=size, x=point[0], y=point[1])
    return replace(_of(blank), holes=_ordered((*wishes_of(blank), wish)))


def copied(blank: Shape, mark: str, datum: Datum, web: float) -> tuple[Template, Point]:
    """Add a second hole like one of them, with `web` of steel between: behind it, or in front where the handle ends.

    It reads the same across. Return the template and the point of the new hole. Raises KeyError for an unknown mark.
    """
    hole = _named(blank, mark)
    step = hole.diameter + web
    x = hole.centre[0] - step
    if x < -_of(blank).handle.length + step:
        x = hole.centre[0] + step
    point = _at(blank, x, hole, datum)
    return with_hole_at(blank, hole.purpose, hole.size, point), point


def mirrored(blank: Shape, mark: str, datum: Datum) -> tuple[Template, Point]:
    """Add a second hole like one of them, as far from the butt as that one lies behind the handle front.

    It reads the same across. Return the template and the point of the new hole. Raises KeyError for an unknown mark.
    """
    hole = _named(blank, mark)
    point = _at(blank, -_of(blank).handle.length - hole.centre[0], hole, datum)
    return with_hole_at(blank, hole.purpose, hole.size, point), point


def spread(blank: Shape, purpose: Purpose, datum: Datum) -> Template:
    """Space the holes of a purpose evenly between the first and the last; each reads the same across as before."""
    own = [hole for hole in blank.holes if hole.purpose is purpose]
    first, last = own[0].centre[0], own[-1].centre[0]
    steps = max(len(own) - 1, 1)
    places = {h.mark: _at(blank, first + (last - first) * n / steps, h, datum) for n, h in enumerate(own)}
    wishes = zip(wishes_of(blank), blank.holes, strict=True)
    placed = [replace(w, x=places[h.mark][0], y=places[h.mark][1]) if h.mark in places else w for w, h in wishes]
    return replace(_of(blank), holes=_ordered(tuple(placed)))


def _named(blank: Shape, mark: str) -> Hole:
    return {hole.mark: hole for hole in blank.holes}[mark]


def _at(blank: Shape, x: float, hole: Hole, datum: Datum) -> Point:
    """The point at x that reads the same across as a hole."""
    along = reading(blank, (x, 0.0), datum)[0]
    return point_at(blank, (along, reading(blank, hole.centre, datum)[1]), datum)


def without_hole(blank: Shape, mark: str) -> Template:
    """Remove a hole."""
    remaining = tuple(w for w, h in zip(wishes_of(blank), blank.holes, strict=True) if h.mark != mark)
    return replace(_of(blank), holes=remaining)


def with_changed(blank: Shape, mark: str, **changes: object) -> Template:
    """Change a hole's purpose, size, x or y."""
    wishes = tuple(
        replace(w, **changes) if h.mark == mark else w  # type: ignore[arg-type]
        for w, h in zip(wishes_of(blank), blank.holes, strict=True)
    )
    return replace(_of(blank), holes=_ordered(wishes))


def mark_of(wishes: Sequence[HoleWish], index: int) -> str:
    """The mark of one of several holes, counted from the handle front (holes.py)."""
    wish = wishes[index]
    ordered = sorted(range(len(wishes)), key=lambda i: -wishes[i].x)
    before = [i for i in ordered[: ordered.index(index)] if wishes[i].purpose is wish.purpose]
    return f"{LETTERS[wish.purpose]}{len(before) + 1}"


def mark_after(blank: Shape, mark: str, **changes: object) -> str:
    """The mark of a hole after a change: another one where it passes another hole."""
    index = next(i for i, hole in enumerate(blank.holes) if hole.mark == mark)
    wishes = list(wishes_of(blank))
    wishes[index] = replace(wishes[index], **changes)  # type: ignore[arg-type]
    return mark_of(wishes, index)


def lightened(blank: Shape, size: float, web: float) -> Template:
    """Fill the room between the holes that carry load with holes of a size, leaving `web` mm of steel beside each."""
    template = _of(blank)
    pairs = zip(wishes_of(blank), blank.holes, strict=True)
    carrying = [(wish, replace(wish, size=hole.diameter)) for wish, hole in pairs if wish.purpose is not Purpose.EPOXY]
    pattern = HolePattern(purpose=Purpose.EPOXY, size=size, count=_MOST, fill=True, web=web)
    filling = filled(template, pattern, [as_drilled for _, as_drilled in carrying])
    return replace(template, holes=_ordered((*(wish for wish, _ in carrying), *filling)))


def _ordered(wishes: tuple[HoleWish, ...]) -> tuple[HoleWish, ...]:
    """The holes from the handle front to the butt, in the order of their marks."""
    return tuple(sorted(wishes, key=lambda wish: -wish.x))


def _of(blank: Shape) -> Template:
    if blank.template is None:
        raise ValueError(_("{name} is an imported outline. Its holes are fixed", name=blank.name))
    return blank.template
