"""The order in which a bar is cut apart: straight cuts across it where no blank lies, and the groups left between them."""

import itertools
from collections.abc import Sequence

from msgspec import Struct

from workbook.nesting.model import BarUse, NestingJob, written


class CutGroup(Struct, frozen=True):
    """Blanks that come off the bar together (indices of the bar's pieces), and the stretch of bar they take, in mm."""

    pieces: tuple[int, ...]
    start: float
    end: float


class CutPlan(Struct, frozen=True):
    """Where the saw cuts straight across (mm from end A), in order from the offcut inwards, and the groups from end A on."""

    across: tuple[float, ...]
    groups: tuple[CutGroup, ...]


def cut_plan(job: NestingJob, use: BarUse, offcut_from: float | None) -> CutPlan:
    """Plan cuts half a separation behind each group. `offcut_from`: where a kept offcut begins, in mm; it is cut off first."""
    spans = _spans(job, use)
    order = sorted(range(len(spans)), key=lambda i: spans[i])
    groups: list[list[int]] = []
    reach = float("-inf")
    for i in order:
        if spans[i][0] > reach + job.separation - 1e-6:  # room for a straight cut that leaves the line on both sides
            groups.append([])
        groups[-1].append(i)
        reach = max(reach, spans[i][1])
    cut_groups = tuple(_group(members, spans) for members in groups)
    between = [a.end + min(b.start - a.end, job.separation) / 2 for a, b in itertools.pairwise(cut_groups)]
    last = [offcut_from] if offcut_from is not None else []
    return CutPlan(tuple(reversed([*between, *last])), cut_groups)


def _spans(job: NestingJob, use: BarUse) -> list[tuple[float, float]]:
    """The lowest and highest x of each blank as written, in mm."""
    outlines = [written(job, piece)[:, 0] for piece in use.pieces]
    return [(float(x.min()), float(x.max())) for x in outlines]


def _group(members: Sequence[int], spans: Sequence[tuple[float, float]]) -> CutGroup:
    return CutGroup(tuple(members), min(spans[i][0] for i in members), max(spans[i][1] for i in members))
