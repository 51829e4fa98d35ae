"""Layouts that repeat: a small tile of one template over and over, or half of a large order laid out and then copied.

A search that places a hundred blanks one by one discovers late what a few of them already show.
"""

from collections.abc import Generator, Iterator

import numpy as np

from workbook.nesting.engine.compaction import Strip
from workbook.nesting.engine.field import PartTables
from workbook.nesting.engine.kernel import Floats, Ints
from workbook.nesting.engine.lines import closest_join
from workbook.nesting.engine.strip import StripSearch

TILES = (2, 3, 4, 6, 5, 8)  # blanks in a tile
FEWEST_TILED, FEWEST_HALVED = 10, 36  # blanks
_FIRST_WORK = 250_000.0  # of the first half or round of tiles; later ones get a share of the work done by then
_SHARE = 0.4


def steps(field: PartTables, search: StripSearch, seed: int) -> Iterator[None]:
    """Run a search endlessly, with repeats as further starts at the beginning and whenever its work has doubled."""
    yield from search.starts()
    tiles = search.count >= FEWEST_TILED and search.of_one_kind and search.all_free
    halves = search.count >= FEWEST_HALVED and search.all_free
    due, turn = 0.0, 0
    while True:
        if (tiles or halves) and search.work >= due:
            work = max(_FIRST_WORK, _SHARE * search.work)
            turn += 1
            own_seed = seed * 1009 + turn
            if halves:
                search.compact((yield from _halved(field, search, own_seed, work)))
            if tiles:
                search.compact((yield from _tiled(field, search, own_seed, work)))
            due = 2.0 * search.work
        yield from search.improve()


def _run(field: PartTables, search: StripSearch, seed: int, work: float) -> Generator[None, None, Strip]:
    """The best layout that a search finds within an amount of work."""
    going = steps(field, search, seed)
    while search.work < work:
        next(going)
        yield
    return search.sure


def _halved(field: PartTables, search: StripSearch, seed: int, work: float) -> Generator[None, None, Strip]:
    """Lay out half the order and a copy behind it, turned or mirrored so that it joins best; surplus blanks are dropped."""
    kinds, counts = np.unique(search.part, return_counts=True)
    part = np.repeat(kinds, (counts + 1) // 2)
    half = StripSearch(field, part, search.width, seed)
    strip = yield from _run(field, half, seed, work)
    search.work += half.work
    spare = [int(np.flatnonzero(part == kind)[-1]) for kind, count in zip(kinds, counts, strict=True) if count % 2]
    keep = np.setdiff1d(np.arange(len(part)), spare)
    copies = [_turned(field, strip, search.width, turn) for turn in range(4)]
    joins = [_join(field, strip, Strip(c.pose[keep], c.x[keep], c.y[keep], c.length), strip.length / 4) for c in copies]
    best = min(range(4), key=lambda k: joins[k])
    copy = copies[best]
    places = (
        np.r_[strip.pose, copy.pose[keep]],
        np.r_[strip.x, copy.x[keep] + joins[best]],
        np.r_[strip.y, copy.y[keep]],
    )
    return _ordered(search, np.r_[part, part[keep]], places)


def _turned(field: PartTables, strip: Strip, width: float, turn: int) -> Strip:
    """The whole layout turned (bit 0) and mirrored (bit 1)."""
    poses, (pose, x, y) = field.poses, strip.places
    if turn & 1:
        x = strip.length - x - poses.cells[pose] * field.cell
    if turn in (1, 2):
        y = width - y - poses.height[pose]
    return Strip(pose ^ turn, x, y, strip.length)


def _join(field: PartTables, first: Strip, second: Strip, stop: float) -> float:
    """Where the second layout can begin behind the first, in mm."""
    return float(closest_join(field.shapes, *first.places, *second.places, first.length + 2.0, stop))


def _ordered(search: StripSearch, part: Ints, places: tuple[Ints, Floats, Floats]) -> Strip:
    """The layout with blanks in the search's own order; blanks of one part are alike."""
    target, source = np.argsort(search.part, kind="stable"), np.argsort(part, kind="stable")
    pose, x, y = np.zeros(search.count, np.int64), np.zeros(search.count), np.zeros(search.count)
    pose[target], x[target], y[target] = (column[source] for column in places)
    return search.strip(pose, x, y)


def _tiled(field: PartTables, search: StripSearch, seed: int, work: float) -> Generator[None, None, Strip]:
    """Repeat the best tile of a few blanks."""
    kind, count = int(search.part[0]), search.count
    sizes = [m for m in TILES if 2 * m <= count]
    best: tuple[float, float, Strip] | None = None
    for m in sizes:
        tile = StripSearch(field, [kind] * m, search.width, seed * 31 + m)
        strip = yield from _run(field, tile, seed, work / len(sizes))
        search.work += tile.work
        period = _join(field, strip, strip, strip.length / 4)
        if best is None or period / m < best[0]:
            best = period / m, period, strip
    assert best is not None
    _, period, strip = best
    times = -(-count // len(strip.pose))
    x = np.concatenate([strip.x + k * period for k in range(times)])
    pose, y = np.tile(strip.pose, times), np.tile(strip.y, times)
    keep = np.sort(np.argsort(x + field.poses.right[pose], kind="stable")[:count])
    return search.strip(pose[keep], x[keep], y[keep])
