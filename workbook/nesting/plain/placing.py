"""One way of filling bars: each blank in turn goes where its far end lies nearest to end A."""

from collections.abc import Sequence
from math import floor

import numpy as np
from msgspec import Struct, field

from workbook.geometry.path import Points
from workbook.nesting.fits import STEP, inward, room, trims
from workbook.nesting.model import BarUse, NestingJob, Piece
from workbook.nesting.plain.columns import Pose, Tables, pose

_CLEAR = 1e-7

Wall = tuple[int, Points, Points]  # the first column of some, and between which heights each is taken


class OpenBar(Struct):
    """A bar being filled. `full_for` remembers the parts that no longer fit: a bar only ever gets fuller."""

    stock: int
    placed: list[tuple[Pose, int, float]] = field(default_factory=list)  # pose, first column, height of its origin
    kept: tuple[Piece, ...] = ()  # the first of them, which were there before
    full_for: set[int] = field(default_factory=set)
    reach: float = 0.0


def kept_bar(job: NestingJob, use: BarUse) -> OpenBar:
    """A bar that is kept, with its blanks where they stay."""
    bar = OpenBar(use.stock, kept=use.pieces)
    for piece in use.pieces:
        low = float(piece.placement().points(job.parts[piece.part].outline)[:, 0].min()) - inward(job.bar_end)
        column = max(0, floor(low / STEP))
        bar.placed.append((pose(job, piece.part, piece.angle, piece.mirrored, low - column * STEP), column, piece.y))
    return bar


class Spot(Struct, frozen=True):
    """A free place for a pose."""

    end: float
    height: float
    pose: Pose
    column: int


def place(job: NestingJob, tables: Tables, bar: OpenBar, part: int, upside: float) -> bool:
    """Puts one blank of the part on the bar where its end lies nearest to end A. False when it has no place.

    `upside` in 0..1: how readily a place at the bar's upper edge is taken instead of one at its lower edge.
    """
    if part in bar.full_for:
        return False
    spots = [spot for pose in tables.poses[part] for spot in _spots(job, tables, bar, pose)]
    if not spots:
        bar.full_for.add(part)
        return False
    width = job.stock[bar.stock].width
    best = min(spots, key=lambda s: (round(s.end, 6), abs(s.height / width - upside)))
    bar.placed.append((best.pose, best.column, best.height))
    bar.reach = max(bar.reach, best.end)
    return True


def _spots(job: NestingJob, tables: Tables, bar: OpenBar, pose: Pose) -> list[Spot]:
    """The first column with a place from below, and the first with one from above."""
    below, above = trims(job, pose.part, pose.angle, mirrored=pose.mirrored)
    x0, y0, x1, y1 = pose.extent
    space = room(job, (x0, y0 + below, x1, y1 - above), bar.stock)
    if space is None:
        return []
    count, low, high = space
    walls = _walls(tables, bar, pose, count)
    found = []
    for from_below in (True, False):
        heights = (
            _rise(walls, np.full(count, low))
            if from_below
            else -_rise([(begin, -upper, -lower) for begin, lower, upper in walls], np.full(count, -high))
        )
        free = np.flatnonzero((heights <= high + _CLEAR) & (heights >= low - _CLEAR))
        if len(free):
            column = int(free[0])
            found.append(Spot(column * STEP + pose.reach, float(heights[column]), pose, column))
    return found


def _walls(tables: Tables, bar: OpenBar, pose: Pose, count: int) -> list[Wall]:
    """For each blank already there: the heights at which it clashes with the pose, by starting column."""
    walls = []
    n = len(pose.low)
    for fixed, column, height in bar.placed:
        under, over = tables.clash(fixed, pose)
        first = column - (n - 1)  # the starting column that the tables' first shift stands for
        begin, end = max(first, 0), min(first + len(under), count)
        if begin < end:
            seen = slice(begin - first, end - first)
            walls.append((begin, under[seen] + height, over[seen] + height))
    return walls


def _rise(walls: Sequence[Wall], heights: Points) -> Points:
    """Raises each height until it lies in no wall; the lowest free height at or above where it began."""
    moving = True
    while moving:
        moving = False
        for begin, lower, upper in walls:
            there = heights[begin : begin + len(lower)]
            inside = (there > lower + _CLEAR) & (there < upper - _CLEAR)
            if inside.any():
                np.copyto(there, upper, where=inside)
                moving = True
    return heights


def as_use(job: NestingJob, bar: OpenBar) -> BarUse:
    """The filled bar with its pieces in the order they lie along it."""
    start = inward(job.bar_end)
    new = [
        Piece(pose.part, start + column * STEP - pose.extent[0], height, pose.angle, pose.mirrored)
        for pose, column, height in bar.placed[len(bar.kept) :]
    ]
    pieces = [*bar.kept, *new]
    ends = [column for _, column, _ in bar.placed]
    order = sorted(range(len(pieces)), key=lambda i: (ends[i], bar.placed[i][2]))
    return BarUse(bar.stock, tuple(pieces[i] for i in order))
