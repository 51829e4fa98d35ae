"""Edits of single free points: add them where a curve is touched or has most room, move them, remove them."""

from collections.abc import Callable, Iterable
from itertools import pairwise

from workbook.geometry.path import Point
from workbook.structs import replace
from workbook.template.free import nearest, places, standing
from workbook.template.model import MOST, OF_BLADE, FreePoint, OutlineRun, Template
from workbook.template.pegs import free_of, runs
from workbook.template.shape import Shape
from workbook.texts import _

_SAME = 0.004  # share of a run within which two free points count as one
_ENDS = {OutlineRun.BUTT: (0.0, 0.5, 1.0)}  # the parameters also set where it reaches furthest


class TooManyError(ValueError):
    """A template has as many free points as it may."""


def with_free(blank: Shape, run: OutlineRun) -> tuple[Template, int]:
    """Add a free point to a run, half-way along the longest part between those it has; also return its index.

    Raises TooManyError.
    """
    ends = sorted((*_ENDS.get(run, (0.0, 1.0)), *(point.at for point in free_of(_of(blank)) if point.run is run)))
    low, high = max(pairwise(ends), key=lambda pair: pair[1] - pair[0])
    return with_free_at(blank, run, (low + high) / 2)


def run_near(blank: Shape, to: Point) -> tuple[OutlineRun, float, float]:
    """The run nearest to a place, the share along it, and its distance, mm. Raises ValueError for an outline from a file."""
    template = _of(blank)
    results = {run: nearest(bare, free_of(template), run, to) for run, bare in runs(blank).items()}
    run = min(results, key=lambda candidate: results[candidate][1])
    return run, *results[run]


def with_free_at(blank: Shape, run: OutlineRun, at: float) -> tuple[Template, int]:
    """Add a free point at a share of a run, on the curve as it is now; also return its index.

    Where a free point is there already, its index is returned. Raises TooManyError.
    """
    template = _of(blank)
    free = free_of(template)
    existing = next((i for i, old in enumerate(free) if old.run is run and abs(old.at - at) < _SAME), None)
    if existing is not None:
        return template, existing
    place = standing(runs(blank)[run], free, run, at)
    point = FreePoint(run=run, at=at, x=place.now[0] - place.bare[0], y=place.now[1] - place.bare[1])
    if sum((old.run in OF_BLADE) == (run in OF_BLADE) for old in free) >= MOST:
        raise TooManyError(_("Blade and handle have at most {most} control points each", most=MOST))
    edited = _with(template, run, lambda old: (*old, point))
    return edited, free_of(edited).index(point)


def without_free(template: Template, index: int) -> Template:
    """Remove a free point: its curve is the family's again there."""
    point = free_of(template)[index]
    return _with(template, point.run, lambda free: tuple(other for other in free if other != point))


def with_point(template: Template, index: int, point: FreePoint) -> Template:
    """Replace a free point by another of the same run."""
    old = free_of(template)[index]
    return _with(template, old.run, lambda free: tuple(point if item == old else item for item in free))


def free_moved(blank: Shape, index: int, to: Point, step: float) -> tuple[Template, Point, bool]:
    """Move a free point to a place: the template, its offset from the family's curve, mm, and whether it went all the way.

    It is pulled by whole steps along and up, as far as its curve stays steady (free.py).
    """
    template = _of(blank)
    point = free_of(template)[index]
    bare = places(runs(blank)[point.run], free_of(template), point.run)[point].bare
    wish = replace(point, x=_whole(to[0] - bare[0], step), y=_whole(to[1] - bare[1], step))
    trial = [wish if item == point else item for item in free_of(template)]
    place = places(runs(blank)[point.run], trial, point.run)[wish]
    x, y = place.now[0] - place.bare[0], place.now[1] - place.bare[1]
    reached = abs(x - wish.x) + abs(y - wish.y) < 1e-6
    placed = wish if reached else replace(wish, x=x, y=y)
    return with_point(template, index, placed), (placed.x, placed.y), reached


def with_free_points(template: Template, free: Iterable[FreePoint]) -> Template:
    """The template with only these free points."""
    points = tuple(free)
    blade = replace(template.blade, free=tuple(point for point in points if point.run in OF_BLADE))
    handle = replace(template.handle, free=tuple(point for point in points if point.run not in OF_BLADE))
    return replace(template, blade=blade, handle=handle)


def scaled_free(free: tuple[FreePoint, ...], along: float, across: float) -> tuple[FreePoint, ...]:
    """Scale the pull of free points with the length and height of their part."""
    return tuple(replace(point, x=point.x * along, y=point.y * across) for point in free)


def _whole(value: float, step: float) -> float:
    return round(value / step) * step


def _with(template: Template, run: OutlineRun, change: Callable[[tuple[FreePoint, ...]], tuple[FreePoint, ...]]) -> Template:
    """Change the free points of the part that a run belongs to."""
    if run in OF_BLADE:
        return replace(template, blade=replace(template.blade, free=change(template.blade.free)))
    return replace(template, handle=replace(template.handle, free=change(template.handle.free)))


def _of(blank: Shape) -> Template:
    if blank.template is None:
        raise ValueError(_("{name} is an imported outline and cannot be changed", name=blank.name))
    return blank.template
