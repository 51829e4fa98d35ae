"""What the commands print for a maker to read."""

from collections.abc import Iterator, Sequence

from workbook.model.grinding import bench_of, densities_for, masses_of, piece_of_bar
from workbook.model.laying import Laid
from workbook.model.model import Model
from workbook.model.results import SEARCH_WORDS, bought, bound_words, taken, unplaced
from workbook.nesting.model import NestingJob
from workbook.problems import Problem, Severity
from workbook.sheets.bar import BarPlan, TightTurn
from workbook.sheets.bench_words import bar_words, bench_rows, mass_rows, over_words
from workbook.sheets.cautions import GRIND
from workbook.shop.in_hand import InHand
from workbook.shop.money import priced
from workbook.shop.serials import serials
from workbook.shop.wording import sentence
from workbook.tasks.estimate import STEPS, Estimate, per_piece
from workbook.tasks.judging import Judged
from workbook.tasks.keeping import Place, fits_words
from workbook.texts import _, labelled, ngettext
from workbook.units import Unit, reading, show

_FROM = {"rack": _("from the rack"), "offcut": _("an offcut"), "buy": _("to buy")}
_SEVERITIES = {Severity.STOP: _("STOP"), Severity.WARN: _("WARN"), Severity.NOTE: _("NOTE")}


def layout_lines(laid: Laid, plans: Sequence[BarPlan]) -> Iterator[str]:
    """The layout in words: each bar and the turns too tight for the saw, then the costs and the bound."""
    job, costs = laid.model.job, laid.costs
    names = serials(laid.nesting, laid.layout)
    for n, (use, cost, row) in enumerate(zip(laid.layout.bars, costs.each, names, strict=True), 1):
        stock = laid.nesting.stock[use.stock]
        yield _(
            "Bar {number}: {name}, {source}, {price}: {serials}, offcut {offcut} {unit}",
            number=n,
            name=stock.name,
            source=_FROM[stock.source],
            price=priced(cost.price, job.money),
            serials=" ".join(row),
            offcut=show(cost.offcut, job.unit),
            unit=job.unit,
        )
        yield from (f"  {_tight(turn, job.unit)}" for turn in plans[n - 1].tight)
        yield from (f"  {words}" for words in _of_bar(plans[n - 1], job.unit))
    yield ngettext(
        "Blanks cover {share:.0%} of {count} bar, offcuts included.",
        "Blanks cover {share:.0%} of {count} bars, offcuts included.",
        len(laid.layout.bars),
        share=costs.utilisation,
    )
    yield _money(laid)
    yield bound_words(laid)
    if laid.nesting.marks:
        serials_kept = " ".join(serial for row in laid.nesting.marks for serial in row)
        yield _("Stayed where they were: {serials}.", serials=serials_kept)
    yield from _not_placed(laid)
    yield ngettext("{count} step, seed {seed}.", "{count} steps, seed {seed}.", laid.steps, seed=laid.seed)
    if laid.by != "compiled":
        yield SEARCH_WORDS[laid.by]
    if laid.by == "waiting":
        yield _("Then lay out again.")


def _tight(turn: TightTurn, unit: Unit) -> str:
    """Where a gap turns tighter than the saw can."""
    return _(
        "Between {lower} and {upper} the gap turns at a radius of {radius} {unit}, tighter than the saw.",
        lower=turn.line.lower,
        upper=turn.line.upper,
        radius=show(turn.radius, unit),
        unit=unit,
    )


def _of_bar(plan: BarPlan, unit: Unit) -> Iterator[str]:
    """The offcuts beside a bar's blanks, and its time at the saw."""
    for each in plan.beside:
        yield _(
            "Offcut beside blanks: {length} × {width} {unit}, {start} {unit} from end A.",
            length=show(each.length, unit), width=show(each.width, unit), unit=unit, start=show(each.x, unit),
        )  # fmt: skip
    if plan.at_saw is not None:
        yield ngettext(
            "At the saw: about {minutes:.0f} min, {length} {unit} of cut, {count} turn.",
            "At the saw: about {minutes:.0f} min, {length} {unit} of cut, {count} turns.",
            plan.at_saw.turns, minutes=plan.at_saw.minutes, length=show(plan.at_saw.length, unit), unit=unit,
        )  # fmt: skip


def _money(laid: Laid) -> str:
    """What the bars of a layout cost, and what is left of that after its offcuts."""
    costs, money = laid.costs, laid.model.job.money
    return _(
        "Bars {bars} ({bought} to buy), offcut credit {credit}, material {material}.",
        bars=priced(costs.bars, money),
        bought=priced(costs.bought, money),
        credit=priced(costs.credit, money),
        material=priced(costs.material, money),
    )


def _not_placed(laid: Laid) -> Iterator[str]:
    """The blanks for which the bars were too few."""
    for item in unplaced(laid):
        quantity, template = item["quantity"], item["template"]
        yield _("Not enough steel: {quantity} {template} not placed. Add a bar.", quantity=quantity, template=template)


