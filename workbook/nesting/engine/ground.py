"""The arrangement of bars and blanks in a search over several bars, and what every way of changing it needs."""

from collections.abc import Generator, Sequence

import numpy as np
from msgspec import Struct

from workbook.nesting.engine import work
from workbook.nesting.engine.compaction import Strip, compacted, reach_of
from workbook.nesting.engine.field import PartTables
from workbook.nesting.engine.fill import NOWHERE, fill
from workbook.nesting.engine.intervals import TOUCH
from workbook.nesting.engine.kernel import Floats, Ints, chance_from
from workbook.nesting.engine.lines import worst
from workbook.nesting.engine.overlaps import Places, Room
from workbook.nesting.engine.separation import separate
from workbook.nesting.engine.stock import Kinds

FULLEST = 0.95  # of a bar's area; nothing packs better
MENDABLE = 1.5  # the most overlap on which compaction is tried


class EngineLayout(Struct, frozen=True, eq=False):
    """The bars in use (numbers of kinds), and for each blank its bar (-1: none), pose and place (mm)."""

    bars: tuple[int, ...]
    pose: Ints
    bar: Ints
    x: Floats
    y: Floats

    def on(self, bar: int) -> Ints:
        """The blanks on a bar."""
        return np.flatnonzero(self.bar == bar)

    def with_blanks(self, which: Ints, bar: int, pose: Ints, x: Floats, y: Floats) -> "EngineLayout":
        """The layout with some blanks put elsewhere on a bar."""
        layout = EngineLayout(self.bars, self.pose.copy(), self.bar.copy(), self.x.copy(), self.y.copy())
        layout.pose[which], layout.bar[which], layout.x[which], layout.y[which] = pose, bar, x, y
        return layout

    def without_bar(self, bar: int) -> "EngineLayout":
        """The layout without an empty bar."""
        bars = self.bars[:bar] + self.bars[bar + 1 :]
        return EngineLayout(bars, self.pose, np.where(self.bar > bar, self.bar - 1, self.bar), self.x, self.y)

    def exchanged(self, bar: int, kind: int) -> "EngineLayout":
        """The layout with one bar of another kind."""
        bars = (*self.bars[:bar], kind, *self.bars[bar + 1 :])
        return EngineLayout(bars, self.pose, self.bar, self.x, self.y)


