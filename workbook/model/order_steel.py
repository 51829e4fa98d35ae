"""The steel cost of an order's lines: at once by rows of blanks on a bar, later by a layout of them all."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from itertools import count
from math import floor

from msgspec import Struct

from workbook.document.document import Document
from workbook.document.orders import blanks_started
from workbook.document.records import TemplateRecord
from workbook.document.shop_records import OrderLine, PieceRecord
from workbook.model.laying import Laid, start_what_can
from workbook.model.model import Model
from workbook.nesting.model import NestingJob
from workbook.shop.checks import margins
from workbook.shop.job import Bar, Job, Make, Measured, suits
from workbook.shop.lying import sizes
from workbook.shop.money import NOTHING, cents, priced, shares
from workbook.shop.steel import full_price, material_price
from workbook.structs import replace
from workbook.texts import _, ngettext


class SteelCost(Struct, frozen=True):
    """The steel cost of the blanks started for a line, and how it was found. `known`: whether bars were found for all."""

    amount: Decimal
    how: str
    known: bool = True


def wishes(document: Document, lines: Sequence[OrderLine]) -> tuple[Make, ...]:
    """The blanks of some lines together, by template and steel."""
    counts: Counter[tuple[str, str]] = Counter()
    for line in lines:
        counts[line.of, line.steel] += blanks_started(document, line)
    return tuple(Make(template=of, steel=steel, quantity=n) for (of, steel), n in counts.items())


def at_once(document: Document, model: Model, line: OrderLine) -> SteelCost:
    """The steel cost of one line on the bars cheapest for it, its blanks in rows one behind another.

    It takes as many bars of the rack as there are, and as many bought ones as needed.
    """
    name, money = document.get(line.of, TemplateRecord).template.name, model.job.money
    starts = blanks_started(document, line)
    remaining, amount, parts = starts, NOTHING, list[str]()
    for unit_cost, bar, most in sorted(_ways(model, line.of, line.steel), key=lambda option: option[0]):
        number = min(remaining, most) if most is not None else remaining
        if number:
            amount, remaining = amount + cents(unit_cost * number), remaining - number
            parts.append(
                _("{taken} × {amount} in rows on {name}", taken=number, amount=priced(cents(unit_cost), money), name=bar.name)
            )
    if remaining == starts:
        return SteelCost(NOTHING, _("no bar of {steel} here takes {name}", steel=line.steel, name=name), known=False)
    if remaining:
        room = starts - remaining
        how = _(
            "the bars of {steel} have room for {room} of {wanted} {name}", steel=line.steel, room=room, wanted=starts, name=name
        )
        return SteelCost(NOTHING, how, known=False)
    return SteelCost(amount, _("{names} (layout to follow)", names="; ".join(parts)))


def has_bar(model: Model, line: OrderLine) -> bool:
    """Whether any bar of the rack or for sale takes a blank of a line."""
    return any(_ways(model, line.of, line.steel))


def of_pieces(document: Document, line: OrderLine, planned: SteelCost) -> SteelCost:
    """The steel cost of a line: as cut, and as planned for blanks still to be cut."""
    cut = [piece.cost for piece in document.all(PieceRecord) if line.order and piece.line == line.id]
    if not cut:
        return planned
    starts = max(blanks_started(document, line), len(cut))
    remainder = cents(planned.amount * (starts - len(cut)) / starts)
    how = [ngettext("{count} blank as cut", "{count} blanks as cut", len(cut))]
    if starts > len(cut):
        more = starts - len(cut)
        how.append(ngettext("{count} more: {how}", "{count} more: {how}", more, how=planned.how))
    return SteelCost(sum(cut, NOTHING) + remainder, "; ".join(how), known=planned.known or starts == len(cut))


def _ways(model: Model, key: str, steel: str) -> Iterator[tuple[Decimal, Bar, int | None]]:
    """The cost of one blank in rows on each bar, the bar, and how many blanks such bars take: None if they can be bought."""
    for bar in _suiting(model.job, key, steel):
        n, density = _in_rows(model, key, bar), model.facts.density(bar.steel)
        if n and bar.have:
            yield material_price(bar, density) / n, bar, n * bar.have
        bought = _in_rows(model, key, replace(bar, measured=Measured(), slant=0.0)) if bar.buy else 0
        if bought:
            yield full_price(bar, density) / bought, bar, None


def _suiting(job: Job, key: str, steel: str) -> Iterator[Bar]:
    return (bar for bar in job.bars if suits(job, job.template(key), steel, bar))


def _in_rows(model: Model, key: str, bar: Bar) -> int:
    """The number of blanks that fit on a bar in straight rows."""
    job = model.job
    counts = [0]
    for along, across in sizes(job.template(key), model.shapes[key]):
        gap = job.saw.separation
        behind = floor((bar.true_length - 2 * job.saw.bar_end + gap) / (along + gap) + 1e-9)
        beside = floor((bar.true_width - margins(job, bar) + gap) / (across + gap) + 1e-9)
        counts.append(max(behind, 0) * max(beside, 0))
    return max(counts)


def to_lay(model: Model, make: tuple[Make, ...]) -> tuple[Model, NestingJob | None, list[str]]:
    """The job of some blanks only, as far as they can be made, and why the others cannot."""
    reduced, nesting, mistakes = start_what_can(replace(model, job=replace(model.job, make=make)))
    return reduced, nesting, [str(mistake) for mistake in mistakes]


def of_lines(document: Document, laid: Laid, lines: Sequence[OrderLine]) -> dict[str, SteelCost]:
    """Each line's share of a layout's steel cost, by its id, to the cent. Lines with a blank that found no room are left out."""
    totals: dict[tuple[str, str], Decimal] = {}
    bars: dict[tuple[str, str], set[int]] = {}
    laid_out: Counter[tuple[str, str]] = Counter()
    for number, use, cost in zip(count(1), laid.layout.bars, laid.costs.each, strict=False):
        for piece, share in zip(use.pieces, cost.pieces, strict=True):
            part = laid.nesting.parts[piece.part]
            key = (part.key, part.steel)
            totals[key] = totals.get(key, NOTHING) + share
            bars.setdefault(key, set()).add(number)
            laid_out[key] += 1
    costs: dict[str, SteelCost] = {}
    for key, alike in _by_kind(lines).items():
        starts = [blanks_started(document, line) for line in alike]
        if laid_out[key] == sum(starts):
            how = "; ".join(
                (
                    ngettext(
                        "{count} blank on {own} of the {all} bars of a layout",
                        "{count} blanks on {own} of the {all} bars of a layout",
                        laid_out[key],
                        own=len(bars[key]),
                        all=len(laid.layout.bars),
                    ),
                    ngettext("found in {count} step or less", "found in {count} steps or fewer", laid.steps),
                )
            )
            parts = shares(totals[key], [float(n) for n in starts])
            costs |= {line.id: SteelCost(part, how) for line, part in zip(alike, parts, strict=True)}
    return costs


def _by_kind(lines: Sequence[OrderLine]) -> Mapping[tuple[str, str], list[OrderLine]]:
    """Lines grouped by template and steel."""
    groups: dict[tuple[str, str], list[OrderLine]] = {}
    for line in lines:
        groups.setdefault((line.of, line.steel), []).append(line)
    return groups
