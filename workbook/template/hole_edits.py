"""Holes changed one by one: added, moved, taken out, and the tang filled with lightening holes.

A template whose holes came from patterns has them one by one from then on, each where the pattern put it.
"""

import itertools
from dataclasses import replace

from workbook.template.handle import middle
from workbook.template.holes import filled
from workbook.template.model import HolePattern, HoleWish, Purpose, Template
from workbook.template.shape import Shape

_ENDS = 12.0  # mm from handle front and butt within which no hole is put by itself
_MOST = 99


def wishes_of(blank: Shape) -> tuple[HoleWish, ...]:
    """The holes one by one, as they are placed now, from the handle front to the butt."""
    return tuple(HoleWish(purpose=h.purpose, size=h.size, x=h.centre[0], y=h.centre[1]) for h in blank.holes)


def with_hole(blank: Shape, purpose: Purpose, size: float) -> Template:
    """One more hole on the middle line, in the widest room between those there and the ends of the handle."""
    template = _of(blank)
    places = sorted([-template.handle.length + _ENDS, *(h.centre[0] for h in blank.holes), -_ENDS])
    left, right = max(itertools.pairwise(places), key=lambda pair: pair[1] - pair[0])
    x = (left + right) / 2
    wish = HoleWish(purpose=purpose, size=size, x=x, y=middle(template.handle, x))
    return replace(template, holes=_ordered((*wishes_of(blank), wish)))


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


def lightened(blank: Shape, size: float, web: float) -> Template:
    """The room between the holes that carry load filled with holes of a size, `web` of steel left beside each."""
    template = _of(blank)
    fixed = [wish for wish in wishes_of(blank) if wish.purpose is not Purpose.EPOXY]
    pattern = HolePattern(purpose=Purpose.EPOXY, size=size, count=_MOST, fill=True, web=web)
    return replace(template, holes=_ordered((*fixed, *filled(template, pattern, fixed))))


def _ordered(wishes: tuple[HoleWish, ...]) -> tuple[HoleWish, ...]:
    """From the handle front to the butt, as their marks count."""
    return tuple(sorted(wishes, key=lambda wish: -wish.x))


def _of(blank: Shape) -> Template:
    if blank.template is None:
        raise ValueError(f"{blank.name} came from a file; its holes are fixed")
    return blank.template
