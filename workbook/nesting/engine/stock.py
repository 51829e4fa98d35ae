"""Bars as the search over several sees them: inner sizes, the cost of taking one, which blanks may lie on it."""

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from workbook.nesting.engine.field import PartTables
from workbook.nesting.engine.kernel import Floats, Ints
from workbook.nesting.engine.overlaps import Room
from workbook.nesting.fits import inner
from workbook.nesting.model import NestingJob

# The price of bought bars comes before the price of rack bars, and that before length: factors so far apart that no sum of
# the lesser outweighs the least of the greater.
_RACK = 1e-5
_LENGTH = 1e-10  # per mm


class Kinds(Struct, frozen=True, eq=False):
    """The kinds of bar open to a group of parts, by number from 0."""

    stock: Ints  # the job's own numbers
    length: Floats  # mm, inside the margins, with half a separation all round
    width: Floats
    cost: Floats
    count: Ints
    suits: np.ndarray  # (parts of the field, kinds), bool; a fixed blank suits the kind of its own bar
    kept: tuple[int, ...] = ()  # kinds of the bars with which every standing begins

    @property
    def area(self) -> Floats:
        """The inner area of each kind, in mm²."""
        return self.length * self.width

    def room(self, field: PartTables, bars: Sequence[int]) -> Room:
        """The room on bars of these kinds; none for parts that do not suit them."""
        chosen = np.asarray(bars, np.int64)
        room = field.room(list(zip(self.length[chosen].tolist(), self.width[chosen].tolist(), strict=True)))
        parts = np.repeat(np.arange(len(field.poses.upright)), np.diff(field.poses.first))
        allowed = self.suits[parts][:, chosen]
        return Room(np.where(allowed, room.shift, -1), np.where(allowed, room.height, -1.0))


def kinds(job: NestingJob, parts: Sequence[int], stock: Sequence[int], blanks: int) -> Kinds:
    """The kinds of bar of a group; a kind without a count is available once for every blank."""
    kept_uses = [use for use in job.kept if use.stock in stock]
    staying = [[use.stock == s for s in stock] for use in kept_uses for _ in use.pieces]
    bars = [job.stock[s] for s in stock]
    buy_price = np.array([float(bar.price) if bar.source == "buy" else 0.0 for bar in bars])
    rack_price = np.array([0.0 if bar.source == "buy" else float(job.counts(s)) for s, bar in zip(stock, bars, strict=True)])
    length = np.array([bar.length for bar in bars])
    inside = np.array([inner(job, s) for s in stock]).reshape(len(bars), 2)
    return Kinds(
        stock=np.array(stock, np.int64),
        length=inside[:, 0] + job.separation,
        width=inside[:, 1] + job.separation,
        cost=buy_price + _RACK * rack_price + _LENGTH * length,
        count=np.array([blanks if bar.count is None else min(bar.count, blanks) for bar in bars], np.int64),
        suits=np.array([*([(p, s) in job.suits for s in stock] for p in parts), *staying]).reshape(-1, len(bars)),
        kept=tuple(stock.index(use.stock) for use in kept_uses),
    )
