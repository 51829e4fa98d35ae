"""Blanks that stay where they are: the rest laid out round them, one more blank on a bar, what else fits on one."""

from collections import Counter
from collections.abc import Iterator, Sequence
from math import floor, radians
from typing import Any

import numpy as np
from msgspec import Struct

from workbook.formats.layout_in import WrittenBar, WrittenPiece
from workbook.nesting.bounds import grown_area, inner_room
from workbook.nesting.fits import fits_alone
from workbook.nesting.model import DECIMALS, BarUse, Layout, NestingJob, Piece, Stock, used_length, written
from workbook.nesting.verify import faults
from workbook.problems import JobError, Mistake
from workbook.structs import replace
from workbook.tasks.searching import search
from workbook.texts import _
from workbook.units import Unit, show

_MOST_FAULTS = 6  # said one by one
_CHANGED = 0.01  # mm an outline may differ from the one in a file that is kept
_MOST_MORE = 60  # blanks tried when it is asked what else fits
_FITS_STEPS = 40


class Fits(Struct, frozen=True):
    """How many blanks of a part would fit on a bar besides those there."""

    part: int
    more: int


def keeping(nesting: NestingJob, kept: Sequence[BarUse], marks: Sequence[Sequence[str]] = ()) -> NestingJob:
    """The job with blanks that stay, and the serials they keep (of each bar's blanks, if they have any).

    Raises JobError when they cannot stay so: they clash, or are more than are to be made.
    """
    own = Counter(piece.part for use in kept for piece in use.pieces)
    parts = tuple(replace(part, quantity=own[p]) for p, part in enumerate(nesting.parts))
    found = faults(replace(nesting, parts=parts), Layout(tuple(kept)))
    mistakes = [Mistake(place=_("blanks kept"), what=f"{fault}.") for fault in found[:_MOST_FAULTS]]
    if mistakes:
        more = (
            _("and {count} faults more.", count=len(found) - len(mistakes))
            if len(found) > len(mistakes)
            else _("so they cannot all stay.")
        )
        mistakes.append(Mistake(place=_("blanks kept"), what=more, right=_("Keep fewer of them, by their serials.")))
    for p, part in enumerate(nesting.parts):
        if own[p] > part.quantity:
            what = _("{own} {name} are to stay, {quantity} are to be made.", own=own[p], name=part.name, quantity=part.quantity)
            mistakes.append(Mistake(place=_("blanks kept"), what=what, right=_("Make as many, or keep fewer.")))
    if mistakes:
        raise JobError(mistakes)
    return replace(nesting, kept=tuple(kept), marks=tuple(tuple(row) for row in marks))


Spots = frozenset[tuple[int, int]]  # blanks of a layout: its bar and which of the bar's pieces, both from 0


def kept_at(layout: Layout, spots: Spots) -> tuple[BarUse, ...]:
    """The blanks at some spots as bars with blanks that stay."""
    kept = []
    for b, use in enumerate(layout.bars):
        pieces = tuple(piece for i, piece in enumerate(use.pieces) if (b, i) in spots)
        kept += [BarUse(use.stock, pieces)] if pieces else []
    return tuple(kept)


def spots_of(layout: Layout, kept: Sequence[BarUse]) -> Spots:
    """Where blanks that stay are in a layout; those it has not are left out."""
    free, found = list(range(len(layout.bars))), set()
    for wanted in kept:
        bars = (b for b in free if layout.bars[b].stock == wanted.stock and set(wanted.pieces) <= set(layout.bars[b].pieces))
        bar = next(bars, None)
        if bar is not None:
            free.remove(bar)
            found |= {(bar, layout.bars[bar].pieces.index(piece)) for piece in wanted.pieces}
    return frozenset(found)


