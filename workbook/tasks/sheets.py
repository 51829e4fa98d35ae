"""Sheets of a job: its bars as they are planned, templates and bench cards as pages."""

import datetime
from collections.abc import Iterator, Sequence

from workbook.formats.font import measure
from workbook.formats.qr import qr
from workbook.grind.bench import readings
from workbook.model.grinding import advice_of, bench_of, densities_for, heights_for, masses_of, piece_of_bar, sections_of
from workbook.model.laying import Laid, bar_of, bars_laid_on, ground_template, least_offcut, refuse_clash
from workbook.model.model import Model
from workbook.model.sheathing import sheath_for
from workbook.nesting.cuts import CutPlan, cut_plan
from workbook.nesting.model import written
from workbook.problems import Severity
from workbook.region import region_of
from workbook.sheets.bar import BarPlan, Blank, between, profile_of, tight_turns
from workbook.sheets.bar_order import in_saw_order, time_at_saw
from workbook.sheets.bench_card import Card, card_page
from workbook.sheets.bench_words import heat_words
from workbook.sheets.paper import PrintRun, SheetPage, paper_of
from workbook.sheets.printer import Printer
from workbook.sheets.template_sheet import CARD, PARTS, SHEATH_PART, template_pages
from workbook.shop.facts import Facts
from workbook.shop.in_hand import InHand
from workbook.shop.job import Bar, Cutting, Job, Saw
from workbook.shop.serials import serials
from workbook.shop.wording import sentence
from workbook.structs import replace
from workbook.texts import _
from workbook.units import HABITS

_TRUE = Printer()


def today(region: str) -> str:
    """The date as sheets show it in a region."""
    return region_of(region).day(datetime.date.today().isoformat())


def run_of(job: Job, paper: str, date: str, printer: Printer = _TRUE) -> PrintRun:
    """The print settings for the job's sheets."""
    return PrintRun(
        paper=paper_of(paper, printer),
        unit=job.unit,
        measure=measure,
        job=job.name,
        date=date,
        printer=printer,
        code=qr,
        datum=job.settings.datum,
    )


def bar_plans(laid: Laid, *, cuts: bool = True) -> list[BarPlan]:
    """The plan of every bar of a layout: its blanks, serials and, with `cuts`, the lines that part blanks (they take longest).

    Raises JobError if blanks lie too near to each other: such bars are not cut, and nothing is written for them.
    """
    return list(bars_planned(laid, cuts=cuts))


def bars_planned(laid: Laid, *, cuts: bool = True) -> Iterator[BarPlan]:
    """The same, one bar at a time; raises JobError before the first."""
    refuse_clash(laid.clash)
    names = serials(laid.nesting, laid.layout)
    yield from (bar_plan(laid, i, names[i], parted=cuts) for i in range(len(laid.layout.bars)))


def saw_radius(saw: Saw, facts: Facts) -> float | None:
    """The smallest radius that the saw turns in, mm; None if unknown."""
    if saw.tightest_radius is not None or saw.band is None:
        return saw.tightest_radius
    return facts.least_saw_radius(saw.band)


def bar_plan(laid: Laid, index: int, names: tuple[str, ...], *, parted: bool) -> BarPlan:
    """The plan of one bar of a layout. `names`: serials of its blanks; `parted`: whether to find the lines that part them."""
    job, use, cost = laid.model.job, laid.layout.bars[index], laid.costs.each[index]
    keep = least_offcut(job).length
    blanks = tuple(
        Blank(
            serial=name,
            shape=laid.model.shapes[laid.nesting.parts[piece.part].key],
            placement=piece.placement(),
            outline=(outline := written(laid.nesting, piece)),
            profile=profile_of(outline),
        )
        for name, piece in zip(names, use.pieces, strict=True)
    )
    cuts = cut_plan(laid.nesting, use, cost.used - job.saw.kerf / 2 if cost.offcut >= keep else None)
    empty = empty_plan(laid, use.stock, index + 1)
    plan = replace(empty, blanks=blanks, cuts=cuts, used=cost.used, beside=cost.beside)
    if not parted or plan.service:
        return plan
    plan = replace(plan, between=between(plan, straight=laid.nesting.hulls))
    lines, turns = in_saw_order(plan)
    least = saw_radius(job.saw, laid.model.facts)
    tight = tight_turns(lines, blanks, job.saw.kerf, least) if least else ()
    plan = replace(plan, between=lines, tight=tight)
    return replace(plan, at_saw=time_at_saw(plan, turns, job.saw.feed))


