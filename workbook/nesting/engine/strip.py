"""One bar, as short as possible.

First layouts come from filling in many orders, and from methods that suit the job (a chain for one lane, an annealed sequence
for two, lanes in step and repeats for many alike). Then the target length is reduced a little, the blanks are pushed into it
and overlaps removed by search; what nearly succeeds is repaired by compaction. In larger jobs this alternates with packing
windows of the best layout again, a little shorter.
"""

from collections.abc import Generator, Iterator, Sequence
from math import sqrt

import numpy as np
from msgspec import Struct

from workbook.nesting.engine import work
from workbook.nesting.engine.chain import best_chain, lane
from workbook.nesting.engine.compaction import Strip, compacted, reach_of
from workbook.nesting.engine.field import PartTables
from workbook.nesting.engine.fill import NOWHERE, fill
from workbook.nesting.engine.kernel import Floats, Ints, chance_from
from workbook.nesting.engine.lanes import stacked
from workbook.nesting.engine.overlaps import Places
from workbook.nesting.engine.separation import separate
from workbook.nesting.engine.sequence import anneal_sequence
from workbook.texts import _

_FILLS, _MOST_FILLS = 1200, 48  # orders tried at the start, fewer with the square of the blanks
_FEWEST_STACKED, _STACKS = 10, 3  # blanks alike for layouts in lanes, more than a tile has; how many of those are tried
_SEQUENCE_TRIES, _SEQUENCE_SHARE, _AGAIN = 5000, 0.3, 0.5  # of one annealing; of the work; of them from the best layout
_ENDLESS = 1e6  # mm
_HOT, _WARM, _COLD = 25.0, 12.0, 0.5  # mm, at which it begins, anew or from the best layout, and ends
_MOST_KINDS = 8  # a chain's table of states grows with their square
_REACH, _ROUNDS, _GAIN = 6.0, 12, 0.3  # of compaction
_POOL = 8  # least-overlap layouts kept at one length
_PATIENCE, _MOST_SWEEPS = 100, 700
_MENDABLE = 1.2  # the most overlap, per root of the number of blanks, on which compaction is tried
_WINDOW = (7, 15)
_WINDOW_SWEEPS, _WINDOW_MENDABLE = 50, 1.3


class _Goal(Struct):
    """A target length (mm), the layouts that came nearest to it with their overlap, and how often it was missed."""

    length: float
    pool: list[tuple[float, Strip]]
    fails: int = 0

    def failed(self, loss: float, strip: Strip) -> None:
        self.fails += 1
        self.pool = sorted([*self.pool, (loss, strip)], key=lambda entry: entry[0])[:_POOL]