class Ground:
    """The blanks and kinds of bar of one group, and the operations that place blanks on bars."""

    def __init__(self, field: PartTables, kinds: Kinds, part: Ints, area: Floats, seed: int) -> None:
        self.field, self.kinds, self.part = field, kinds, part
        self.area = area  # of each blank, grown by half the separation
        self.choice, self.chance = np.random.default_rng(seed), chance_from(seed)
        self.seed = seed
        self.work = 0.0
        self.free = self._free()  # of each blank: 1, or 0 where it is fixed
        self.able = self._able()
        if not self.able.any(axis=1).all():  # a blank may fit only when it leans
            self.lean()

    def _free(self) -> Ints:
        return np.asarray(self.part < self.field.poses.moving, np.int64)

    def _able(self) -> np.ndarray:
        """Which blanks fit which kinds: (blanks, kinds), bool."""
        first, last = self.field.tables.first, self.field.tables.last
        room = self.kinds.room(self.field, range(len(self.kinds.stock)))
        able = [room.shift[first[p] : last[p]].max(axis=0) >= 0 for p in self.part]
        return np.array(able).reshape(len(self.part), len(self.kinds.stock))

    def lean(self) -> None:
        """Allow blanks to lean from now on, as far as the job permits."""
        self.field = self.field.leaning()
        self.able = self._able()

    def cost(self, standing: EngineLayout) -> float:
        """The cost of a layout's bars, in the units of `Kinds.cost`."""
        return float(self.kinds.cost[list(standing.bars)].sum())

    def left(self, standing: EngineLayout) -> float:
        """The area in mm² of the blanks that found no room."""
        return float(self.area[standing.bar == NOWHERE].sum())

    def used(self, standing: EngineLayout, bar: int) -> float:
        """The used length of a bar's room, in mm."""
        blanks = standing.on(bar)
        return reach_of(self.field, standing.pose[blanks], standing.x[blanks]) if len(blanks) else 0.0

    def offcuts(self, standing: EngineLayout) -> Floats:
        """The unused length of each bar, in mm."""
        lengths = np.array([self.used(standing, b) for b in range(len(standing.bars))])
        return np.asarray(self.kinds.length[list(standing.bars)] - lengths)

    def rank(self, standing: EngineLayout) -> tuple[float, float, float]:
        """The score to be minimised: area left over (mm²), cost, minus the longest offcut (mm)."""
        offcuts = self.offcuts(standing)
        return round(self.left(standing), 6), self.cost(standing), -float(offcuts.max()) if len(offcuts) else 0.0

    def noise(self, noise: float, count: int) -> Floats:
        """Random factors around 1."""
        return self.choice.uniform(1 - noise, 1 + noise, count) if noise else np.ones(count)

    def nothing(self) -> EngineLayout:
        """The layout with only the kept bars and the fixed blanks; every other blank is left over."""
        count = len(self.part)
        first = self.field.tables.first[self.part]
        standing = EngineLayout(self.kinds.kept, first, np.full(count, NOWHERE), np.zeros(count), np.zeros(count))
        stay = np.flatnonzero(self.free == 0)
        standing.bar[stay], standing.x[stay], standing.y[stay] = self.field.poses.standing
        return standing

    def empty(self, which: Ints) -> Places:
        """Places for blanks that are nowhere yet."""
        count = len(which)
        first = self.field.tables.first[self.part[which]]
        return Places(first, np.full(count, NOWHERE), np.zeros(count, np.int64), np.zeros(count))

    def fill(self, room: Room, which: Ints, order: Ints, places: Places) -> None:
        """Place blanks (numbers within `which`, in this order) where there is room."""
        fill(self.field.tables, room, self.part[which], order, places)
        self.work += work.FILL * len(which) ** 2

    def shifts(self, now: EngineLayout, which: Ints, bar: Ints, room: Room) -> Places:
        """The present places of blanks as whole shifts, on the given bars (-1: nowhere)."""
        shift = np.rint(now.x[which] / self.field.cell).astype(np.int64)
        shift = np.where(bar == NOWHERE, 0, np.clip(shift, 0, room.shift[now.pose[which], bar]))
        return Places(now.pose[which], bar, shift, now.y[which].copy())

    def filled(self, bars: Sequence[int], which: Ints, size: Floats) -> Places:
        """Place blanks on empty bars, largest first."""
        places = self.empty(which)
        self.fill(self.kinds.room(self.field, bars), which, np.argsort(-size, kind="stable"), places)
        return places

    def scatter(self, which: Ints, room: Room, bars: Sequence[int], places: Places) -> bool:
        """Put each blank without a place anywhere on the bar with the most free area; False when one fits none."""
        free = self.kinds.area[list(bars)].copy()
        for b in range(len(bars)):
            free[b] -= self.area[which[places.bar == b]].sum()
        tables = self.field.tables
        for i in np.flatnonzero(places.bar == NOWHERE):
            part = self.part[which[i]]
            poses = np.arange(tables.first[part], tables.last[part])
            able = np.flatnonzero((room.shift[poses] >= 0).any(axis=0))
            if not len(able):
                return False
            b = int(able[np.argmax(free[able])])
            free[b] -= self.area[which[i]]
            pose = int(self.choice.choice(poses[room.shift[poses, b] >= 0]))
            places.pose[i], places.bar[i] = pose, b
            places.x[i] = self.choice.integers(0, room.shift[pose, b] + 1)
            places.y[i] = self.choice.uniform(0.0, room.height[pose, b])
        return True

    def separated(self, which: Ints, room: Room, places: Places, sweeps: int) -> Generator[None, None, Places | None]:
        """Search until no blanks overlap, or so little that it can be repaired; None beyond that."""
        n = len(which)
        weights, best, burst_best = np.ones((n, n)), places.copy(), places.copy()
        least, idle, burst = 1e18, 0, 8 if n <= 120 else 2
        for _ in range(0, sweeps, burst):
            loss, looks = separate(
                self.field.tables, room, self.part[which], self.free[which], places, weights, burst, burst_best, self.chance
            )
            self.work += work.LOOK * looks
            yield
            idle = 0 if loss < least * 0.98 else idle + burst
            if loss < least:
                least, best = loss, burst_best.copy()
            if loss == 0.0 or idle > 60:
                break
        return best if least < MENDABLE else None

    def standing(self, bars: Sequence[int], which: Ints, places: Places) -> EngineLayout | None:
        """Convert places to a layout, with overlaps on each bar repaired; None when that fails."""
        start = self.nothing()
        layout = EngineLayout(tuple(bars), start.pose, np.full(len(start.bar), NOWHERE), start.x, start.y)
        for b in range(len(bars)):
            on_bar = places.bar == b
            strip = self.mended(bars[b], places.pose[on_bar], self.field.along(places.x[on_bar]), places.y[on_bar])
            if strip is None:
                return None
            layout = layout.with_blanks(which[on_bar], b, *strip.places)
        empty = [b for b in range(len(bars)) if not len(layout.on(b))]
        for b in reversed(empty):
            layout = layout.without_bar(b)
        return layout

    def packed(self, which: Ints, kind: int, room: Room, places: Places) -> Strip | None:
        """Search from the present places until the blanks on one bar do not overlap; None when that fails."""
        n = len(which)
        best = places.copy()
        loss, looks = separate(
            self.field.tables, room, self.part[which], self.free[which], places, np.ones((n, n)), 40, best, self.chance
        )
        self.work += work.LOOK * looks
        return None if loss >= MENDABLE else self.mended(kind, best.pose, self.field.along(best.x), best.y)

    def mended(self, kind: int, pose: Ints, x: Floats, y: Floats) -> Strip | None:
        """Repair overlaps of a bar's blanks within its length; None when that fails."""
        strip = Strip(pose, x, y, reach_of(self.field, pose, x) if len(pose) else 0.0)
        if len(pose) < 2 or worst(self.field.shapes, pose, x, y) <= TOUCH:
            return strip
        self.work += work.COMPACT * len(pose)
        result = compacted(self.field, strip, float(self.kinds.width[kind]), reach=6.0, rounds=5, gain=0.3)
        return result if result is not None and result.length <= self.kinds.length[kind] + 1e-6 else None
