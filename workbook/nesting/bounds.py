"""A bound that no layout can beat: the price of the cheapest bars that hold all the blanks by area.

Outlines at least the separation apart, grown by half of it, cannot overlap and lie in the bar grown by as much beyond its
margins; so the grown areas must fit in the grown areas of whole bars (covering knapsack).
"""

import heapq
from collections import Counter
from collections.abc import Sequence
from decimal import Decimal
from itertools import count
from math import floor

from msgspec import Struct

from workbook.geometry.polygon import hull
from workbook.nesting.model import Layout, NestingJob, region

_MOST_NODES = 20_000


class Offer(Struct, frozen=True):
    """A kind of bar as the bound sees it: its price, its room in mm² and how many there are (None: any number)."""

    price: float
    room: float
    count: int | None


def least_price(offers: Sequence[Offer], area: float) -> float:
    """The least price of whole bars with together at least this room (mm²); a lower bound when the search grows too large.

    Best-first branch and bound: the smallest promise on the frontier is always a valid bound. inf when all bars together
    are too small.
    """
    ranked = sorted((o for o in offers if o.room > 0), key=lambda o: o.price / o.room)
    tie = count()
    frontier = [(_fill(ranked, 0, area), next(tie), 0, area, 0.0)]
    for _ in range(_MOST_NODES):
        promise, _, index, needed, spent = heapq.heappop(frontier)
        if needed <= 1e-9 or promise == float("inf"):
            return promise
        for n in range(_enough(ranked[index], needed) + 1):
            remaining, cost = needed - n * ranked[index].room, spent + n * ranked[index].price
            promise_on = cost + _fill(ranked, index + 1, remaining)
            if promise_on < float("inf"):
                heapq.heappush(frontier, (promise_on, next(tie), index + 1, remaining, cost))
        if not frontier:
            return float("inf")
    return frontier[0][0]


def _enough(offer: Offer, needed: float) -> int:
    bars = max(0, -int(-needed // offer.room))
    return bars if offer.count is None else min(bars, offer.count)


def _fill(ranked: Sequence[Offer], index: int, needed: float) -> float:
    """The price of covering the needed area with bars that may be cut to any share (linear relaxation)."""
    spent = 0.0
    for offer in ranked[index:]:
        if needed <= 1e-9:
            return spent
        room = needed if offer.count is None else min(needed, offer.count * offer.room)
        spent += room / offer.room * offer.price
        needed -= room
    return spent if needed <= 1e-9 else float("inf")


def area_bound(job: NestingJob, quantities: Sequence[int]) -> Decimal:
    """The least price of the bars for so many blanks of each part, summed over groups of parts that share bars."""
    total = Decimal(0)
    kept_counts = Counter(use.stock for use in job.kept)
    for parts, stock in groups(job):
        area = sum(grown_area(job, part) * quantities[part] for part in parts)
        area -= sum(kept_counts[s] * _offer(job, s).room for s in stock)  # bars that are kept, filled to the last
        total += sum((kept_counts[s] * job.stock[s].price for s in stock), Decimal(0))
        if area > 0:
            price = least_price([_offer(job, s, less=kept_counts[s]) for s in stock], area)
            total += Decimal(floor(price * 100 + 1e-4)) / 100 if price < float("inf") else Decimal(0)
    return max(total, Decimal(0)).quantize(Decimal("0.01"))


def grown_area(job: NestingJob, part: int) -> float:
    """The area in mm² of a finished outline grown by half the separation; slightly too small, never too large."""
    shape = region(job.parts[part])
    shape = hull(shape) if job.hulls else shape
    return float(shape.buffer(job.separation / 2, quad_segs=8).area)  # chords inside the true round


def inner_room(job: NestingJob, stock: int) -> tuple[float, float]:
    """A bar's length and width in mm between its margins, with half the separation all round: grown blanks lie in no more."""
    bar = job.stock[stock]
    spare = job.bar_edge if any(part.on_edge for part in job.parts) else 0.0  # what a spine on either edge saves
    return bar.length + bar.beyond - 2 * job.bar_end + job.separation, bar.width - 2 * (job.edge(stock) - spare) + job.separation


def _offer(job: NestingJob, index: int, less: int = 0) -> Offer:
    bar = job.stock[index]
    along, across = inner_room(job, index)
    return Offer(float(bar.price), max(along, 0.0) * max(across, 0.0), None if bar.count is None else bar.count - less)


def groups(job: NestingJob) -> list[tuple[list[int], list[int]]]:
    """Group parts and bars that suit each other, directly or through others; each group is laid out on its own."""
    remaining, result = set(range(len(job.parts))), []
    while remaining:
        parts, stock = {min(remaining)}, set[int]()
        while True:
            more_stock = {s for p, s in job.suits if p in parts} - stock
            stock |= more_stock
            more_parts = {p for p, s in job.suits if s in stock} - parts
            parts |= more_parts
            if not more_stock and not more_parts:
                break
        remaining -= parts
        result.append((sorted(parts), sorted(stock)))
    return result


def least_lost(job: NestingJob, layout: Layout) -> float:
    """The least share (0..1) of these bars' steel that is lost, however the blanks lie on them: gaps and what the saw takes.

    The grown blanks of a bar lie in its first `reach` mm, so reach + separation - the end's margin times the bar's grown
    width is at least their area; what lies beyond the used length is an offcut, the rest less the blanks is lost.
    """
    if not layout.bars:
        return 0.0
    bars = [(job.stock[use.stock], use.stock) for use in layout.bars]
    pieces = Counter(piece.part for use in layout.bars for piece in use.pieces)
    finished = sum(n * float(region(job.parts[part]).area) for part, n in pieces.items())
    clear = sum(n * grown_area(job, part) for part, n in pieces.items())
    narrow = min(bar.width / inner_room(job, s)[1] for bar, s in bars)
    ends = sum(bar.width * (job.bar_end - job.separation + min(job.lost_at_end, job.bar_end)) for bar, s in bars)
    total = sum(bar.area for bar, _ in bars)
    return max(0.0, (clear * narrow + ends - finished) / total)
