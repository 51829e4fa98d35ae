"""Exports of the bars of a layout: sheets, the drawing with all lines, labels, tables, the layout itself."""

from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache

from msgspec import json

from workbook.formats import pdf
from workbook.formats.csv_out import csv_text
from workbook.formats.dxf_out import dxf
from workbook.formats.svg import svg
from workbook.geometry.biarc import with_arcs
from workbook.geometry.drawing import Copy, Curve, Disc, Drawing, Mark, Pattern, Text, shifted, stroke
from workbook.geometry.path import Path
from workbook.grind.lines import grind_lines
from workbook.model.results import buy_rows, costs_rows, layout_json
from workbook.sheets.bar import BarPlan
from workbook.sheets.bar_sheet import BAR_PARTS, all_pages
from workbook.sheets.labels import Label, label_pages
from workbook.sheets.paper import PrintRun
from workbook.sheets.stencil import stencil
from workbook.tasks.exports.wanted import Files, Wanted, pages_pdf
from workbook.tasks.tables_out import cut_rows, ordinate_rows
from workbook.template.mark import shape_mark
from workbook.template.shape import Shape
from workbook.texts import _

BETWEEN_BARS = 30.0  # mm between bars in one drawing
_Rows = Callable[[Wanted], Sequence[Sequence[str]]]


def bar_sheets(wanted: Wanted, file: str) -> Files:
    """What to scribe of each bar, and all bars at true size."""
    return {file: plans_pdf(wanted.run, wanted.plans, wanted.bar_parts)}


def plans_pdf(run: PrintRun, plans: Iterable[BarPlan], parts: Sequence[str] = BAR_PARTS) -> bytes:
    """The same from plans, which may still be arriving."""
    return pdf.pdf(all_pages(run, plans, parts), _("{job}: bars", job=run.job), run.printer)


def bars_drawing(wanted: Wanted, file: str) -> Files:
    """All bars with all lines in one drawing, the first with its lower corner at end A on the origin, the others above it."""
    return {file: dxf(above_each_other(wanted.plans, _all_lines), wanted.model.job.name).encode()}


def above_each_other(plans: Sequence[BarPlan], drawn: Callable[[BarPlan], Drawing]) -> list[Mark]:
    """The drawings of bars, each above the one before."""
    marks: list[Mark] = []
    rise = 0.0
    for plan in plans:
        marks += shifted(drawn(plan), 0.0, rise)
        rise += plan.size[1] + BETWEEN_BARS
    return marks


def _all_lines(plan: BarPlan) -> Drawing:
    """One bar: its edges on BAR, outlines, holes, cuts on SCRIBE, serials on NOTES."""
    width = plan.size[1]
    edge = stroke(plan.edge_line, layer="BAR")
    marks: list[Mark] = [edge, Text((0, width + 4), _("bar {number}: {name}", number=plan.number, name=plan.name), 12)]
    for blank in plan.blanks:
        marks.append(Copy(_cut_and_scribed(blank.shape, plan.size[0]), blank.placement))
        marks.append(Text(blank.middle, blank.serial, 16, "middle"))
    marks += [stroke(cut.points, layer="SCRIBE") for cut in plan.straight]
    marks += [stroke(line.points, layer="SCRIBE") for line in plan.between]
    return tuple(marks)


@lru_cache(maxsize=256)
def _cut_and_scribed(blank: Shape, bar: float) -> Pattern:
    """Outline, openings and holes of a blank, and the lines scribed on it."""
    marks: list[Curve | Disc] = [Curve(with_arcs(path)) for path in (blank.outline, *blank.openings)]
    marks += [Disc(h.centre, h.diameter / 2) for h in blank.holes]
    marks += [Curve(with_arcs(path), layer="SCRIBE") for path in _ground_lines(blank, bar)]
    return Pattern(tuple(marks))


def _ground_lines(blank: Shape, bar: float) -> list[Path]:
    """Plunge, swedge and both grind lines."""
    lines = grind_lines(blank, bar)
    return [p for p in (lines.plunge, lines.finished, lines.before, lines.swedge) if p is not None] if lines else []


def labels(wanted: Wanted, file: str) -> Files:
    """A label for every blank of the layout."""
    items = []
    for plan in wanted.plans:
        for blank in plan.blanks:
            revision = blank.shape.template.revision if blank.shape.template else 1
            mark = shape_mark(blank.shape)
            code = _(
                "{serial}; {name}; revision {revision}; {mark}; {steel}",
                serial=blank.serial,
                name=blank.shape.name,
                revision=revision,
                mark=mark,
                steel=plan.steel,
            )
            lines = (
                blank.shape.name,
                _("{steel}, revision {revision} ({mark})", steel=plan.steel, revision=revision, mark=mark),
                wanted.run.date,
            )
            items.append(Label(blank.serial, tuple(line for line in lines if line), code))
    return {file: pages_pdf(wanted.run, label_pages(wanted.run, items), _("Labels"))}


def stencils(wanted: Wanted, file: str) -> Files:
    """A stencil for marking the blanks with their numbers, for a laser and for a plotter."""
    marks = stencil([blank.serial for plan in wanted.plans for blank in plan.blanks])
    title = _("Stencil of numbers")
    return {file: svg(marks, title).encode(), file.replace(".svg", ".dxf"): dxf(marks, title).encode()}


def layout_file(wanted: Wanted, file: str) -> Files:
    """The layout as JSON, in the form that the commands read."""
    return {file: json.format(json.encode(layout_json(wanted.layout, wanted.plans)), indent=1) + b"\n"}


def _table(rows: _Rows) -> Callable[[Wanted, str], Files]:
    return lambda wanted, file: {file: csv_text(rows(wanted)).encode()}


ordinates = _table(lambda wanted: ordinate_rows(wanted.plans, wanted.model.job.unit))
cuts = _table(lambda wanted: cut_rows(wanted.plans, wanted.model.job.unit))
costs = _table(lambda wanted: costs_rows(wanted.layout))
buy = _table(lambda wanted: buy_rows(wanted.layout))
