"""Where a hole is, as makers measure it: along the knife from an end, across it from an edge or the center line.

A place is two readings, mm. Each stays as it is when the other changes, as with a rule on the tang.
"""

from collections.abc import Callable
from enum import StrEnum

from msgspec import Struct

from workbook.geometry.path import Point, span_at
from workbook.template.blade import height_at
from workbook.template.handle import handle_back, handle_belly
from workbook.template.model import Handle
from workbook.template.shape import Shape
from workbook.texts import _

SIZES = (0.5, 25.4)  # mm, of what a hole takes
ALONG, ACROSS = (0.0, 500.0), (-60.0, 120.0)  # mm, of places as they are measured


class Along(StrEnum):
    """The end that a place along the knife is measured from."""

    BUTT = "butt"
    FRONT = "front"
    POINT = "point"


class Across(StrEnum):
    """What a place across the knife is measured from."""

    SPINE = "spine"
    CENTER = "center"  # of the handle there; above it counts as positive
    UNDERSIDE = "underside"


class Datum(Struct, frozen=True, kw_only=True):
    """What all holes of a workbook are measured from."""

    along: Along = Along.BUTT
    across: Across = Across.SPINE


ALONG_WORDS = ((Along.BUTT, _("the butt")), (Along.FRONT, _("the handle front")), (Along.POINT, _("the tip")))
ACROSS_WORDS = ((Across.SPINE, _("the spine")), (Across.CENTER, _("the center line")), (Across.UNDERSIDE, _("the underside")))
_HEADS: dict[Along | Across, str] = {
    Along.BUTT: _("From butt"),
    Along.FRONT: _("From handle front"),
    Along.POINT: _("From tip"),
    Across.SPINE: _("From spine"),
    Across.CENTER: _("Above center"),
    Across.UNDERSIDE: _("From underside"),
}
_TANG_HEADS: dict[Along | Across, str] = {
    Along.BUTT: _("From tang's end"),
    Across.SPINE: _("From its upper edge"),
    Across.CENTER: _("Above its center"),
    Across.UNDERSIDE: _("From its lower edge"),
}
_SCALE_HEADS: dict[Along | Across, str] = {
    Along.BUTT: _("From handle's end"),
    Along.FRONT: _("From its front"),
    Along.POINT: _("From its front"),  # a scale does not reach further
    Across.SPINE: _("From back"),
}


class _Body(Struct, frozen=True):
    """What calipers touch of a knife or a handle. mm."""

    ends: dict[Along, float]  # the x of each
    edges: Callable[[float], Point]  # the upper and the lower edge over an x


def heads(blank: Shape, datum: Datum) -> tuple[str, str]:
    """What both readings of a blank's holes are called: a hidden tang has edges of its own."""
    names = _HEADS if blank.grip is None else _HEADS | _TANG_HEADS
    return names[end_of(blank, datum)], names[datum.across]


def reading(blank: Shape, point: Point, datum: Datum) -> Point:
    """How far along a blank and across it a point is, mm."""
    return _read(_body(blank), point, end_of(blank, datum), datum.across)


def point_at(blank: Shape, measured: Point, datum: Datum) -> Point:
    """The point of a blank that reads so: the inverse of `reading`."""
    along, across = measured
    body, end = _body(blank), end_of(blank, datum)
    x = body.ends[end] + _forwards(end) * along
    upper, lower = body.edges(x)
    match datum.across:
        case Across.SPINE:
            return x, upper - across
        case Across.CENTER:
            return x, (upper + lower) / 2 + across
        case Across.UNDERSIDE:
            return x, lower + across


def scale_heads(datum: Datum) -> tuple[str, str]:
    """What both readings of a hole in a scale are called."""
    names = _HEADS | _SCALE_HEADS
    return names[datum.along], names[datum.across]


def scale_reading(handle: Handle, point: Point, datum: Datum, front: float = 0.0) -> Point:
    """How far along a handle's scale and across it a point is, mm. `front`: x of the scale's front."""
    ends = {Along.BUTT: -handle.length, Along.FRONT: front, Along.POINT: front}
    return _read(_Body(ends, lambda x: _edges_of(handle, x)), point, datum.along, datum.across)


def _read(body: _Body, point: Point, end: Along, across: Across) -> Point:
    x, y = point
    upper, lower = body.edges(x)
    up = {Across.SPINE: upper - y, Across.CENTER: y - (upper + lower) / 2, Across.UNDERSIDE: y - lower}
    return (x - body.ends[end]) * _forwards(end), up[across]


def end_of(blank: Shape, datum: Datum) -> Along:
    """The end a blank is measured from. An outline from a file has no handle front: its butt."""
    return Along.BUTT if blank.template is None and datum.along is Along.FRONT else datum.along


def _forwards(end: Along) -> int:
    """1 where a longer reading lies nearer to the point, else -1."""
    return 1 if end is Along.BUTT else -1


def _body(blank: Shape) -> _Body:
    """The handle's back and underside, the edges of a hidden tang, or the highest and lowest place of an outline from a file."""
    x0, y0, x1, y1 = blank.extent()
    ends = {Along.BUTT: x0, Along.FRONT: 0.0, Along.POINT: x1}
    if blank.template is None:
        return _Body(ends, lambda x: (y1, y0))
    if blank.grip is None:
        handle = blank.template.handle
        return _Body(ends, lambda x: _edges_of(handle, x))
    return _Body(ends, lambda x: _edges_of_tang(blank, x))


def _edges_of(handle: Handle, x: float) -> Point:
    return height_at(handle_back(handle), x), height_at(handle_belly(handle), x)


def _edges_of_tang(blank: Shape, x: float) -> Point:
    """Of a hidden tang; beyond its end, where nothing is, those of the whole blank."""
    _x0, lowest, _x1, highest = blank.extent()
    lower, upper = span_at(blank.outline, x) or (lowest, highest)
    return upper, lower
