"""What the commands print for a maker to read."""

from collections.abc import Iterator, Sequence

from workbook.model.grinding import bench_of, densities_for, masses_of, piece_of_bar
from workbook.model.laying import Laid
from workbook.model.model import Model
from workbook.model.results import SEARCH_WORDS, bought, bound_words, taken, unplaced
from workbook.nesting.model import NestingJob
from workbook.problems import Problem
from workbook.sheets.bar import BarPlan
from workbook.sheets.bench_words import bar_words, bench_rows, mass_rows, over_words
from workbook.sheets.cautions import GRIND
from workbook.shop.in_hand import InHand
from workbook.shop.money import priced
from workbook.shop.serials import serials
from workbook.shop.wording import sentence
from workbook.tasks.estimate import STEPS, Estimate, per_piece
from workbook.tasks.judging import Judged
from workbook.tasks.keeping import Place, fits_words
from workbook.texts import _
from workbook.units import Unit, counted, reading, show

_FROM = {"rack": "from the rack", "offcut": "an offcut", "buy": "to buy"}


def layout_lines(laid: Laid, plans: Sequence[BarPlan]) -> Iterator[str]:
    """The layout in words: each bar and the turns too tight for the saw, then the costs and the bound."""
    job, costs = laid.model.job, laid.costs
    names = serials(laid.nesting, laid.layout)
    for n, (use, cost, row) in enumerate(zip(laid.layout.bars, costs.each, names, strict=True), 1):
        stock = laid.nesting.stock[use.stock]
        offcut = f"{show(cost.offcut, job.unit)} {job.unit}"
        head = f"Bar {n}: {stock.name}, {_FROM[stock.source]}, {priced(cost.price, job.currency)}"
        yield f"{head}: {' '.join(row)}; offcut {offcut}"
        for turn in plans[n - 1].tight:
            radius = f"{show(turn.radius, job.unit)} {job.unit}"
            pair = f"{turn.line.lower} and {turn.line.upper}"
            yield f"  Between {pair} the gap turns at a radius of {radius}, tighter than the saw."
    bars = len(laid.layout.bars)
    yield f"Blanks cover {costs.utilisation:.0%} of {counted(bars, 'bar')}, offcuts included."
    yield (
        f"Bars {priced(costs.bars, job.currency)} ({priced(costs.bought, job.currency)} to spend), offcuts worth "
        f"{priced(costs.credit, job.currency)}, material {priced(costs.material, job.currency)}."
    )
    yield bound_words(laid)
    if laid.nesting.marks:
        yield f"Kept where they were: {' '.join(serial for row in laid.nesting.marks for serial in row)}."
    for item in unplaced(laid):
        yield f"Not placed: {item['quantity']} {item['template']}: {item['reason']}."
    yield f"{laid.steps} steps, seed {laid.seed}."
    if laid.by != "compiled":
        yield SEARCH_WORDS[laid.by] + (" Lay out again then." if laid.by == "waiting" else "")


def estimate_lines(estimate: Estimate) -> Iterator[str]:
    """The estimate in words."""
    laid = estimate.laid
    job = laid.model.job
    for word, bars in ((_("Take"), taken(laid)), (_("Buy"), bought(laid))):
        yield from (f"{word} {count} x {bar.name}" for bar, count in bars)
    yield f"A layout of {STEPS} steps, as quotes count by; lay-out looks longer and may do better."
    yield f"Bars {priced(laid.costs.bars, job.currency)}, material {priced(laid.costs.material, job.currency)} after offcuts."
    yield from (f"{name}: {n} at {priced(cost, job.currency)} each in steel" for name, n, cost in per_piece(laid))
    yield "If one size alone were bought, for the blanks that suit it:"
    for o in estimate.options:
        offcut = f"{show(o.offcut, job.unit)} {job.unit}"
        cost = f"{counted(o.bars, 'bar')}, {priced(o.cost, job.currency)}"
        yield f"  {o.name}: {cost}, {o.utilisation:.0%} used, longest offcut {offcut}"
    yield bound_words(laid)
    for item in unplaced(laid):
        yield f"Not placed: {item['quantity']} {item['template']}: {item['reason']}."


