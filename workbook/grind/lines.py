"""Both grind lines, the plunge and the swedge as curves on the outline."""

from functools import lru_cache

from msgspec import Struct

from workbook.geometry.path import Path, Point, polyline
from workbook.grind.depth import swedge_height, swedge_slope
from workbook.grind.plunge import Plunges, plunge_path, reach
from workbook.grind.stations import State, Stations, stations
from workbook.later import np
from workbook.template.shape import Shape

_STATIONS = 120
_HAIR = 0.05  # mm
_SAME = 0.05  # mm; lines closer than this count as one


class GrindLines(Struct, frozen=True, kw_only=True):
    """Curves in the template's frame. `before` is None where it cannot be distinguished from the finished line."""

    finished: Path
    before: Path | None
    plunges: Plunges
    plunge_at: float  # x of the plunge's foot
    swedge: Path | None = None

    @property
    def plunge(self) -> Path:
        """The finished plunge."""
        return self.plunges.finished


def grind_lines(blank: Shape, bar: float) -> GrindLines | None:
    """The lines of a parametric template on a bar of this thickness; None for an outline from a file."""
    return None if blank.template is None else _lines(blank, bar)


@lru_cache(maxsize=32)
def _lines(blank: Shape, bar: float) -> GrindLines:
    template, curves = blank.template, blank.curves
    assert template is not None and curves is not None
    at = stations(template, curves, bar, np.linspace(template.heel.ahead, curves.point[0] - 0.3, _STATIONS))
    finished, plunge = _line_and_plunge(at, State.FINISHED, curves.heel)
    before, plunge_before = _line_and_plunge(at, State.BEFORE, curves.heel)
    same = bool(np.max(np.abs(at.finished.line - at.before.line)) < _SAME)
    return GrindLines(
        finished=finished,
        before=None if same else before,
        plunges=Plunges(plunge, plunge_before),
        plunge_at=template.heel.ahead,
        swedge=_swedge(at),
    )


def _line_and_plunge(at: Stations, state: State, foot: Point) -> tuple[Path, Path]:
    """The grind line from the end of the plunge's rounding, fine enough to look like a curve, and the plunge up to it. Where a
    swedge cuts into the bevel, its own line replaces the grind line."""
    heel, line = at.template.heel, at.stage(state).line
    y = at.edge_y + line
    begin = float(at.x[0]) + reach(heel, float(line[0]))
    start = (begin, float(np.interp(begin, at.x, y)))
    clear = (at.x > begin) & ((swedge_height(at) <= 0) | (line <= at.height - swedge_height(at)))
    path = _curve([start, *((float(a), float(b)) for a, b in zip(at.x[clear], y[clear], strict=True))])
    ahead = float(np.interp(begin + 1.0, at.x, y)) - start[1]
    return path, plunge_path(heel, foot, start[1], ahead)


def _swedge(at: Stations) -> Path | None:
    """The swedge's lower limit on the flats; where it cuts into the bevel, the ridge between the two (as for flat bevels)."""
    high = swedge_height(at)
    on = high > 0
    if not on.any():
        return None
    fall = np.maximum(swedge_slope(at), 1e-6)
    limit = at.height - high
    slope = at.deep / np.maximum(at.square.up_to(at.deep / at.true_slope), 1e-6)  # along a vertical line, up to the flat
    ridge = (at.deep + fall * limit) / (slope + fall)
    y = at.edge_y + np.where(limit < at.finished.line, np.clip(ridge, limit, at.height), limit)
    return _curve([(float(a), float(b)) for a, b in zip(at.x[on], y[on], strict=True)])


def _curve(points: list[Point]) -> Path:
    """A path through the points; for a single point, a very short line."""
    last = points[-1]
    return polyline(points if len(points) > 1 else [last, (last[0] + _HAIR, last[1])])