class StripSearch:
    """The search for a set of blanks on a bar of one width. `best` gets shorter while `steps` runs."""

    def __init__(
        self, field: PartTables, part: Sequence[int] | Ints, width: float, seed: int, start: Strip | None = None
    ) -> None:
        self.field, self.width = field, width
        self.part = np.asarray(part, np.int64)
        self.choice, self.chance = np.random.default_rng(seed), chance_from(seed)
        self.best: Strip | None = start
        self.work = self._sequence_work = 0.0
        self._share, self._less = 0.004, 3.0  # target savings: a share of the length for the whole, mm for a window
        self._goal: _Goal | None = None
        self._free = np.asarray(self.part < field.poses.moving, np.int64)
        self.all_free = bool(self._free.all())  # fixed blanks are placed in `start`
        upright = field.tables.first[self.part]
        self._longest = float((field.poses.right[upright] - field.poses.left[upright]).max())
        if start is not None and not self.all_free:
            stay = self._free == 0
            self._longest = max(self._longest, reach_of(field, start.pose[stay], start.x[stay]))

    @property
    def count(self) -> int:
        """The number of blanks."""
        return len(self.part)

    def steps(self) -> Iterator[None]:
        """Search endlessly, yielding between short pieces of work."""
        yield from self.starts()
        while True:
            yield from self.improve()

    def starts(self) -> Iterator[None]:
        """Make the first layouts; with fixed blanks, only from the given start."""
        for _unused in self._fills() if self.all_free else ():
            yield
        self.compact(self.sure)
        yield
        if self.one_lane:
            yield from self._chains()
        elif self.alike:
            yield from self._stacks()
        if self.two_lanes:
            yield from self._sequence()

    @property
    def sure(self) -> Strip:
        """The best layout; it exists once `starts` has begun."""
        assert self.best is not None
        return self.best

    @property
    def one_lane(self) -> bool:
        """Whether no two blanks fit side by side across the bar, and a chain is worth a try."""
        lowest = self.field.poses.height[self.field.tables.first[self.part]].min()
        return bool(self.all_free and 2 * lowest > self.width and len(set(self.part.tolist())) <= _MOST_KINDS)

    def record(self, strip: Strip | None) -> bool:
        """Keep a layout if it is shorter than the best; whether it was."""
        if strip is None or (self.best is not None and strip.length >= self.best.length - 1e-9):
            return False
        self.best = strip
        return True

    def compact(self, start: Strip) -> bool:
        """Compact a layout and keep it if it is shorter than the best; whether it was."""
        self.work += work.COMPACT * self.count
        return self.record(compacted(self.field, start, self.width, reach=_REACH, rounds=_ROUNDS, gain=_GAIN))

    def strip(self, pose: Ints, x: Floats, y: Floats) -> Strip:
        """Build a strip from places (mm), with its length."""
        return Strip(pose, x, y, reach_of(self.field, pose, x))

    def _fills(self) -> Iterator[None]:
        """Fill the bar largest first, longest first, widest first, then by size with randomness."""
        poses, tables = self.field.poses, self.field.tables
        pose = tables.first[self.part]
        long, wide = poses.right[pose] - poses.left[pose], poses.height[pose]
        size = long * wide
        room = self.field.room([(float(long.sum()) + self.count * self.field.cell, self.width)])
        for k in range(min(_MOST_FILLS, max(3, _FILLS // (self.count * self.count // 8 + 1)))):
            key = (size, long, wide)[k] if k < 3 else size * self.choice.uniform(0.3, 1.7, self.count)
            n = self.count
            places = Places(pose.copy(), np.full(n, NOWHERE), np.zeros(n, np.int64), np.zeros(n))
            placed = fill(tables, room, self.part, np.argsort(-key, kind="stable"), places)
            if placed < n:
                raise ValueError(_("a blank does not fit the bar's width"))
            self.record(self.strip(places.pose, self.field.along(places.x), places.y))
            self.work += work.FILL * n * n
            if k % 4 == 3:
                yield

    @property
    def of_one_kind(self) -> bool:
        """Whether all blanks are of a single template."""
        return bool((self.part == self.part[0]).all())

    @property
    def alike(self) -> bool:
        """Whether there are several blanks of a single template."""
        return self.all_free and self.count >= _FEWEST_STACKED and self.of_one_kind

    @property
    def two_lanes(self) -> bool:
        """Whether the bar takes two blanks side by side but not three."""
        lowest = self.field.poses.height[self.field.tables.first[self.part]].min()
        return bool(self.all_free and self.count > 2 and 2 * lowest <= self.width < 3 * lowest)

    def _sequence(self) -> Iterator[None]:
        """Anneal a sequence, new or that of the best layout, and keep it when it is shorter after compaction."""
        tables, poses, part, n = self.field.tables, self.field.poses, self.part, self.count
        began, top, again = self.work, self.field.room([(_ENDLESS, self.width)]).height[:, 0], self.choice.random() < _AGAIN
        if again:
            pose = self.sure.pose.copy()
            order, up = np.argsort(self.sure.x, kind="stable"), (self.sure.y > top[pose] / 2).astype(np.int64)
        else:
            pose = self._any_poses(top)
            order, up = self.choice.permutation(n), self.choice.integers(0, 2, n)
        places = Places(pose, np.zeros(n, np.int64), np.zeros(n, np.int64), np.zeros(n))
        hot = _WARM if again else _HOT
        anneal_sequence(tables, top, poses.right, part, order, up, places, _SEQUENCE_TRIES, hot, _COLD, self.chance)
        self.work += work.LAY * _SEQUENCE_TRIES * n
        yield
        self.compact(self.strip(places.pose, self.field.along(places.x), places.y))
        self._sequence_work += self.work - began
        yield

    def _any_poses(self, top: Floats) -> Ints:
        """A random pose of each blank in which it fits the bar's width."""
        tables, poses = self.field.tables, np.zeros(self.count, np.int64)
        for p in np.unique(self.part):
            fitting = np.arange(tables.first[p], tables.last[p])
            blanks = np.flatnonzero(self.part == p)
            poses[blanks] = self.choice.choice(fitting[top[fitting] >= 0.0], len(blanks))
        return poses

    def _stacks(self) -> Iterator[None]:
        for strip in stacked(self.field, int(self.part[0]), self.count, self.width)[:_STACKS]:
            self.work += work.STACK / _STACKS
            self.compact(strip)
            yield

    def _chains(self) -> Iterator[None]:
        kinds = np.array(sorted(set(self.part.tolist())), np.int64)
        chain_lane = lane(self.field.poses, self.field.shapes, kinds, self.field.tables.last, self.width)
        best: Strip | None = None
        for _unused in range(6):
            strip = self.strip(*best_chain(chain_lane, self.part, max(500, 30_000 // self.count), self.chance))
            self.work += work.CHAIN
            if best is None or strip.length < best.length:
                best = strip
            yield
        if best is not None:
            self.compact(best)
            yield

    def improve(self) -> Iterator[None]:
        """Try once for a shorter layout: in a window of it, or as a whole."""
        self.work += work.GO
        if self.two_lanes and self._sequence_work < _SEQUENCE_SHARE * self.work:
            yield from self._sequence()
            return
        share = 0.0 if self.count < 14 or not self.all_free else 0.5 if self.count < 24 else 0.75
        if self.choice.random() < share:
            if self._window(self._less):
                self._less, self._goal = min(8.0, self._less * 1.2), None
            else:
                self._less = max(0.6, self._less * 0.97)
            yield
        else:
            yield from self._shrink()

    def _shrink(self) -> Iterator[None]:
        """Try once for a shorter length; after failures from other layouts that nearly reached it, then for a smaller saving."""
        goal = self._goal if self._goal is not None else self._new_goal()
        self._goal = goal
        if goal.length < self._longest:
            self._goal = None
            yield
            return
        k = min(len(goal.pool) - 1, int(abs(self.choice.normal(0.0, 0.6)) * len(goal.pool)))  # mostly the least overlap
        pose, x, y = goal.pool[k][1].copied()
        if goal.fails:
            self._disturb(pose, x, y)
        loss, strip = yield from self._attempt(pose, x, y, goal.length, first=not goal.fails)
        if loss == 0.0:
            self.record(strip)
            self.compact(strip)
            self._share = min(0.01, self._share * 1.3) if not goal.fails else self._share
            self._goal = None
        elif loss < _MENDABLE * sqrt(self.count) and self.compact(strip):
            self._goal = None
        else:
            goal.failed(loss, strip)
            if goal.fails in (2, 5, 9) and self._share > 0.0008:
                self._share *= 0.5
                self._goal = None
        yield

    def _new_goal(self) -> "_Goal":
        start = self.sure
        return _Goal(start.length - max(0.5 * self.field.cell, start.length * self._share), [(1e17, start)])

    def _disturb(self, pose: Ints, x: Floats, y: Floats) -> None:
        """Exchange one or two pairs of blanks, or give one another pose; in place."""
        poses, tables = self.field.poses, self.field.tables
        for _unused in range(1 + int(self.choice.integers(2))):
            i, j = (int(k) for k in self.choice.integers(0, self.count, 2))
            if not (self._free[i] and self._free[j]):
                continue
            if self.part[i] != self.part[j]:
                off = float(poses.cells[pose[i]] - poses.cells[pose[j]]) * self.field.cell / 2
                x[i], x[j], y[i], y[j] = x[j] - off, x[i] + off, y[j], y[i]
            elif self.choice.random() < 0.5:
                pose[i] = self.choice.integers(tables.first[self.part[i]], tables.last[self.part[i]])

    def _attempt(
        self, pose: Ints, x: Floats, y: Floats, target: float, *, first: bool
    ) -> Generator[None, None, tuple[float, Strip]]:
        """Search for a layout without overlap in a length, a few sweeps at a time. Returns the least overlap and its layout."""
        room = self.field.room([(target, self.width)])
        bar = np.zeros(self.count, np.int64)
        places = self.field.snapped(room, pose, bar, x, y)
        if first:  # what sticks out goes to the end, or anywhere
            out = (x + self.field.poses.right[pose] > target) & (self.choice.random(self.count) < 0.5) & (self._free == 1)
            places.x[out] = (self.choice.random(int(out.sum())) * (room.shift[pose[out], 0] + 1)).astype(np.int64)
        weights, burst_best, best = np.ones((self.count, self.count)), places.copy(), places.copy()
        least, idle, swept = 1e18, 0, 0
        burst = 20 if self.count < 40 else 8
        while swept < _MOST_SWEEPS and idle < _PATIENCE:
            loss, looks = separate(
                self.field.tables, room, self.part, self._free, places, weights, burst, burst_best, self.chance
            )
            self.work += work.LOOK * looks
            swept += burst
            idle = 0 if loss < least * 0.98 else idle + burst
            if loss < least:
                least, best = loss, burst_best.copy()
            yield
            if loss == 0.0:
                break
        return least, self.strip(best.pose, self.field.along(best.x), best.y)

    def _window(self, less: float) -> bool:
        """Pack a window of the best layout again with everything to its right moved left by `less` mm; whether it got shorter."""
        pose, x, y = self.sure.copied()
        poses, choice, cell = self.field.poses, self.choice, self.field.cell
        length, size = self.sure.length, poses.cells[pose] * cell
        middle = choice.uniform(0.0, length)
        away = np.maximum(0.0, np.maximum(x - middle, middle - x - size)) + 0.2 * np.abs(x + size / 2 - middle)
        moving = np.zeros(self.count, bool)
        moving[np.argsort(away)[: min(self.count, int(choice.integers(*_WINDOW)))]] = True
        right = ~moving & (x + size / 2 > middle)
        x[right] -= less
        begin = np.floor(max(0.0, float(x[moving].min()) - 12.0))
        end = min(length - less, float((x + size)[moving].max()) + 12.0 - less)
        near = np.flatnonzero(moving | ((x + size > begin) & (x < end)))
        packed = self._packed(near, moving[near], pose, x - begin, y, end - begin)
        if packed is None:
            return False
        moved = near[moving[near]]
        columns = packed.pose, self.field.along(packed.x) + begin, packed.y
        pose[moved], x[moved], y[moved] = (column[moving[near]] for column in columns)
        return self.compact(self.strip(pose, x, y))

    def _packed(self, near: Ints, moving: Ints, pose: Ints, x: Floats, y: Floats, length: float) -> Places | None:
        """Places of a window's blanks, of which some do not move; None when they overlap beyond repair."""
        room = self.field.room([(length, self.width)])
        if (room.shift[pose[near[moving]], 0] < 0).any():
            return None
        n = len(near)
        shift = np.rint(x[near] / self.field.cell).astype(np.int64)
        shift[moving] = np.clip(shift[moving], 0, room.shift[pose[near[moving]], 0])
        places = Places(pose[near], np.zeros(n, np.int64), shift, y[near])
        best, weights = places.copy(), np.ones((n, n))
        loss, looks = separate(
            self.field.tables, room, self.part[near], moving.astype(np.int64), places, weights, _WINDOW_SWEEPS, best, self.chance
        )
        self.work += work.LOOK * looks
        return best if loss <= _WINDOW_MENDABLE else None