def empty_plan(laid: Laid, stock_index: int, number: int) -> BarPlan:
    """The plan of a bar of a stock item without blanks."""
    job, stock = laid.model.job, laid.nesting.stock[stock_index]
    bar, rack = bar_of(job, stock), stock.source != "buy"
    return BarPlan(
        number=number,
        name=bar.name,
        steel=bar.steel,
        nominal=(bar.thickness, bar.width, bar.length),
        size=(bar.true_thickness if rack else bar.thickness, stock.width, stock.length),
        read=_which_read(bar) if rack else (False, False, False),
        source=stock.source,
        blanks=(),
        cuts=CutPlan((), ()),
        between=(),
        beyond=(stock.beyond, stock.tongue),
        service=job.saw.cutting is Cutting.SERVICE,
        separation=job.saw.separation,
        clean_up=job.saw.clean_up,
        kerf=job.saw.kerf,
        edge=laid.nesting.edge(stock_index),
        end=job.saw.bar_end,
        used=0.0,
        keep=least_offcut(job).length,
    )


def _which_read(bar: Bar) -> tuple[bool, bool, bool]:
    """Whether a bar's thickness, width and length were measured."""
    return bar.measured.least is not None, bar.measured.width is not None, bar.measured.length is not None


def card_pages(model: Model, run: PrintRun, key: str, bars: Sequence[InHand]) -> list[SheetPage]:
    """The bench cards of one parametric template, one for each bar its blades are made of. Raises JobError for a drawing."""
    return [card_page(run, _card(model, run, key, bar)) for bar in bars]


def _card(model: Model, run: PrintRun, key: str, bar: InHand) -> Card:
    blank, rules, template = model.shapes[key], model.job.settings, ground_template(model, key)
    begin, end = template.heel.ahead, template.blade.length
    behind = HABITS[model.job.unit].behind
    places = [(_("at the heel"), begin), (_("halfway"), (begin + end) / 2)]
    if end - behind > (begin + end) / 2 + 1.0:
        places.append((_("{length} behind the tip", length=run.length(behind, unit=True)), end - behind))
    heights = heights_for(model.job.unit)
    return Card(
        blank=blank,
        made=bench_of(model, key, bar),
        weighed=masses_of(model, key, bar),
        assumed=densities_for(model, key, bar)[1],
        piece=piece_of_bar(model, key, bar),
        warned=[sentence(p, model.job.unit) for p in model.judged_on(key, bar) if p.severity is not Severity.NOTE],
        bar=bar,
        lost=advice_of(model),
        soak=_("{soak:g} minutes at {heat_words}", soak=rules.soak, heat_words=heat_words(rules.heat, model.job.unit)),
        sections=sections_of(model, key, bar)[:3],
        stations=tuple((words, readings(blank, bar.thickness, x, heights)) for words, x in places),
    )


def bars_of(model: Model, laid: Laid | None, key: str) -> tuple[InHand, ...]:
    """The bars that blades of a template are made of: those its blanks lie on, one for each thickness, else the one in hand."""
    return (bars_laid_on(laid).get(key) if laid is not None else None) or (model.in_hand(key),)


def sheet_pages(model: Model, run: PrintRun, key: str, bars: Sequence[InHand], parts: Sequence[str] = PARTS) -> list[SheetPage]:
    """The chosen parts of a template's sheets, for each bar its blades are made of."""
    blank, tools = model.shapes[key], model.job.tools
    drawn = SHEATH_PART in parts and (blank.template is not None or tuple(parts) == (SHEATH_PART,))
    pages = [
        page
        for bar in bars
        for page in template_pages(run, blank, bar, parts, tools, sheath_for(model, key, bar) if drawn else None)
    ]
    return [*pages, *(card_pages(model, run, key, bars) if CARD in parts and blank.template is not None else [])]
