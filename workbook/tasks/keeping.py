"""Blanks that stay where they are: laying out the others round them, adding one to a bar, finding what else fits on one."""

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
from workbook.texts import _, ngettext
from workbook.units import Unit, show

_MOST_FAULTS = 6  # reported one by one
_CHANGED = 0.01  # mm by which an outline may differ from its record in a file and still stay
_MOST_MORE = 60  # most blanks of a part tried to find what else fits
_FITS_STEPS = 40


class Fits(Struct, frozen=True):
    """How many blanks of a part would fit on a bar besides those there."""

    part: int
    more: int


def keeping(nesting: NestingJob, kept: Sequence[BarUse], marks: Sequence[Sequence[str]] = ()) -> NestingJob:
    """The job with blanks that stay. `marks`: the serials they keep, a row for each bar, if they have any.

    Raises JobError if they cannot stay: they clash, or are more than are to be made.
    """
    counts = Counter(piece.part for use in kept for piece in use.pieces)
    parts = tuple(replace(part, quantity=counts[p]) for p, part in enumerate(nesting.parts))
    problems = faults(replace(nesting, parts=parts), Layout(tuple(kept)))
    mistakes = [Mistake(place=_("blanks that stay"), what=_("{finding}.", finding=fault)) for fault in problems[:_MOST_FAULTS]]
    if mistakes:
        count = len(problems) - len(mistakes)
        more = ngettext("{count} more problem.", "{count} more problems.", count) if count else _("they cannot all stay.")
        mistakes.append(Mistake(place=_("blanks that stay"), what=more, right=_("Let fewer of them stay, by their serials.")))
    for p, part in enumerate(nesting.parts):
        if counts[p] > part.quantity:
            message = ngettext(
                "{own} {name} should stay, but only {count} is made.",
                "{own} {name} should stay, but only {count} are made.",
                part.quantity,
                own=counts[p],
                name=part.name,
            )
            mistakes.append(Mistake(place=_("blanks that stay"), what=message, right=_("Make as many, or let fewer stay.")))
    if mistakes:
        raise JobError(mistakes)
    return replace(nesting, kept=tuple(kept), marks=tuple(tuple(row) for row in marks))


Spots = frozenset[tuple[int, int]]  # blanks of a layout: its bar and which of the bar's pieces, both from 0


def kept_at(layout: Layout, spots: Spots) -> tuple[BarUse, ...]:
    """The blanks at some spots, as bars with blanks that stay."""
    uses = []
    for b, use in enumerate(layout.bars):
        pieces = tuple(piece for i, piece in enumerate(use.pieces) if (b, i) in spots)
        uses += [BarUse(use.stock, pieces)] if pieces else []
    return tuple(uses)


def spots_of(layout: Layout, kept: Sequence[BarUse]) -> Spots:
    """The spots in a layout of the blanks that stay; bars whose blanks it lacks are left out."""
    free, spots = list(range(len(layout.bars))), set()
    for use in kept:
        bars = (b for b in free if layout.bars[b].stock == use.stock and set(use.pieces) <= set(layout.bars[b].pieces))
        bar = next(bars, None)
        if bar is not None:
            free.remove(bar)
            spots |= {(bar, layout.bars[bar].pieces.index(piece)) for piece in use.pieces}
    return frozenset(spots)


def kept_from(
    nesting: NestingJob, bars: Sequence[WrittenBar], serials: Sequence[str] = ()
) -> tuple[tuple[BarUse, ...], tuple[tuple[str, ...], ...]]:
    """Bars of an earlier layout with the blanks that are to stay, and their serials.

    With `serials`, only those blanks; raises JobError for any that the job no longer has, or has changed. Without, all that the
    job still makes, as many as it makes.
    """
    all_serials = {piece.serial for bar in bars for piece in bar.pieces}
    mistakes = [_unknown(serial, sorted(all_serials)) for serial in serials if serial not in all_serials]
    uses, marks, counts = [], [], Counter[int]()
    remaining = [part.quantity for part in nesting.parts]
    for number, bar in enumerate(bars, 1):
        pieces = [piece for piece in bar.pieces if not serials or piece.serial in serials]
        stock = _stock_of(nesting, bar, counts)
        if stock is None:
            if pieces and serials:
                message = _("the job no longer has the bar “{name}”.", name=bar.name)
                mistakes.append(Mistake(place=_("bar {number} of the layout", number=number), what=message))
            continue
        results = [(entry.serial, _piece(nesting, stock, entry)) for entry in pieces]
        if serials:
            mistakes += [result for _unused, result in results if isinstance(result, Mistake)]
        placed = [(serial, result) for serial, result in results if isinstance(result, Piece)]
        if not serials:
            placed = [(serial, result) for serial, result in placed if _one_of(remaining, result.part)]
        if placed:
            counts[stock] += 1
            uses.append(BarUse(stock, tuple(piece for _unused, piece in placed)))
            marks.append(tuple(serial for serial, _unused in placed))
    if mistakes:
        raise JobError(mistakes)
    return tuple(uses), tuple(marks)


