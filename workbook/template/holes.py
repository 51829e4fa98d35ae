"""Holes of a template, from patterns or listed one by one: their places, marks and drills."""

import itertools
from collections import Counter
from collections.abc import Iterator, Sequence
from math import pi

from msgspec import Struct

from workbook.geometry.path import Point
from workbook.template.drills import LEAST_CLEARANCE, Drill, nearest_drill, smallest_drill
from workbook.template.handle import middle
from workbook.template.model import HolePattern, HoleWish, Purpose, TangForm, Template
from workbook.template.tools import Tools
from workbook.texts import _

LETTERS = {Purpose.BOLT: "B", Purpose.PIN: "P", Purpose.LANYARD: "L", Purpose.EPOXY: "E"}
WORDS = {
    Purpose.BOLT: _("handle bolt"),
    Purpose.PIN: _("pin"),
    Purpose.LANYARD: _("lanyard tube"),
    Purpose.EPOXY: _("epoxy hole"),
}


class Hole(Struct, frozen=True, kw_only=True):
    """One hole in the tang. Lengths mm; centre in the template's frame."""

    mark: str  # B1, P2...: its purpose's letter, counted from the handle front
    purpose: Purpose
    size: float  # of what goes through it
    centre: Point
    drill: Drill  # in the tang
    scale_drill: Drill | None  # in the scales; None for an epoxy hole

    @property
    def diameter(self) -> float:
        """Diameter as drilled in the tang, mm."""
        return self.drill.diameter


def holes(template: Template, tools: Tools) -> tuple[Hole, ...]:
    """All holes, from the handle front to the butt, marked and with their drills."""
    wishes = template.holes if template.holes is not None else tuple(placed(template))
    counts: Counter[str] = Counter()
    drilled = []
    for wish in sorted(wishes, key=lambda w: -w.x):
        letter = LETTERS[wish.purpose]
        counts[letter] += 1
        drilled.append(_drilled(wish, f"{letter}{counts[letter]}", tools))
    return tuple(drilled)


def _drilled(wish: HoleWish, mark: str, tools: Tools) -> Hole:
    if wish.purpose is Purpose.EPOXY:
        drill, scale_drill = nearest_drill(tools.drills, wish.size), None
    else:
        scale_drill = smallest_drill(tools.drills, wish.size + LEAST_CLEARANCE)
        drill = smallest_drill(tools.drills, wish.size + LEAST_CLEARANCE + tools.tang_clearance)
    return Hole(mark=mark, purpose=wish.purpose, size=wish.size, centre=(wish.x, wish.y), drill=drill, scale_drill=scale_drill)


def placed(template: Template) -> Iterator[HoleWish]:
    """Lay out patterns on the middle line: first those with places of their own, then those that fill what is left."""
    fixed = [w for p in template.patterns if not p.fill for w in _in_row(template, p)]
    yield from fixed
    for pattern in (p for p in template.patterns if p.fill):
        yield from filled(template, pattern, fixed)


def _in_row(template: Template, pattern: HolePattern) -> Iterator[HoleWish]:
    length = template.handle.length
    first, last = -pattern.first, -length + pattern.last
    if pattern.count == 1:
        yield _on_middle(template, pattern, last if pattern.from_butt else first)
        return
    for i in range(pattern.count):
        yield _on_middle(template, pattern, first + (last - first) * i / (pattern.count - 1))


def _on_middle(template: Template, pattern: HolePattern, x: float) -> HoleWish:
    return HoleWish(purpose=pattern.purpose, size=pattern.size, x=x, y=middle(template.handle, x))


def filled(template: Template, pattern: HolePattern, fixed: list[HoleWish]) -> Iterator[HoleWish]:
    """Holes spaced evenly between each two neighbours of `fixed`, as many as leave the pattern's web between them."""
    places = sorted(fixed, key=lambda w: w.x)
    for left, right in itertools.pairwise(places):
        begin, end = left.x + left.size / 2 + pattern.web, right.x - right.size / 2 - pattern.web
        count = max(min(int((end - begin + pattern.web) // (pattern.size + pattern.web)), pattern.count), 0)
        spare = (end - begin - count * pattern.size - (count - 1) * pattern.web) / (count + 1)
        for i in range(count):
            x = begin + spare + pattern.size / 2 + i * (pattern.size + pattern.web + spare)
            yield _on_middle(template, pattern, x)


def drilled_out(template: Template, holes: Sequence[Hole]) -> float:
    """Volume of steel the holes take out of the tang, mm3. A tapered tang thins in a straight line towards the back."""
    thick, tang = template.blade.thickness, template.tang
    slope = (thick - tang.butt_thickness) / template.handle.length if tang.form is TangForm.TAPERED else 0.0
    return sum(pi / 4 * hole.diameter**2 * (thick + slope * hole.centre[0]) for hole in holes)
