"""A rule for filling bars: each blank in turn goes where its far end lies nearest to end A."""

from collections.abc import Iterable, Iterator, Sequence
from math import floor, inf

import numpy as np
from msgspec import Struct, field

from workbook.geometry.path import Points
from workbook.nesting.fits import STEP, inward, room, trims
from workbook.nesting.model import BarUse, NestingJob, Piece
from workbook.nesting.plain.columns import WIDE, Clash, ColumnTables, Family, Pose, pose

_CLEAR = 1e-7
_BLOCK = 512  # columns checked together
_MOST_KEPT = 20_000  # filled bars cached, a kilobyte or two each

Wall = tuple[int, Points, Points, float]  # first column, begin and end in each (poses, columns), height they count from
Lying = tuple[Pose, int, float]  # pose, first column, height of its origin
Wish = tuple[int, float]  # a part, and from 0 to 1 its preference for the bar's upper edge over the lower one


class Space(Struct, frozen=True, eq=False):
    """The columns a family can start at on an empty bar, and the lowest and highest y of each pose's origin (poses, 1)."""

    count: int
    low: Points
    high: Points


class Spot(Struct, frozen=True, eq=False):
    """A column with a place for a family, where the blank then ends (mm), and the lowest y of each pose, inf without one."""

    family: Family
    column: int
    end: float
    lowest: Points
    space: Space


class FilledBar(Struct, eq=False):
    """A bar with blanks on it. It does not change: one more blank makes another bar, which is cached."""

    stock: int
    lying: tuple[Lying, ...] = ()
    kept: tuple[Piece, ...] = ()  # the first of them, which were there from the start
    wishes: tuple[Wish, ...] = ()  # by which the others were placed
    end: float = 0.0  # mm, of the farthest of those, from the first column on
    more: dict[Wish, "FilledBar | None"] = field(default_factory=dict)
    begin: dict[int, tuple[int, ...] | None] = field(default_factory=dict)  # by part: each family's first column that may be free


def kept_bar(job: NestingJob, use: BarUse) -> FilledBar:
    """A kept bar with its blanks, which stay where they are."""
    lying = []
    for piece in use.pieces:
        low = float(piece.placement().points(job.parts[piece.part].outline)[:, 0].min()) - inward(job.bar_end)
        column = max(0, floor(low / STEP))
        lying.append((pose(job, piece.part, piece.angle, piece.mirrored, low - column * STEP), column, piece.y))
    return FilledBar(use.stock, tuple(lying), use.pieces)


