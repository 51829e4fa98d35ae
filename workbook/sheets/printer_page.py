"""The page that shows the scale error of a printer: bars to measure along X and Y, never corrected."""

from workbook.geometry.drawing import Mark, Text, stroke
from workbook.sheets.furniture import check_bars, footed, title_block
from workbook.sheets.paper import Draft, PrintRun, SheetPage
from workbook.sheets.printer import TRUE, Printer
from workbook.sheets.table import paragraph
from workbook.structs import replace
from workbook.texts import _

_HOW = _(
    "Print this page at 100%, on the paper and from the program you will print sheets with. Measure with "
    "calipers from the middle of one end line to the middle of the other, along X and along Y. Type both "
    "readings under Settings, Printer. Every true-size sheet is then corrected, and says so at its foot. "
    "Print a template sheet and measure its check bars to prove it. Measure again for other paper, which "
    "stretches differently."
)


def printer_page(run: PrintRun) -> SheetPage:
    """Build the page: fine lines 100 mm apart each way, in the middle of a portrait page."""
    run = replace(run, printer=Printer(name=run.printer.name, margin=run.printer.margin))
    w, h = run.upright
    x0, y0 = (w - TRUE) / 2, (h - TRUE) / 2
    marks: list[Mark] = [*title_block(run, (w, h), _("Printer test"), run.date, run.printer.name, _("Not corrected, true size"))]
    for x in (x0, x0 + TRUE):
        marks.append(stroke(((x, y0 - 12), (x, y0 + 12)), "extension"))
    for y in (y0 + 30, y0 + 30 + TRUE):
        marks.append(stroke(((x0 - 12, y), (x0 + 12, y)), "extension"))
    marks += [
        stroke(((x0, y0), (x0 + TRUE, y0)), "dimension"), stroke(((x0 - 6, y0 + 30), (x0 - 6, y0 + 30 + TRUE)), "dimension"),
        Text((x0 + TRUE / 2, y0 + 1.6), _("X: 100 mm drawn, read ____________"), 10, "middle"),
        Text((x0 - 2, y0 + 30 + TRUE / 2), _("Y: 100 mm drawn, read ____________"), 10),
    ]  # fmt: skip
    marks += paragraph(run.margin, h - run.margin - 22, w - 2 * run.margin, _HOW, run.measure, size=9.5)[0]
    marks += check_bars((w - run.margin - 3.5, run.margin + 9.0))
    return footed(run, [Draft(w, h, tuple(marks), _("printer test"))])[0]
