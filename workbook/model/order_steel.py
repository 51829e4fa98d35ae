"""What the steel of an order's lines costs: at once by rows of blanks on a bar, then by a layout of them all."""

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
from workbook.texts import _
from workbook.units import counted


class SteelCost(Struct, frozen=True):
    """What the blanks started for a line cost in steel, and how that was found. `known`: whether bars were found at all."""

    amount: Decimal
    how: str
    known: bool = True


def wishes(document: Document, lines: Sequence[OrderLine]) -> tuple[Make, ...]:
    """The blanks of some lines together, by template and steel."""
    wanted: Counter[tuple[str, str]] = Counter()
    for line in lines:
        wanted[line.of, line.steel] += blanks_started(document, line)
    return tuple(Make(template=of, steel=steel, quantity=n) for (of, steel), n in wanted.items())


def at_once(document: Document, model: Model, line: OrderLine) -> SteelCost:
    """The steel of one line by the bars that are cheapest for it, its blanks lying in rows one behind another: as many bars of
    the rack as there are, and as many bought ones as it takes.
    """
    name, currency = document.get(line.of, TemplateRecord).template.name, model.job.currency
    starts = blanks_started(document, line)
    left, amount, told = starts, NOTHING, list[str]()
    for each, bar, most in sorted(_ways(model, line.of, line.steel), key=lambda way: way[0]):
        taken = min(left, most) if most is not None else left
        if taken:
            amount, left = amount + cents(each * taken), left - taken
            told.append(
                _("{taken} × {amount} in rows on {name}", taken=taken, amount=priced(cents(each), currency), name=bar.name)
            )
    if left == starts:
        return SteelCost(NOTHING, _("no bar of {steel} here takes {name}", steel=line.steel, name=name), known=False)
    if left:
        return SteelCost(NOTHING, f"the bars of {line.steel} here take {starts - left} of {starts} {name}", known=False)
    return SteelCost(amount, _("{names}; a layout comes", names="; ".join(told)))


def has_bar(model: Model, line: OrderLine) -> bool:
    """Whether any bar of the rack or for sale takes a blank of a line."""
    return any(_ways(model, line.of, line.steel))


def of_pieces(document: Document, line: OrderLine, planned: SteelCost) -> SteelCost:
    """The steel of a line as it was cut; as planned for blanks that are still to be."""
    cut = [piece.cost for piece in document.all(PieceRecord) if line.order and piece.line == line.id]
    if not cut:
        return planned
    starts = max(blanks_started(document, line), len(cut))
    rest = cents(planned.amount * (starts - len(cut)) / starts)
    how = f"{counted(len(cut), 'blank')} as cut" + (
        _("; {starts} more: {how}", starts=starts - len(cut), how=planned.how) if starts > len(cut) else ""
    )
    return SteelCost(sum(cut, NOTHING) + rest, how, known=planned.known or starts == len(cut))


def _ways(model: Model, key: str, steel: str) -> Iterator[tuple[Decimal, Bar, int | None]]:
    """What one blank costs in rows on each bar, and how many blanks such bars take; None for bars that can be bought."""
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
    """Blanks that lie in straight rows on a bar."""
    job = model.job
    found = [0]
    for along, across in sizes(job.template(key), model.shapes[key]):
        gap = job.saw.separation
        behind = floor((bar.true_length - 2 * job.saw.bar_end + gap) / (along + gap) + 1e-9)
        beside = floor((bar.true_width - margins(job, bar) + gap) / (across + gap) + 1e-9)
        found.append(max(behind, 0) * max(beside, 0))
    return max(found)


def to_lay(model: Model, make: tuple[Make, ...]) -> tuple[Model, NestingJob | None, list[str]]:
    """The job of some blanks only, as far as they can be made; and why the others cannot."""
    reduced, nesting, mistakes = start_what_can(replace(model, job=replace(model.job, make=make)))
    return reduced, nesting, [str(mistake) for mistake in mistakes]


def of_lines(document: Document, laid: Laid, lines: Sequence[OrderLine]) -> dict[str, SteelCost]:
    """Each line's share of a layout's steel, by its id: the blanks' costs to the cent. Lines of which some blank found no
    room are left out.
    """
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
    found: dict[str, SteelCost] = {}
    for key, alike in _by_kind(lines).items():
        starts = [blanks_started(document, line) for line in alike]
        if laid_out[key] == sum(starts):
            own, whole = counted(len(bars[key]), "bar"), counted(len(laid.layout.bars), "bar")
            how = f"{counted(laid_out[key], 'blank')} on {own} of a layout of {whole}, found in at most {laid.steps} steps"
            parts = shares(totals[key], [float(n) for n in starts])
            found |= {line.id: SteelCost(part, how) for line, part in zip(alike, parts, strict=True)}
    return found


def _by_kind(lines: Sequence[OrderLine]) -> Mapping[tuple[str, str], list[OrderLine]]:
    """Lines that take the same blanks, together."""
    found: dict[tuple[str, str], list[OrderLine]] = {}
    for line in lines:
        found.setdefault((line.of, line.steel), []).append(line)
    return found