def kept_from(
    nesting: NestingJob, bars: Sequence[WrittenBar], serials: Sequence[str] = ()
) -> tuple[tuple[BarUse, ...], tuple[tuple[str, ...], ...]]:
    """Bars of an earlier layout with the blanks that are to stay, and their serials.

    With serials given those blanks; JobError for what the job does not know any more, or knows otherwise. Without: all that
    the job still makes, as many as it makes.
    """
    known = {piece.serial for bar in bars for piece in bar.pieces}
    mistakes = [_unknown(serial, sorted(known)) for serial in serials if serial not in known]
    kept, marks, taken = [], [], Counter[int]()
    left = [part.quantity for part in nesting.parts]
    for number, bar in enumerate(bars, 1):
        wanted = [piece for piece in bar.pieces if not serials or piece.serial in serials]
        stock = _stock_of(nesting, bar, taken)
        if stock is None:
            if wanted and serials:
                what = _("“{name}” is not among the job's bars any more.", name=bar.name)
                mistakes.append(Mistake(place=_("bar {number} of the layout", number=number), what=what))
            continue
        found = [(written.serial, _piece(nesting, stock, written)) for written in wanted]
        if serials:
            mistakes += [one for _unused, one in found if isinstance(one, Mistake)]
        stay = [(serial, one) for serial, one in found if isinstance(one, Piece)]
        if not serials:
            stay = [(serial, one) for serial, one in stay if _one_of(left, one.part)]
        if stay:
            taken[stock] += 1
            kept.append(BarUse(stock, tuple(piece for _unused, piece in stay)))
            marks.append(tuple(serial for serial, _unused in stay))
    if mistakes:
        raise JobError(mistakes)
    return tuple(kept), tuple(marks)


def _one_of(remaining: list[int], part: int) -> bool:
    """Whether one more of a part is to be made; takes it."""
    remaining[part] -= 1
    return remaining[part] >= 0


def _stock_of(nesting: NestingJob, bar: WrittenBar, taken: Counter[int]) -> int | None:
    """The job's stock for a bar of a layout: on the rack while there is one (it may have been bought since), else for sale."""
    same = [s for s, item in enumerate(nesting.stock) if item.name == bar.name]
    there = [s for s in same if (count := nesting.stock[s].count) is None or taken[s] < count]
    return min(there, key=lambda s: nesting.stock[s].source == "buy", default=None)


def _unknown(serial: str, known: Sequence[str]) -> Mistake:
    return Mistake(
        place=_("blanks kept"),
        what=_("the layout has no {serial};", serial=serial),
        right=_("it has {names}.", names=", ".join(known)),
    )


def _piece(nesting: NestingJob, stock: int, wanted: WrittenPiece) -> Piece | Mistake:
    """The blank of a file as the job has it; a mistake when the job has none such, or it has changed."""
    place = _("{serial} of the layout", serial=wanted.serial)
    part = next((p for p, item in enumerate(nesting.parts) if item.name == wanted.template and (p, stock) in nesting.suits), None)
    if part is None:
        return Mistake(
            place=place, what=_("the job makes no “{template}” of this bar's steel and thickness.", template=wanted.template)
        )
    piece = Piece(part, wanted.x, wanted.y, radians(wanted.angle), wanted.mirrored)
    now = written(nesting, piece)
    if now.shape != wanted.outline.shape or float(np.abs(now - wanted.outline).max()) > _CHANGED:
        right = _("Lay it out anew, or keep the others only.")
        return Mistake(
            place=place, what=_("“{template}” has changed since; it cannot stay.", template=wanted.template), right=right
        )
    return piece


def one_more(nesting: NestingJob, layout: Layout, bar: int, part: int, pinned: Sequence[Piece], steps: int) -> Layout | None:
    """The layout with one more blank of a part on a bar; None when it found no room in so many steps.

    First none of the bar's blanks is moved, then those not pinned are.
    """
    use = layout.bars[bar]
    for kept in (use.pieces, tuple(pinned)):
        wanted = _bar_alone(nesting, use, kept, Counter([*(piece.part for piece in use.pieces), part]))
        for progress in search(wanted, 0, lambda step: step >= steps):
            if not progress.best.left_over:
                fuller = BarUse(use.stock, progress.best.bars[0].pieces)
                return Layout((*layout.bars[:bar], fuller, *layout.bars[bar + 1 :]), layout.left_over)
    return None


def _bar_alone(nesting: NestingJob, use: BarUse, kept: tuple[Piece, ...], counts: Counter[int]) -> NestingJob:
    """One bar and so many blanks of each part, some of which stay where they are on it."""
    parts = tuple(replace(part, quantity=counts[p]) for p, part in enumerate(nesting.parts))
    stock = replace(nesting.stock[use.stock], count=1)
    suits = frozenset((p, 0) for p, s in nesting.suits if s == use.stock)
    bars = (BarUse(0, kept),) if kept else ()
    return replace(nesting, parts=parts, stock=(stock,), suits=suits, kept=bars, marks=())


