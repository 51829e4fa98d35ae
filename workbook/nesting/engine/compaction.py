"""Continuous compaction: the order of a layout is kept and its length minimised by a linear programme, round by round.

In each round every near pair gets a separating line (lines.py); the programme moves all blanks at once, each by half the
reach at most, so that the bar's used length is least. A layout whose blanks overlap a little is repaired in the same way:
lines are placed where the pairs would be clear.
"""

import highspy
import numpy as np
from msgspec import Struct

from workbook.nesting.engine.field import PartTables
from workbook.nesting.engine.intervals import TOUCH
from workbook.nesting.engine.kernel import Floats, Ints
from workbook.nesting.engine.lines import Lines, near_lines, tighten, worst

_SLACK_COST = 50.0
_DRIFT_COST = 2e-5  # per mm of x of every blank, so that none lies farther out than it must
_TIGHTENINGS = 4
_INFINITY = 1e30


class Strip(Struct, frozen=True, eq=False):
    """Blanks on one bar at continuous places of their frames, mm. `length`: where the last outline's own room ends."""

    pose: Ints
    x: Floats
    y: Floats
    length: float

    @property
    def places(self) -> tuple[Ints, Floats, Floats]:
        """Poses and places."""
        return self.pose, self.x, self.y

    def copied(self) -> tuple[Ints, Floats, Floats]:
        """Copies of the poses and places, to be changed independently."""
        return self.pose.copy(), self.x.copy(), self.y.copy()


def reach_of(field: PartTables, pose: Ints, x: Floats) -> float:
    """Where the last blank ends, in mm."""
    return float((x + field.poses.right[pose]).max())


def compacted(field: PartTables, start: Strip, width: float, *, reach: float, rounds: int, gain: float) -> Strip | None:
    """Make the layout shorter, after repairing it if needed; None when it overlaps and cannot be repaired.

    Fixed blanks are not moved.

    `width`: of the bar's room, mm. `reach`: how far apart pairs get lines at first, mm. Ends when a round gains less than
    `gain` mm.
    """
    pose, x, y = start.places
    best = start if worst(field.shapes, pose, x, y) <= TOUCH else None
    for _ in range(rounds):
        lines = _lines(field, pose, x, y, reach)
        moved, clear = _solved(field, pose, x, y, width, reach, lines)
        if moved is None:
            reach *= 0.5
            if reach < 0.2:
                break
            continue
        if not clear:
            (x, y), reach = (moved, reach) if best is None else ((best.x, best.y), reach * 0.5)
            if best is not None and reach < 0.3:
                break
            continue
        x, y = moved
        length = reach_of(field, pose, x)
        saving = _INFINITY if best is None else best.length - length
        if saving > 0:
            best = Strip(pose, x, y, length)
        if saving < max(gain, 0.25 * reach):
            if reach <= 1.0 and saving < gain:
                break
            reach *= 0.4
    return best


def _lines(field: PartTables, pose: Ints, x: Floats, y: Floats, reach: float) -> Lines:
    size = len(pose) * 24 + 64
    ints, reals = np.empty((2, size), np.int64), np.empty((6, size))
    lines = Lines(*ints, *reals)
    count = near_lines(field.shapes, field.tables, field.poses.height, pose, x, y, reach, max(0.05, reach / 12), lines)
    return lines.head(count)


def _solved(
    field: PartTables, pose: Ints, x: Floats, y: Floats, width: float, reach: float, lines: Lines
) -> tuple[tuple[Floats, Floats] | None, bool]:
    """Solve one programme: the places and whether they are clear; None for the places when there is no solution."""
    programme = _Programme(field, pose, x, y, width, reach, lines)
    more = np.zeros(len(lines.a))
    moved = None
    for _ in range(_TIGHTENINGS):
        solution = programme.solve(more)
        if solution is None:
            return None, False
        moved, slack = solution
        if slack > 1e-7:
            return moved, False
        if tighten(field.shapes, pose, *moved, lines, more) == 0.0:
            return moved, worst(field.shapes, pose, *moved) <= TOUCH
    return moved, False


class _Programme:
    """The linear programme of one round, kept in the solver so that tightened lines restart from the last basis.

    Variables: x and y of every blank, the length, one shared slack. Rows: lines, ends of blanks, and limits for pairs whose
    line is valid only nearby.
    """

    def __init__(self, field: PartTables, pose: Ints, x: Floats, y: Floats, width: float, reach: float, lines: Lines) -> None:
        poses, n, m = field.poses, len(pose), len(lines.a)
        fixed = poses.stays(pose)
        close = np.flatnonzero(lines.reach < reach - 1e-9)
        top, left = np.maximum(0.0, width - poses.height[pose]), -poses.left[pose]
        y, half = np.where(fixed, y, np.clip(y, 0.0, top)), np.where(fixed, 0.0, reach / 2)
        top, left = np.where(fixed, y, top), np.where(fixed, x, left)
        model = highspy.HighsLp()
        model.num_col_, model.num_row_ = 2 * n + 2, m + n + 2 * len(close)
        around = np.r_[lines.px[close], lines.py[close]]
        limit = np.r_[lines.reach[close], lines.reach[close]]
        model.row_lower_ = np.r_[lines.least, poses.right[pose], around - limit]
        model.row_upper_ = np.r_[np.full(m + n, _INFINITY), around + limit]
        model.col_lower_ = np.r_[np.maximum(left, x - half), np.where(fixed, y, np.maximum(0.0, y - half)), 0.0, 0.0]
        model.col_upper_ = np.r_[np.maximum(x, left) + half, np.minimum(top, y + half), _INFINITY, _INFINITY]
        model.col_cost_ = np.r_[np.full(n, _DRIFT_COST), np.zeros(n), 1.0, _SLACK_COST]
        _fill_matrix(model, n, lines, close)
        self._least, self._more, self._n = lines.least, np.zeros(m), n
        self._solver = highspy.Highs()
        for option, value in (("output_flag", False), ("presolve", "off"), ("threads", 1), ("solver", "simplex")):
            self._solver.setOptionValue(option, value)
        self._solver.passModel(model)

    def solve(self, more: Floats) -> tuple[tuple[Floats, Floats], float] | None:
        """The places and the slack with the lines tightened by `more`, in mm; None without a solution."""
        for row in np.flatnonzero(more != self._more):
            self._solver.changeRowBounds(int(row), float(self._least[row] + more[row]), _INFINITY)
        self._more = more.copy()
        self._solver.run()
        if self._solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        values = np.array(self._solver.getSolution().col_value)
        n = self._n
        return (values[:n], values[n : 2 * n]), float(values[2 * n + 1])


def _fill_matrix(model: highspy.HighsLp, n: int, lines: Lines, close: Ints) -> None:
    a, b, each = lines.a, lines.b, np.arange(n)
    m, z = len(a), len(close)
    columns = [
        np.c_[a, b, n + a, n + b, np.full(m, 2 * n + 1)],
        np.c_[each, np.full(n, 2 * n)],
        np.c_[a[close], b[close]],
        np.c_[n + a[close], n + b[close]],
    ]
    values = [np.c_[-lines.ux, lines.ux, -lines.uy, lines.uy, np.ones(m)], *(np.tile([-1.0, 1.0], k) for k in (n, z, z))]
    counts = np.r_[np.full(m, 5), np.full(n + 2 * z, 2)]
    matrix = model.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kRowwise
    matrix.start_ = np.r_[0, np.cumsum(counts)].astype(np.int32)
    matrix.index_ = np.concatenate([c.ravel() for c in columns]).astype(np.int32)
    matrix.value_ = np.concatenate([v.ravel() for v in values])
