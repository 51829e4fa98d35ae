"""Free points changed one by one: added where a curve is touched or where it has most room, moved, taken out."""

from collections.abc import Callable, Iterable
from itertools import pairwise

from workbook.geometry.path import Point
from workbook.structs import replace
from workbook.template.free import nearest, places, standing
from workbook.template.model import MOST, OF_BLADE, FreePoint, OutlineRun, Template
from workbook.template.pegs import free_of, runs
from workbook.template.shape import Shape
from workbook.texts import _

_SAME = 0.004  # share of a run within which two free points are one
_ENDS = {OutlineRun.BUTT: (0.0, 0.5, 1.0)}  # where it reaches furthest is the parameters' too


class TooManyError(ValueError):
    """A template has as many free points as it may."""


def with_free(blank: Shape, run: OutlineRun) -> tuple[Template, int]:
    """One more free point on a run, half-way along its longest part between those it has, and which of them it is.
    TooManyError.
    """
    ends = sorted((*_ENDS.get(run, (0.0, 1.0)), *(point.at for point in free_of(_of(blank)) if point.run is run)))
    low, high = max(pairwise(ends), key=lambda pair: pair[1] - pair[0])
    return with_free_at(blank, run, (low + high) / 2)


def run_near(blank: Shape, to: Point) -> tuple[OutlineRun, float, float]:
    """The run nearest to a place, the share of it, and how far off it is, mm. ValueError for an outline from a file."""
    template = _of(blank)
    found = {run: nearest(bare, free_of(template), run, to) for run, bare in runs(blank).items()}
    run = min(found, key=lambda own: found[own][1])
    return run, *found[run]


def with_free_at(blank: Shape, run: OutlineRun, at: float) -> tuple[Template, int]:
    """One more free point at a share of a run, where the curve passes now; the one that is there, where one is. TooManyError."""
    template = _of(blank)
    free = free_of(template)
    there = next((i for i, own in enumerate(free) if own.run is run and abs(own.at - at) < _SAME), None)
    if there is not None:
        return template, there
    lies = standing(runs(blank)[run], free, run, at)
    point = FreePoint(run=run, at=at, x=lies.now[0] - lies.bare[0], y=lies.now[1] - lies.bare[1])
    if sum((own.run in OF_BLADE) == (run in OF_BLADE) for own in free) >= MOST:
        raise TooManyError(_("Blade and handle have at most {most} free points each", most=MOST))
    made = _with(template, run, lambda own: (*own, point))
    return made, free_of(made).index(point)


def without_free(template: Template, index: int) -> Template:
    """A free point less: its curve is the family's again there."""
    point = free_of(template)[index]
    return _with(template, point.run, lambda free: tuple(own for own in free if own != point))


def with_point(template: Template, index: int, point: FreePoint) -> Template:
    """A free point as another of the same run."""
    was = free_of(template)[index]
    return _with(template, was.run, lambda free: tuple(point if own == was else own for own in free))


def free_moved(blank: Shape, index: int, to: Point, step: float) -> tuple[Template, Point, bool]:
    """A free point moved to a place: the template, how far it then is from the family's curve, and whether it went all the way.

    It is pulled by whole steps along and up, as far as its curve stays steady (free.py).
    """
    template = _of(blank)
    point = free_of(template)[index]
    bare = places(runs(blank)[point.run], free_of(template), point.run)[point].bare
    wished = replace(point, x=_whole(to[0] - bare[0], step), y=_whole(to[1] - bare[1], step))
    trial = [wished if own == point else own for own in free_of(template)]
    lies = places(runs(blank)[point.run], trial, point.run)[wished]
    x, y = lies.now[0] - lies.bare[0], lies.now[1] - lies.bare[1]
    all_the_way = abs(x - wished.x) + abs(y - wished.y) < 1e-6
    kept = wished if all_the_way else replace(wished, x=x, y=y)
    return with_point(template, index, kept), (kept.x, kept.y), all_the_way


def with_free_points(template: Template, free: Iterable[FreePoint]) -> Template:
    """The template with these free points alone."""
    own = tuple(free)
    blade = replace(template.blade, free=tuple(point for point in own if point.run in OF_BLADE))
    handle = replace(template.handle, free=tuple(point for point in own if point.run not in OF_BLADE))
    return replace(template, blade=blade, handle=handle)


def scaled_free(free: tuple[FreePoint, ...], along: float, across: float) -> tuple[FreePoint, ...]:
    """Free points of a part that is made longer or shorter, and higher or lower."""
    return tuple(replace(point, x=point.x * along, y=point.y * across) for point in free)


def _whole(value: float, step: float) -> float:
    return round(value / step) * step


def _with(template: Template, run: OutlineRun, change: Callable[[tuple[FreePoint, ...]], tuple[FreePoint, ...]]) -> Template:
    """The template with the free points of a run's part changed."""
    if run in OF_BLADE:
        return replace(template, blade=replace(template.blade, free=change(template.blade.free)))
    return replace(template, handle=replace(template.handle, free=change(template.handle.free)))


def _of(blank: Shape) -> Template:
    if blank.template is None:
        raise ValueError(_("{name} came from a file; its outline is fixed", name=blank.name))
    return blank.template
