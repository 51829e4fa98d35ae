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
from workbook.document.shop_records import OrderLine
from workbook.formats.tables import density_of_steel
from workbook.nesting.model import Layout, NestingJob, Progress
from workbook.shop.checks import margins
from workbook.shop.job import Bar, Job, Make, suits
from workbook.shop.lying import sizes
from workbook.shop.money import NOTHING, cents, priced, shares
from workbook.shop.steel import full_price, material_price
from workbook.structs import replace
from workbook.tasks.layout import Laid, finish, search, start_what_can
from workbook.tasks.load import LoadedJob

_STEPS = 60  # of the search: a layout to count by, not one to cut by


class Steel(Struct, frozen=True):
    """What the blanks started for a line cost in steel, and how that was found. `known`: whether bars were found at all."""

    amount: Decimal
    how: str
    known: bool = True


def wishes(document: Document, lines: Sequence[OrderLine]) -> tuple[Make, ...]:
    """The blanks of some lines together, by template and steel."""
    counted: Counter[tuple[str, str]] = Counter()
    for line in lines:
        name = document.get(line.of, TemplateRecord).template.name
        counted[name, line.steel] += blanks_started(document, line)
    return tuple(Make(template=name, steel=steel, quantity=n) for (name, steel), n in counted.items())


def at_once(document: Document, loaded: LoadedJob, line: OrderLine) -> Steel:
    """The steel of one line by the bar that is cheapest for it, its blanks lying in rows one behind another."""
    name, starts = document.get(line.of, TemplateRecord).template.name, blanks_started(document, line)
    found = [(_price(bar) / n, bar, n) for bar in _suiting(loaded.job, name, line.steel) if (n := _in_rows(loaded, name, bar))]
    if not found:
        return Steel(NOTHING, f"no bar of {line.steel} here takes {name}", known=False)
    each, bar, n = min(found, key=lambda one: one[0])
    how = f"{starts} × {priced(cents(each), loaded.job.currency)}: {n} in rows on {bar.name}; a layout comes"
    return Steel(cents(each * starts), how)


def _suiting(job: Job, name: str, steel: str) -> Iterator[Bar]:
    return (bar for bar in job.bars if suits(job, job.template(name), steel, bar))


def _price(bar: Bar) -> Decimal:
    """Of one bar, bought where it can be; what the rack's is worth where not."""
    density = density_of_steel(bar.steel)
    return full_price(bar, density) if bar.buy else material_price(bar, density)


def _in_rows(loaded: LoadedJob, name: str, bar: Bar) -> int:
    """Blanks that lie in straight rows on a bar."""
    job = loaded.job
    found = [0]
    for along, across in sizes(job.template(name), loaded.shapes[name]):
        gap = job.saw.separation
        behind = floor((bar.true_length - 2 * job.saw.bar_end + gap) / (along + gap) + 1e-9)
        beside = floor((bar.true_width - margins(job, bar) + gap) / (across + gap) + 1e-9)
        found.append(max(behind, 0) * max(beside, 0))
    return max(found)


def to_lay(loaded: LoadedJob, make: tuple[Make, ...]) -> tuple[LoadedJob, NestingJob | None, list[str]]:
    """The job of some blanks only, as far as they can be made; and why the others cannot."""
    reduced, nesting, mistakes = start_what_can(replace(loaded, job=replace(loaded.job, make=make)))
    return reduced, nesting, [str(mistake) for mistake in mistakes]


def quick_layout(nesting: NestingJob) -> Layout:
    """A layout found in a few steps. For the worker."""
    *_, last = search(nesting, 0, lambda step: step >= _STEPS)
    return last.best


def laid_of(loaded: LoadedJob, nesting: NestingJob, layout: Layout) -> Laid:
    """The layout with its money."""
    return finish(loaded, nesting, Progress(0, layout), 0, (NOTHING, "area"))


def of_lines(document: Document, laid: Laid, lines: Sequence[OrderLine]) -> dict[str, Steel]:
    """Each line's share of a layout's steel, by its id: the blanks' costs to the cent. Lines of which some blank found no
    room are left out.
    """
    totals: dict[tuple[str, str], Decimal] = {}
    bars: dict[tuple[str, str], set[int]] = {}
    counted: Counter[tuple[str, str]] = Counter()
    for number, use, cost in zip(count(1), laid.layout.bars, laid.costs.each, strict=False):
        for piece, share in zip(use.pieces, cost.pieces, strict=True):
            part = laid.nesting.parts[piece.part]
            key = (part.name, part.steel)
            totals[key] = totals.get(key, NOTHING) + share
            bars.setdefault(key, set()).add(number)
            counted[key] += 1
    found: dict[str, Steel] = {}
    for key, own in _by_kind(document, lines).items():
        starts = [blanks_started(document, line) for line in own]
        if counted[key] == sum(starts):
            blanks = f"{counted[key]} blank{'s' if counted[key] > 1 else ''}"
            how = f"{blanks} on {_bars(len(bars[key]))} of a layout of {_bars(len(laid.layout.bars))}"
            parts = shares(totals[key], [float(n) for n in starts])
            found |= {line.id: Steel(part, how) for line, part in zip(own, parts, strict=True)}
    return found


def _bars(n: int) -> str:
    return f"{n} bar{'s' if n != 1 else ''}"


def _by_kind(document: Document, lines: Sequence[OrderLine]) -> Mapping[tuple[str, str], list[OrderLine]]:
    """Lines that take the same blanks, together."""
    found: dict[tuple[str, str], list[OrderLine]] = {}
    for line in lines:
        found.setdefault((document.get(line.of, TemplateRecord).template.name, line.steel), []).append(line)
    return found