class Filling:
    """Filling of a job's bars, with its tables and caches."""

    def __init__(self, job: NestingJob) -> None:
        self.job = job
        self.tables = ColumnTables(job)
        self._spaces: dict[tuple[int, int], Space] = {}
        self._kept = list[FilledBar]()

    def filled(self, bars: Iterable[FilledBar], wishes: Iterable[Wish]) -> tuple[list[FilledBar], list[Wish]]:
        """Place each blank in turn on the first bar that takes it; returns the bars and the blanks that no bar takes."""
        bars, unplaced = [*bars], list[Wish]()
        for wish in wishes:
            for n, bar in enumerate(bars):
                with_one = self.with_one(bar, wish)
                if with_one is not None:
                    bars[n] = with_one
                    break
            else:
                unplaced.append(wish)
        return bars, unplaced

    def with_one(self, bar: FilledBar, wish: Wish) -> FilledBar | None:
        """The bar with one more blank, placed with its end nearest to end A; None when there is no place."""
        if (wish[0], bar.stock) not in self.job.suits:
            return None
        if wish not in bar.more:
            self._remember(bar)
            bar.more[wish] = self._with_one(bar, wish)
        return bar.more[wish]

    def _remember(self, bar: FilledBar) -> None:
        """Count a bar that caches another result; clear all caches when there are too many."""
        if len(self._kept) >= _MOST_KEPT:
            for old_bar in self._kept:
                old_bar.more = {}
            self._kept = []
        self._kept.append(bar)

    def _with_one(self, bar: FilledBar, wish: Wish) -> FilledBar | None:
        part, upside = wish
        spots = self._found(bar, part)
        nearest = min((spot.end for spot in spots), default=inf)
        if nearest == inf:
            return None
        width = self.job.stock[bar.stock].width
        places = [
            (abs(y / width - upside), n, y, spot)
            for spot in spots
            if spot.end < nearest + _CLEAR
            for n, heights in enumerate(self._heights(bar, spot))
            for y in heights
        ]
        _, n, y, spot = min(places, key=lambda place: place[:3])
        lying = (*bar.lying, (spot.family[n], spot.column, y))
        return FilledBar(bar.stock, lying, bar.kept, (*bar.wishes, wish), max(bar.end, spot.end), begin=bar.begin.copy())

    def _found(self, bar: FilledBar, part: int) -> list[Spot]:
        """The first place for a blank in each of its families, except those that reach farther than another."""
        families, begin = self.tables.families[part], bar.begin.get(part, (0,) * len(self.tables.families[part]))
        if begin is None:
            return []
        firsts, spots = list(begin), list[Spot]()
        least = [first * STEP + family[0].reach for first, family in zip(begin, families, strict=True)]
        for n in sorted(range(len(families)), key=least.__getitem__):
            if all(least[n] < spot.end + _CLEAR for spot in spots):
                space = self._space(families[n], bar.stock)
                spot = self._first_spot(bar, families[n], firsts[n], space)
                firsts[n] = space.count if spot is None else spot.column
                spots += [spot] if spot is not None else []
        bar.begin[part] = tuple(firsts) if spots else None  # a bar only ever gets fuller
        return spots

    def _space(self, family: Family, stock: int) -> Space:
        key = id(family), stock
        if key not in self._spaces:
            rooms = [self._room(pose, stock) or (0, inf, -inf) for pose in family]
            low, high = (np.array([room[side] for room in rooms])[:, None] for side in (1, 2))
            self._spaces[key] = Space(max(room[0] for room in rooms), low, high)
        return self._spaces[key]

    def _room(self, pose: Pose, stock: int) -> tuple[int, float, float] | None:
        below, above = trims(self.job, pose.part, pose.angle, mirrored=pose.mirrored)
        x0, y0, x1, y1 = pose.extent
        return room(self.job, (x0, y0 + below, x1, y1 - above), stock)

    def _first_spot(self, bar: FilledBar, family: Family, start: int, space: Space) -> Spot | None:
        """The first column from `start` on with a place. Stretches in which the same walls leave none are skipped."""
        walls = self._walls(bar, family)
        wide = [(first, clash.wide_under, clash.wide_over, height) for first, clash, height in walls]
        near = [(first, clash.under, clash.over, height) for first, clash, height in walls]
        for begin in range(start, space.count, _BLOCK):
            end = min(begin + _BLOCK, space.count)
            stretches = np.any(_risen(wide, range(begin, end, WIDE), space.low) <= space.high + _CLEAR, axis=0)
            for at in (begin + np.flatnonzero(stretches) * WIDE).tolist():
                heights = _risen(near, range(at, min(at + WIDE, end)), space.low)
                free = heights <= space.high + _CLEAR
                columns = np.any(free, axis=0)
                first = int(columns.argmax())
                if columns[first]:
                    lowest = np.where(free[:, first], heights[:, first], inf)
                    return Spot(family, at + first, (at + first) * STEP + family[0].reach, lowest, space)
        return None

    def _heights(self, bar: FilledBar, spot: Spot) -> Iterator[list[float]]:
        """For each pose of the spot's family, the lowest and the highest free y, if any."""
        turned = [(first, -clash.over, -clash.under, -height) for first, clash, height in self._walls(bar, spot.family)]
        highest = -_risen(turned, range(spot.column, spot.column + 1), -spot.space.high)[:, 0]
        for low, up, least in zip(spot.lowest.tolist(), highest.tolist(), spot.space.low[:, 0].tolist(), strict=True):
            yield [low, max(least, up)] if low < inf else []

    def _walls(self, bar: FilledBar, family: Family) -> list[tuple[int, Clash, float]]:
        """What each blank on the bar blocks for a family: its starting column, clash and height."""
        return [(column - len(family[0].low) + 1, self.tables.against(fixed, family), y) for fixed, column, y in bar.lying]


def _risen(walls: Sequence[Wall], columns: range, low: Points) -> Points:
    """The lowest height from `low` (poses, 1) up that no wall blocks, for each pose and each of some columns."""
    lower, upper = np.full((2, len(walls), len(low), len(columns)), inf)
    rows, begin, step = 0, columns.start, columns.step
    for first, under, over, height in walls:
        skip = max(0, -((begin - first) // step))  # columns before the wall begins
        span = slice(begin - first + skip * step, min(under.shape[1], begin - first + len(columns) * step), step)
        count = len(range(span.start, span.stop, step))
        if count:
            np.add(under[:, span], height + _CLEAR, out=lower[rows, :, skip : skip + count])
            np.add(over[:, span], height - _CLEAR, out=upper[rows, :, skip : skip + count])
            rows += 1
    lower, upper, heights = lower[:rows], upper[:rows], np.repeat(low, len(columns), axis=1)
    for _ in range(rows):  # a wall raises a height at most once
        inside = (lower < heights) & (heights < upper)
        if not inside.any():
            break
        heights = np.where(inside, upper, heights).max(axis=0)
    return heights


def as_use(job: NestingJob, bar: FilledBar) -> BarUse:
    """Convert the filled bar, with its pieces in order along it."""
    start = inward(job.bar_end)
    new = [
        Piece(pose.part, start + column * STEP - pose.extent[0], height, pose.angle, pose.mirrored)
        for pose, column, height in bar.lying[len(bar.kept) :]
    ]
    pieces = [*bar.kept, *new]
    ends = [column for _, column, _ in bar.lying]
    order = sorted(range(len(pieces)), key=lambda i: (ends[i], bar.lying[i][2]))
    return BarUse(bar.stock, tuple(pieces[i] for i in order))
