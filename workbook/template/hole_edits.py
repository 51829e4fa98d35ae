"""Holes changed one by one: added, moved, taken out, and the tang filled with lightening holes.

A template whose holes came from patterns has them one by one from then on, each where the pattern put it.
"""

import itertools
from collections.abc import Sequence
from math import hypot, inf

from workbook.structs import replace
from workbook.template.handle import middle
from workbook.template.holes import LETTERS, Hole, filled
from workbook.template.model import HolePattern, HoleWish, Purpose, Template
from workbook.template.shape import Shape
from workbook.texts import _

_WIDER = 0.4  # mm a hole in the tang may be drilled wider than what it takes (holes.py)
_ENDS = 12.0  # mm from handle front and butt within which no hole is put by itself
_MOST = 99


class NoRoomError(ValueError):
    """A tang has no room for one more hole."""


def wishes_of(blank: Shape) -> tuple[HoleWish, ...]:
    """The holes one by one, as they are placed now, from the handle front to the butt."""
    return tuple(HoleWish(purpose=h.purpose, size=h.size, x=h.centre[0], y=h.centre[1]) for h in blank.holes)


def with_hole(blank: Shape, purpose: Purpose, size: float, web: float) -> Template:
    """One more hole on the middle line, in the widest room between those there and the ends of the handle.

    Where that leaves less than `web` of steel beside one that carries load, lightening holes make way for it. NoRoomError where
    none of it is wide enough.
    """
    template = _of(blank)
    wish = _in_widest_room(template, blank.holes, purpose, size)
    if purpose is not Purpose.EPOXY and any(_steel(hole, wish) < web for hole in blank.holes):
        carrying = [hole for hole in blank.holes if hole.purpose is not Purpose.EPOXY]
        wish = _in_widest_room(template, carrying, purpose, size)
        if any(_steel(hole, wish) < web for hole in carrying):
            raise NoRoomError(_("Between the holes there is no room for one more"))
        stays = [h.purpose is not Purpose.EPOXY or _steel(h, wish) >= web for h in blank.holes]
        kept = tuple(itertools.compress(wishes_of(blank), stays))
        return replace(template, holes=_ordered((*kept, wish)))
    if any(_steel(hole, wish) < 0 for hole in blank.holes):
        raise NoRoomError(_("Between the holes there is no room for one more"))
    return replace(template, holes=_ordered((*wishes_of(blank), wish)))


def _in_widest_room(template: Template, holes: Sequence[Hole], purpose: Purpose, size: float) -> HoleWish:
    """A hole half-way along the widest room between some holes and the ends of the handle."""
    spans = sorted((h.centre[0] - h.diameter / 2, h.centre[0] + h.diameter / 2) for h in holes)
    ends = [(-inf, -template.handle.length + _ENDS), *spans, (-_ENDS, inf)]
    (_, left), (right, _) = max(itertools.pairwise(ends), key=lambda pair: pair[1][0] - pair[0][1])
    x = (left + right) / 2
    return HoleWish(purpose=purpose, size=size, x=x, y=middle(template.handle, x))


def _steel(hole: Hole, wish: HoleWish) -> float:
    """Left between a hole and one that is wished for, drilled as wide as it may have to be, mm."""
    return hypot(hole.centre[0] - wish.x, hole.centre[1] - wish.y) - (hole.diameter + wish.size + _WIDER) / 2


def without_hole(blank: Shape, mark: str) -> Template:
    """A hole less."""
    kept = tuple(w for w, h in zip(wishes_of(blank), blank.holes, strict=True) if h.mark != mark)
    return replace(_of(blank), holes=kept)


def with_changed(blank: Shape, mark: str, **changes: object) -> Template:
    """A hole with another purpose, size, x or y."""
    made = tuple(
        replace(w, **changes) if h.mark == mark else w  # type: ignore[arg-type]
        for w, h in zip(wishes_of(blank), blank.holes, strict=True)
    )
    return replace(_of(blank), holes=_ordered(made))


def mark_of(wishes: Sequence[HoleWish], index: int) -> str:
    """What a hole is called among some, counted from the handle front (holes.py)."""
    own = wishes[index]
    ordered = sorted(range(len(wishes)), key=lambda i: -wishes[i].x)
    before = [i for i in ordered[: ordered.index(index)] if wishes[i].purpose is own.purpose]
    return f"{LETTERS[own.purpose]}{len(before) + 1}"


def mark_after(blank: Shape, mark: str, **changes: object) -> str:
    """What a hole is called once it is changed so: one that passes another is called otherwise."""
    index = next(i for i, hole in enumerate(blank.holes) if hole.mark == mark)
    wishes = list(wishes_of(blank))
    wishes[index] = replace(wishes[index], **changes)  # type: ignore[arg-type]
    return mark_of(wishes, index)


def lightened(blank: Shape, size: float, web: float) -> Template:
    """The room between the holes that carry load filled with holes of a size, `web` of steel left beside each."""
    template = _of(blank)
    both = zip(wishes_of(blank), blank.holes, strict=True)
    carrying = [(wish, replace(wish, size=hole.diameter)) for wish, hole in both if wish.purpose is not Purpose.EPOXY]
    pattern = HolePattern(purpose=Purpose.EPOXY, size=size, count=_MOST, fill=True, web=web)
    found = filled(template, pattern, [as_drilled for _, as_drilled in carrying])
    return replace(template, holes=_ordered((*(wish for wish, _ in carrying), *found)))


def _ordered(wishes: tuple[HoleWish, ...]) -> tuple[HoleWish, ...]:
    """From the handle front to the butt, as their marks count."""
    return tuple(sorted(wishes, key=lambda wish: -wish.x))


def _of(blank: Shape) -> Template:
    if blank.template is None:
        raise ValueError(_("{name} came from a file; its holes are fixed", name=blank.name))
    return blank.template
