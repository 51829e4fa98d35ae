"""Where bars and blanks stand in a search over several bars, and what every way of changing that needs."""

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
MENDABLE = 1.5  # overlap that compaction is tried on


class EngineLayout(Struct, frozen=True, eq=False):
    """Bars taken (numbers of kinds), and for each blank its bar (-1: none), pose and place."""

    bars: tuple[int, ...]
    pose: Ints
    bar: Ints
    x: Floats
    y: Floats

    def on(self, bar: int) -> Ints:
        """Blanks on a bar."""
        return np.flatnonzero(self.bar == bar)

    def with_blanks(self, which: Ints, bar: int, pose: Ints, x: Floats, y: Floats) -> "EngineLayout":
        """Some blanks put elsewhere on a bar."""
        made = EngineLayout(self.bars, self.pose.copy(), self.bar.copy(), self.x.copy(), self.y.copy())
        made.pose[which], made.bar[which], made.x[which], made.y[which] = pose, bar, x, y
        return made

    def without_bar(self, bar: int) -> "EngineLayout":
        """One empty bar less."""
        bars = self.bars[:bar] + self.bars[bar + 1 :]
        return EngineLayout(bars, self.pose, np.where(self.bar > bar, self.bar - 1, self.bar), self.x, self.y)

    def exchanged(self, bar: int, kind: int) -> "EngineLayout":
        """One bar of another kind."""
        bars = (*self.bars[:bar], kind, *self.bars[bar + 1 :])
        return EngineLayout(bars, self.pose, self.bar, self.x, self.y)