def _one_of(remaining: list[int], part: int) -> bool:
    """Take one of a part; whether one was still to be made."""
    remaining[part] -= 1
    return remaining[part] >= 0


def _stock_of(nesting: NestingJob, bar: WrittenBar, counts: Counter[int]) -> int | None:
    """The job's stock for a bar of a layout: from the rack while it has one (it may have been bought since), else for sale."""
    same = [s for s, item in enumerate(nesting.stock) if item.name == bar.name]
    free = [s for s in same if (count := nesting.stock[s].count) is None or counts[s] < count]
    return min(free, key=lambda s: nesting.stock[s].source == "buy", default=None)


def _unknown(serial: str, serials: Sequence[str]) -> Mistake:
    return Mistake(
        place=_("blanks that stay"),
        what=_("the layout has no {serial}.", serial=serial),
        right=_("It has {names}.", names=", ".join(serials)),
    )


def _piece(nesting: NestingJob, stock: int, entry: WrittenPiece) -> Piece | Mistake:
    """The blank of a file as the job has it; a mistake if the job does not make it or it has changed."""
    place = _("{serial} of the layout", serial=entry.serial)
    part = next((p for p, item in enumerate(nesting.parts) if item.name == entry.template and (p, stock) in nesting.suits), None)
    if part is None:
        return Mistake(
            place=place, what=_("the job makes no “{template}” of this bar's steel and thickness.", template=entry.template)
        )
    piece = Piece(part, entry.x, entry.y, radians(entry.angle), entry.mirrored)
    now = written(nesting, piece)
    if now.shape != entry.outline.shape or float(np.abs(now - entry.outline).max()) > _CHANGED:
        right = _("Lay it out again, or let only the others stay.")
        return Mistake(
            place=place, what=_("“{template}” has changed since and cannot stay.", template=entry.template), right=right
        )
    return piece


def one_more(nesting: NestingJob, layout: Layout, bar: int, part: int, pinned: Sequence[Piece], steps: int) -> Layout | None:
    """The layout with one more blank of a part on a bar; None if the search finds no room in `steps` steps.

    First none of the bar's blanks may move, then all but the pinned ones.
    """
    use = layout.bars[bar]
    for fixed in (use.pieces, tuple(pinned)):
        job = _bar_alone(nesting, use, fixed, Counter([*(piece.part for piece in use.pieces), part]))
        for progress in search(job, 0, lambda step: step >= steps):
            if not progress.best.left_over:
                fuller = BarUse(use.stock, progress.best.bars[0].pieces)
                return Layout((*layout.bars[:bar], fuller, *layout.bars[bar + 1 :]), layout.left_over)
    return None


def _bar_alone(nesting: NestingJob, use: BarUse, fixed: tuple[Piece, ...], counts: Counter[int]) -> NestingJob:
    """A job of one bar and `counts` blanks of each part, of which `fixed` stay where they are."""
    parts = tuple(replace(part, quantity=counts[p]) for p, part in enumerate(nesting.parts))
    stock = replace(nesting.stock[use.stock], count=1)
    suits = frozenset((p, 0) for p, s in nesting.suits if s == use.stock)
    bars = (BarUse(0, fixed),) if fixed else ()
    return replace(nesting, parts=parts, stock=(stock,), suits=suits, kept=bars, marks=())