def estimate_lines(estimate: Estimate) -> Iterator[str]:
    """The estimate in words."""
    laid = estimate.laid
    job = laid.model.job
    yield from (_("Use {count} × {bar}", count=count, bar=bar.name) for bar, count in taken(laid))
    yield from (_("Buy {count} × {bar}", count=count, bar=bar.name) for bar, count in bought(laid))
    yield _("A layout of {steps} steps, as for quotes. lay-out searches longer and may do better.", steps=STEPS)
    bars, material = priced(laid.costs.bars, job.money), priced(laid.costs.material, job.money)
    yield _("Bars {bars}, material {material} after offcuts.", bars=bars, material=material)
    for name, count, cost in per_piece(laid):
        yield _("{name}: {count} at {cost} each in steel", name=name, count=count, cost=priced(cost, job.money))
    if estimate.options:
        yield _("If only one size were bought, for the blanks that suit it:")
    for o in estimate.options:
        size = ngettext(
            "{name}: {count} bar, {cost}, {share:.0%} used, longest offcut {offcut} {unit}",
            "{name}: {count} bars, {cost}, {share:.0%} used, longest offcut {offcut} {unit}",
            o.bars, name=o.name, cost=priced(o.cost, job.money), share=o.utilisation, offcut=show(o.offcut, job.unit),
            unit=job.unit,
        )  # fmt: skip
        yield f"  {size}"
    yield bound_words(laid)
    yield from _not_placed(laid)


def fits_lines(nesting: NestingJob, places: Sequence[Place], unit: Unit) -> Iterator[str]:
    """What else fits, one line for each place."""
    if not places:
        yield _("No offcuts on the rack. Add --layout FILE to check the bars of a layout.")
    yield from fits_words(nesting, places, unit)


def check_lines(model: Model) -> Iterator[str]:
    """The defaults used, one line for each table; remarks on outlines from files; the problems last, where they are seen."""
    yield _("Defaults used:")
    tables: dict[str, list[str]] = {}
    for place, value in model.job.defaults:
        table, _dot, key = place.rpartition(".")
        tables.setdefault(table, []).append(f"{key} {value}")
    yield from (f"  {table}: {', '.join(values)}" for table, values in tables.items())
    for template in model.job.templates:
        yield from (labelled(template.name, remark) for remark in getattr(template, "remarks", ()))
    yield from (problem_line(p, model.job.unit) for p in model.problems)
    if not model.problems:
        yield _("No problems found.")


def bench_lines(model: Model, key: str, bar: InHand) -> Iterator[str]:
    """One template's bench settings, then its mass and balance, in words."""
    unit, blank = model.job.unit, model.shapes[key]
    yield labelled(blank.name, bar_words(bar, unit))
    masses = masses_of(model, key, bar)
    if blank.template is None:
        yield f"  {_('An imported outline has no grind. As cut to the line {mass:.0f} g.', mass=masses.blank_mass)}"
        return
    settings = bench_of(model, key, bar)
    over = over_words(bar, settings, unit)
    yield from [f"  {_('{finding}.', finding=over)}"] if over else []
    rows = bench_rows(settings, unit)
    width = max(len(words) for words, _ in rows)
    yield from (f"  {words:<{width}}  {value}" for words, value in rows)
    yield f"  {_('Calipers, above the edge'):<{width}}  {_('before hardening')} / {_('finished')}"
    for row in settings.readings:
        both = " / ".join(reading(value, unit, column=True) for value in (row.before, row.finished))
        yield f"  {f'{show(row.up, unit)} {unit}':>{width}}  {both}"
    yield from (f"  {words:<{width}}  {value}" for words, value in mass_rows(masses, unit, piece_of_bar(model, key, bar)))
    yield from (f"  {_('Note: {words}.', words=words)}" for words in densities_for(model, key, bar)[1])
    yield from (f"  {problem_line(p, unit)}" for p in model.judged_on(key, bar))
    yield f"  {GRIND}"


def judged_lines(judged: Judged) -> Iterator[str]:
    """A cutting file in words: what it is, its dimensions, its problems."""
    yield _("{name}: DXF {version}, unit {unit}", name=judged.name, version=judged.version, unit=judged.unit)
    figures = judged.facts
    if figures is not None:
        size = f"{show(figures.width, 'mm')} × {show(figures.height, 'mm')} mm"
        size += f" ({show(figures.width, 'in', fine=True)} × {show(figures.height, 'in', fine=True)} in)"
        told = ngettext(
            "{size}, steel {area:.1f} cm2, cut {length:.0f} mm, {count} pierce",
            "{size}, steel {area:.1f} cm2, cut {length:.0f} mm, {count} pierces",
            figures.pierces, size=size, area=figures.area / 100, length=figures.length,
        )  # fmt: skip
        yield f"  {told}"
        yield f"  {figures.curves}"
    for p in judged.problems:
        found = sentence(p, "mm")
        if p.at is not None:
            found = _("{finding} at x {x:.2f}, y {y:.2f} mm", finding=found, x=p.at[0], y=p.at[1])
        yield f"  {_SEVERITIES[p.severity]} {_sourced(found, p.source)}"
    if not judged.problems:
        yield f"  {_('No problems found.')}"


def problem_line(p: Problem, unit: Unit) -> str:
    """One problem: severity, template, what and how much, where, and its source."""
    found = labelled(p.template, sentence(p, unit))
    if p.at is not None:
        x, y = (show(v, unit, fine=True) for v in p.at)
        found = _("{finding} at x {x}, y {y} {unit} from the handle front", finding=found, x=x, y=y, unit=unit)
    return f"{_SEVERITIES[p.severity]} {_sourced(found, p.source)}"


def _sourced(finding: str, source: str) -> str:
    return _("{finding} ({source})", finding=finding, source=source) if source else finding