def fits_lines(nesting: NestingJob, places: Sequence[Place], unit: Unit) -> Iterator[str]:
    """What else fits, one line for each place."""
    if not places:
        yield "No offcuts on the rack. With --layout FILE the bars of a layout are looked at."
    yield from fits_words(nesting, places, unit)


def check_lines(model: Model) -> Iterator[str]:
    """The defaults used, one line for each table; remarks on outlines from files; the problems last, where they are seen."""
    yield "Defaults used:"
    tables: dict[str, list[str]] = {}
    for place, value in model.job.defaults:
        table, _, key = place.rpartition(".")
        tables.setdefault(table, []).append(f"{key} {value}")
    yield from (f"  {table}: {', '.join(values)}" for table, values in tables.items())
    for template in model.job.templates:
        yield from (f"{template.name}: {remark}" for remark in getattr(template, "remarks", ()))
    yield from (problem_line(p, model.job.unit) for p in model.problems)
    if not model.problems:
        yield "No problems found."


def bench_lines(model: Model, key: str, bar: InHand) -> Iterator[str]:
    """One template's bench settings, then its mass and balance, in words."""
    unit, blank = model.job.unit, model.shapes[key]
    yield f"{blank.name}: {bar_words(bar, unit)}"
    masses = masses_of(model, key, bar)
    if blank.template is None:
        yield f"  An outline from a file has no grind. As cut to the line {masses.blank_mass:.0f} g."
        return
    settings = bench_of(model, key, bar)
    over = over_words(bar, settings, unit)
    yield from [f"  {over}."] if over else []
    rows = bench_rows(settings, unit)
    width = max(len(words) for words, _ in rows)
    yield from (f"  {words:<{width}}  {value}" for words, value in rows)
    yield f"  {'Calipers, above the edge':<{width}}  before hardening / finished"
    for row in settings.readings:
        both = " / ".join(reading(value, unit, column=True) for value in (row.before, row.finished))
        yield f"  {f'{show(row.up, unit)} {unit}':>{width}}  {both}"
    yield from (f"  {words:<{width}}  {value}" for words, value in mass_rows(masses, unit, piece_of_bar(model, key, bar)))
    yield from (f"  Note: {words}." for words in densities_for(model, key, bar)[1])
    yield from (f"  {problem_line(p, unit)}" for p in model.judged_on(key, bar))
    yield f"  {GRIND}"


def judged_lines(judged: Judged) -> Iterator[str]:
    """A cutting file in words: what it is, its dimensions, its problems."""
    yield f"{judged.name}: DXF {judged.version}, unit {judged.unit}"
    figures = judged.facts
    if figures is not None:
        size = f"{show(figures.width, 'mm')} x {show(figures.height, 'mm')} mm"
        size += f" ({show(figures.width, 'in', fine=True)} x {show(figures.height, 'in', fine=True)} in)"
        yield f"  {size}, steel {figures.area / 100:.1f} cm2, cut {figures.length:.0f} mm, {counted(figures.pierces, 'pierce')}"
        yield f"  {figures.curves}"
    for p in judged.problems:
        at = f" at x {p.at[0]:.2f}, y {p.at[1]:.2f} mm" if p.at is not None else ""
        yield f"  {p.severity.value.upper()} {sentence(p, 'mm')}{at} ({p.source})"
    if not judged.problems:
        yield "  Nothing found."


def problem_line(p: Problem, unit: Unit) -> str:
    """One problem: severity, template, what and how much, where, and its source."""
    at = ""
    if p.at is not None:
        at = f" at x {show(p.at[0], unit, fine=True)}, y {show(p.at[1], unit, fine=True)} {unit} from the handle front"
    source = f" ({p.source})" if p.source else ""
    return f"{p.severity.value.upper()} {p.template}: {sentence(p, unit)}{at}{source}"
