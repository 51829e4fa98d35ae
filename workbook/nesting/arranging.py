"""Blanks of a layout put elsewhere by hand: along their bar, on another, on a bar not yet used; two of them exchanged."""

from collections import Counter
from collections.abc import Mapping, Sequence
from itertools import product

from msgspec import Struct

from workbook.geometry.polygon import Polygon
from workbook.nesting.by_hand import Bed, shifted
from workbook.nesting.model import BarUse, Layout, NestingJob, Piece
from workbook.nesting.verify import outline
from workbook.structs import replace

Spot = tuple[int, int]  # a bar of a layout and one of its blanks, both from 0
_Rows = list[tuple[int, list[tuple[Spot, Piece]]]]  # of each bar: its stock, and its blanks with the spots they had before


class Arranged(Struct, frozen=True):
    """A layout after a change by hand. `now`: the spot of every blank by the spot it had before."""

    layout: Layout
    now: Mapping[Spot, Spot]


def put(layout: Layout, spot: Spot, piece: Piece, to: int, stock: int | None = None) -> Arranged:
    """Move a blank elsewhere on its bar or to another; `to` after the last bar adds one of `stock`. An empty bar is dropped."""
    bar, index = spot
    rows = _rows(layout)
    if stock is not None:
        rows.append((stock, []))
    if to == bar:
        rows[bar][1][index] = (spot, piece)
    else:
        rows[bar][1].pop(index)
        rows[to][1].append((spot, piece))
    return _arranged(layout, rows)


def exchanged(job: NestingJob, layout: Layout, first: Spot, second: Spot) -> Arranged | None:
    """Exchange two blanks; None where one is not made of the other's bar.

    Each lies as the other did, with its middle, an end or a side where the other had it: the first of these that is clear, or
    else the nearest clear place; without one it lies over a neighbour.
    """
    (bar_a, a), (bar_b, b) = first, second
    use_a, use_b = layout.bars[bar_a], layout.bars[bar_b]
    piece_a, piece_b = use_a.pieces[a], use_b.pieces[b]
    if not {(piece_a.part, use_b.stock), (piece_b.part, use_a.stock)} <= job.suits:
        return None
    gone = frozenset((first, second))
    to_b = _in_place_of(_bed(job, layout, bar_b, gone), piece_a, piece_b)
    beside = (outline(job, to_b),) if bar_a == bar_b else ()
    to_a = _in_place_of(_bed(job, layout, bar_a, gone, beside), piece_b, piece_a)
    rows = _rows(layout)
    rows[bar_b][1][b], rows[bar_a][1][a] = (first, to_b), (second, to_a)
    return _arranged(layout, rows)


def unused_bars(job: NestingJob, layout: Layout, part: int) -> list[int]:
    """The stock that suits a part and has a bar which the layout does not use: the rack's first, then by price."""
    uses = Counter(use.stock for use in layout.bars)
    free = [s for p, s in job.suits if p == part and ((count := job.stock[s].count) is None or uses[s] < count)]
    return sorted(free, key=lambda s: (job.stock[s].source == "buy", job.stock[s].price, s))


def _rows(layout: Layout) -> _Rows:
    return [(use.stock, [((b, i), piece) for i, piece in enumerate(use.pieces)]) for b, use in enumerate(layout.bars)]


def _arranged(layout: Layout, rows: _Rows) -> Arranged:
    """The layout of the bars that have blanks."""
    used = [row for row in rows if row[1]]
    now = {spot: (b, i) for b, (_stock, row) in enumerate(used) for i, (spot, _piece) in enumerate(row)}
    return Arranged(Layout(tuple(BarUse(stock, tuple(p for _, p in row)) for stock, row in used), layout.left_over), now)


def _bed(job: NestingJob, layout: Layout, bar: int, gone: frozenset[Spot], beside: Sequence[Polygon] = ()) -> Bed:
    """A bar without some blanks, but with others beside those that stay."""
    use = layout.bars[bar]
    staying = tuple(i for i in range(len(use.pieces)) if (bar, i) not in gone)
    return Bed(job, use.stock, (*(outline(job, use.pieces[i]) for i in staying), *beside), (*staying, *(-1 for _ in beside)))


def _in_place_of(bed: Bed, piece: Piece, other: Piece) -> Piece:
    """A blank put where another lay."""
    if piece.part == other.part:
        return other
    ways = [other, piece] if bed.job.parts[piece.part].directions == bed.job.parts[other.part].directions else [piece]
    places = [place for way in ways for place in _aligned(bed.job, replace(piece, angle=way.angle, mirrored=way.mirrored), other)]
    clear = next((place for place in places if bed.standing(place).clear), None)
    return clear or bed.clear_of(places[0]) or places[0]


def _aligned(job: NestingJob, piece: Piece, other: Piece) -> list[Piece]:
    """A blank with its middle where another has it, then with an end or a side there."""
    x0, y0, x1, y1 = outline(job, piece).bounds
    u0, v0, u1, v1 = outline(job, other).bounds
    along = ((u0 + u1 - x0 - x1) / 2, u0 - x0, u1 - x1)
    across = ((v0 + v1 - y0 - y1) / 2, v0 - y0, v1 - y1)
    return [shifted(piece, dx, dy) for dx, dy in product(along, across)]