def fits_on_bar(nesting: NestingJob, use: BarUse) -> Iterator[Fits]:
    """For each part that suits a bar, how many blanks of it alone would fit round those that lie there."""
    there = Counter(piece.part for piece in use.pieces)
    for part, stock in sorted(nesting.suits):
        if stock == use.stock and fits_alone(nesting, part, stock):
            most = _at_most(nesting, part, use)
            counts = there + Counter({part: most})
            wanted = _bar_alone(nesting, use, use.pieces, counts)
            *_, last = search(wanted, 0, lambda step: step >= _FITS_STEPS, repeatable=True)
            yield Fits(part, most - sum(n for p, n in last.best.left_over if p == part))


class Place(Struct, frozen=True):
    """Where more blanks may go: a whole offcut of the rack, round the blanks of a bar (its number), or on its offcut."""

    stock: Stock
    bar: int | None
    offcut: bool
    fits: tuple[Fits, ...]

    def json(self, nesting: NestingJob) -> dict[str, Any]:
        """As `fits --json` prints it."""
        more = [{"template": nesting.parts[f.part].name, "steel": nesting.parts[f.part].steel, "more": f.more} for f in self.fits]
        size = {"width": self.stock.width, "length": round(self.stock.length, DECIMALS)}
        return {"name": self.stock.name, "bar": self.bar, "offcut": self.offcut, **size, "fits": more}


def places_with_room(nesting: NestingJob, laid: Sequence[BarUse]) -> Iterator[Place]:
    """Offcuts of the rack that the layout does not use, then its bars with their blanks, each followed by its offcut."""
    taken = Counter(use.stock for use in laid)
    for s, stock in enumerate(nesting.stock):
        if stock.source == "offcut" and (stock.count or 0) > taken[s]:
            yield Place(stock, None, True, tuple(fits_on_bar(nesting, BarUse(s, ()))))
    for number, use in enumerate(laid, 1):
        yield from places_on(nesting, use, number)


def places_on(nesting: NestingJob, use: BarUse, number: int) -> tuple[Place, ...]:
    """Round the blanks of a bar, and on its offcut."""
    stock = nesting.stock[use.stock]
    round_blanks = Place(stock, number, False, tuple(fits_on_bar(nesting, use)))
    length = stock.length - used_length(nesting, use)
    if length <= 2 * nesting.bar_end:
        return (round_blanks,)
    wider, empty = offcut_of(nesting, use, length)
    return round_blanks, Place(wider.stock[empty.stock], number, True, tuple(fits_on_bar(wider, empty)))


def fits_words(nesting: NestingJob, places: Sequence[Place], unit: Unit) -> Iterator[str]:
    """What else fits, a line a place; of one template at a time, not of all together."""
    for place in places:
        size = f"{show(place.stock.width, unit)} x {show(place.stock.length, unit)} {unit}"
        on = _("offcut of bar {bar}", bar=place.bar) if place.offcut else _("bar {bar}, round its blanks", bar=place.bar)
        words = [f"{f.more} {nesting.parts[f.part].name}" for f in place.fits if f.more]
        yield f"{place.stock.name}, {on if place.bar else 'offcut'}, {size}: {' or '.join(words) or 'nothing more'}"


def _at_most(nesting: NestingJob, part: int, use: BarUse) -> int:
    """No more blanks of a part fit on a bar than this, by area."""
    along, across = inner_room(nesting, use.stock)
    free = along * across - sum(grown_area(nesting, piece.part) for piece in use.pieces)
    return max(1, min(_MOST_MORE, floor(free / grown_area(nesting, part))))


def offcut_of(nesting: NestingJob, use: BarUse, length: float) -> tuple[NestingJob, BarUse]:
    """The offcut of a bar as a bar of its own: a job that has it too, and its use with nothing on it."""
    bar = nesting.stock[use.stock]
    offcut = Stock(name=bar.name, width=bar.width, length=length, price=bar.price, count=1, source="offcut", edge=bar.edge)
    number = len(nesting.stock)
    suits = nesting.suits | {(p, number) for p, s in nesting.suits if s == use.stock}
    return replace(nesting, stock=(*nesting.stock, offcut), suits=suits), BarUse(number, ())