def fits_on_bar(nesting: NestingJob, use: BarUse) -> Iterator[Fits]:
    """For each part that suits a bar, how many of its blanks alone would fit round those on the bar."""
    placed = Counter(piece.part for piece in use.pieces)
    for part, stock in sorted(nesting.suits):
        if stock == use.stock and fits_alone(nesting, part, stock):
            most = _at_most(nesting, part, use)
            counts = placed + Counter({part: most})
            job = _bar_alone(nesting, use, use.pieces, counts)
            *_, last = search(job, 0, lambda step: step >= _FITS_STEPS, repeatable=True)
            yield Fits(part, most - sum(n for p, n in last.best.left_over if p == part))


class Place(Struct, frozen=True):
    """Where more blanks may go: a whole offcut of the rack, round the blanks of a bar (its number), or on its offcut."""

    stock: Stock
    bar: int | None
    offcut: bool
    fits: tuple[Fits, ...]

    def json(self, nesting: NestingJob) -> dict[str, Any]:
        """The place as `fits --json` prints it; lengths in mm."""
        more = [{"template": nesting.parts[f.part].name, "steel": nesting.parts[f.part].steel, "more": f.more} for f in self.fits]
        size = {"width": self.stock.width, "length": round(self.stock.length, DECIMALS)}
        return {"name": self.stock.name, "bar": self.bar, "offcut": self.offcut, **size, "fits": more}


def places_with_room(nesting: NestingJob, laid: Sequence[BarUse]) -> Iterator[Place]:
    """Offcuts of the rack that the layout does not use, then its bars with their blanks, each followed by its offcut."""
    counts = Counter(use.stock for use in laid)
    for s, stock in enumerate(nesting.stock):
        if stock.source == "offcut" and (stock.count or 0) > counts[s]:
            yield Place(stock, None, True, tuple(fits_on_bar(nesting, BarUse(s, ()))))
    for number, use in enumerate(laid, 1):
        yield from places_on(nesting, use, number)


def places_on(nesting: NestingJob, use: BarUse, number: int) -> tuple[Place, ...]:
    """The places round the blanks of a bar and on its offcut."""
    stock = nesting.stock[use.stock]
    round_blanks = Place(stock, number, False, tuple(fits_on_bar(nesting, use)))
    length = stock.length - used_length(nesting, use)
    if length <= 2 * nesting.bar_end:
        return (round_blanks,)
    job, empty = offcut_of(nesting, use, length)
    return round_blanks, Place(job.stock[empty.stock], number, True, tuple(fits_on_bar(job, empty)))


def fits_words(nesting: NestingJob, places: Sequence[Place], unit: Unit) -> Iterator[str]:
    """What else fits, one line for each place; the counts are for one template at a time, not for all together."""
    for place in places:
        size = f"{show(place.stock.width, unit)} × {show(place.stock.length, unit)} {unit}"
        words = [f"{f.more} {nesting.parts[f.part].name}" for f in place.fits if f.more]
        yield _(
            "{bar}, {place}, {size}: {blanks}",
            bar=place.stock.name,
            place=_place_words(place),
            size=size,
            blanks=" / ".join(words) or _("nothing more"),
        )


def _place_words(place: Place) -> str:
    if place.bar is None:
        return _("offcut")
    return _("offcut of bar {bar}", bar=place.bar) if place.offcut else _("bar {bar}, around its blanks", bar=place.bar)


def _at_most(nesting: NestingJob, part: int, use: BarUse) -> int:
    """The most blanks of a part that could still fit on a bar, by area."""
    along, across = inner_room(nesting, use.stock)
    free = along * across - sum(grown_area(nesting, piece.part) for piece in use.pieces)
    return max(1, min(_MOST_MORE, floor(free / grown_area(nesting, part))))


def offcut_of(nesting: NestingJob, use: BarUse, length: float) -> tuple[NestingJob, BarUse]:
    """The offcut of a bar, `length` mm long, as a bar of its own: the job with it added, and its use with no blanks on it."""
    bar = nesting.stock[use.stock]
    offcut = Stock(name=bar.name, width=bar.width, length=length, price=bar.price, count=1, source="offcut", edge=bar.edge)
    number = len(nesting.stock)
    suits = nesting.suits | {(p, number) for p, s in nesting.suits if s == use.stock}
    return replace(nesting, stock=(*nesting.stock, offcut), suits=suits), BarUse(number, ())
