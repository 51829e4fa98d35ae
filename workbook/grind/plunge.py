"""The plunge: a line from the edge up, leaning by its rake, rounded into the grind line; and how the bevel fades into it."""

from math import radians, tan

from msgspec import Struct

from workbook.geometry.path import FINE, Bezier, Line, Path, Point, Points, flatten
from workbook.later import np
from workbook.template.model import Heel
from workbook.template.pegs import PLUNGE_PART

_STEEPEST = 1.5  # steepest slope of a grind line that the rounding follows


class Plunges(Struct, frozen=True):
    """Where the bevel begins, finished and before hardening: the second is rounded into the lower grind line."""

    finished: Path
    before: Path

    @property
    def back(self) -> float:
        """x of the rearmost point."""
        return min(float(flatten(path, FINE)[:, 0].min()) for path in (self.finished, self.before))

    @property
    def end(self) -> float:
        """x of the foremost point."""
        return max(path.segments[-1].end[0] for path in (self.finished, self.before))


def reach(heel: Heel, height: float) -> float:
    """How far the rounded plunge reaches forward of its foot along a grind line of this height."""
    return max(_rounding(heel, height) - height * tan(radians(heel.plunge_rake)), 0.0)


def plunge_path(heel: Heel, foot: Point, top: float, rise: float = 0.0) -> Path:
    """The plunge from the edge up, leaning towards the handle, rounded into a grind line with this slope (a tangent)."""
    height = top - foot[1]
    rake = tan(radians(heel.plunge_rake))
    r = _rounding(heel, height)
    corner = (foot[0] - height * rake, top)
    turn = (foot[0] - (height - r) * rake, top - r)
    end = (corner[0] + r, top)
    k = 0.5523
    c1 = (turn[0] + k * (corner[0] - turn[0]), turn[1] + k * (corner[1] - turn[1]))
    return Path(
        (Line(foot, turn), Bezier(turn, c1, (end[0] - k * r, top - k * r * min(max(rise, 0.0), _STEEPEST)), end)), closed=False
    )


def _rounding(heel: Heel, height: float) -> float:
    return min(heel.plunge_radius, PLUNGE_PART * height)


def ahead_of(path: Path, x: Points, y: Points) -> Points:
    """Horizontal distance of points ahead of the plunge, mm; negative behind it. Above its top: ahead of its end."""
    points = flatten(path, 0.01)
    (x0, y0), (x1, y1) = points[0], points[1]
    below = x0 + np.minimum(y - y0, 0.0) * (x1 - x0) / (y1 - y0) if y1 > y0 else x0
    line = np.interp(y, points[:, 1], points[:, 0])
    distance: Points = x - np.where(y < y0, below, line)
    return distance


def faded(deep: Points, ahead: Points, radius: float) -> Points:
    """Depth of the bevel near the plunge: the belt's edge, of this radius seen from above, runs out from the full depth.

    An arc tangent to the bevel, ending on the flat where the plunge line is scribed.
    """
    if radius <= 0:
        return np.where(ahead > 0, deep, 0.0)
    rise = np.minimum(deep, radius)
    run = np.sqrt(np.maximum(2 * radius * rise - rise**2, 0.0))
    short = np.clip(run - ahead, 0.0, radius)
    arc_depth = deep - radius + np.sqrt(radius**2 - short**2)
    depths: Points = np.where(ahead > 0, np.maximum(arc_depth, 0.0), 0.0)
    return depths