class Ground:
    """The blanks and kinds of bar of one group, and the tools to stand the ones on the others."""

    def __init__(self, field: PartTables, kinds: Kinds, part: Ints, area: Floats, seed: int) -> None:
        self.field, self.kinds, self.part = field, kinds, part
        self.area = area  # of each blank, grown by half the separation
        self.choice, self.chance = np.random.default_rng(seed), chance_from(seed)
        self.seed = seed
        self.work = 0.0
        self.free = self._free()  # of each blank: 1, or 0 where it stays
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
        """Lets blanks lean from now on, as far as the job allows."""
        self.field = self.field.leaning()
        self.able = self._able()

    def cost(self, standing: EngineLayout) -> float:
        """What its bars cost."""
        return float(self.kinds.cost[list(standing.bars)].sum())

    def left(self, standing: EngineLayout) -> float:
        """Area of the blanks that found no room."""
        return float(self.area[standing.bar == NOWHERE].sum())

    def used(self, standing: EngineLayout, bar: int) -> float:
        """Length of a bar's room that is taken."""
        own = standing.on(bar)
        return reach_of(self.field, standing.pose[own], standing.x[own]) if len(own) else 0.0

    def offcuts(self, standing: EngineLayout) -> Floats:
        """What is left of each bar's length."""
        used = np.array([self.used(standing, b) for b in range(len(standing.bars))])
        return np.asarray(self.kinds.length[list(standing.bars)] - used)

    def rank(self, standing: EngineLayout) -> tuple[float, float, float]:
        """What is minimised: area left over, cost, then less the longest offcut."""
        offcuts = self.offcuts(standing)
        return round(self.left(standing), 6), self.cost(standing), -float(offcuts.max()) if len(offcuts) else 0.0

    def noise(self, noise: float, count: int) -> Floats:
        """Factors about 1."""
        return self.choice.uniform(1 - noise, 1 + noise, count) if noise else np.ones(count)

    def nothing(self) -> EngineLayout:
        """No bar taken but those that are kept, every blank left over but those that stay."""
        count = len(self.part)
        first = self.field.tables.first[self.part]
        made = EngineLayout(self.kinds.kept, first, np.full(count, NOWHERE), np.zeros(count), np.zeros(count))
        stay = np.flatnonzero(self.free == 0)
        made.bar[stay], made.x[stay], made.y[stay] = self.field.poses.standing
        return made

    def empty(self, which: Ints) -> Places:
        """Blanks that stand nowhere yet."""
        count = len(which)
        first = self.field.tables.first[self.part[which]]
        return Places(first, np.full(count, NOWHERE), np.zeros(count, np.int64), np.zeros(count))

    def fill(self, room: Room, which: Ints, order: Ints, places: Places) -> None:
        """Puts blanks (numbers within `which`, in this order) where there is room."""
        fill(self.field.tables, room, self.part[which], order, places)
        self.work += work.FILL * len(which) ** 2

    def shifts(self, now: EngineLayout, which: Ints, bar: Ints, room: Room) -> Places:
        """Blanks where they stand now, on bars given anew (-1: nowhere), as whole shifts."""
        shift = np.rint(now.x[which] / self.field.cell).astype(np.int64)
        shift = np.where(bar == NOWHERE, 0, np.clip(shift, 0, room.shift[now.pose[which], bar]))
        return Places(now.pose[which], bar, shift, now.y[which].copy())

    def filled(self, bars: Sequence[int], which: Ints, size: Floats) -> Places:
        """Blanks put on empty bars, largest first."""
        places = self.empty(which)
        self.fill(self.kinds.room(self.field, bars), which, np.argsort(-size, kind="stable"), places)
        return places

    def scatter(self, which: Ints, room: Room, bars: Sequence[int], places: Places) -> bool:
        """Puts blanks without a place somewhere on the bar with most area free; False when one fits none."""
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
        """Overlaps searched away, or nearly (None beyond mending)."""
        n = len(which)
        weights, best, kept = np.ones((n, n)), places.copy(), places.copy()
        least, idle, burst = 1e18, 0, 8 if n <= 120 else 2
        for _ in range(0, sweeps, burst):
            loss, looks = separate(
                self.field.tables, room, self.part[which], self.free[which], places, weights, burst, kept, self.chance
            )
            self.work += work.LOOK * looks
            yield
            idle = 0 if loss < least * 0.98 else idle + burst
            if loss < least:
                least, best = loss, kept.copy()
            if loss == 0.0 or idle > 60:
                break
        return best if least < MENDABLE else None

    def standing(self, bars: Sequence[int], which: Ints, places: Places) -> EngineLayout | None:
        """Places as a standing, each bar mended where blanks still overlap; None when that fails."""
        none = self.nothing()
        made = EngineLayout(tuple(bars), none.pose, np.full(len(none.bar), NOWHERE), none.x, none.y)
        for b in range(len(bars)):
            own = places.bar == b
            strip = self.mended(bars[b], places.pose[own], self.field.along(places.x[own]), places.y[own])
            if strip is None:
                return None
            made = made.with_blanks(which[own], b, *strip.places)
        empty = [b for b in range(len(bars)) if not len(made.on(b))]
        for b in reversed(empty):
            made = made.without_bar(b)
        return made

    def packed(self, which: Ints, kind: int, room: Room, places: Places) -> Strip | None:
        """Blanks on one bar, overlaps searched away from where they are; None when they do not come free."""
        n = len(which)
        best = places.copy()
        loss, looks = separate(
            self.field.tables, room, self.part[which], self.free[which], places, np.ones((n, n)), 40, best, self.chance
        )
        self.work += work.LOOK * looks
        return None if loss >= MENDABLE else self.mended(kind, best.pose, self.field.along(best.x), best.y)

    def mended(self, kind: int, pose: Ints, x: Floats, y: Floats) -> Strip | None:
        """A bar's blanks without overlap, within its length."""
        strip = Strip(pose, x, y, reach_of(self.field, pose, x) if len(pose) else 0.0)
        if len(pose) < 2 or worst(self.field.shapes, pose, x, y) <= TOUCH:
            return strip
        self.work += work.COMPACT * len(pose)
        found = compacted(self.field, strip, float(self.kinds.width[kind]), reach=6.0, rounds=5, gain=0.3)
        return found if found is not None and found.length <= self.kinds.length[kind] + 1e-6 else None
