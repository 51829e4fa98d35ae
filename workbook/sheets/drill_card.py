"""The sheet for the drill press: the tang's holes at true size, measured from what calipers can touch, and the work in order."""

from functools import partial
from math import hypot

from workbook.geometry.drawing import Clip, Curve, Drawing, Mark, stroke
from workbook.sheets.dimensions import row_of_labels
from workbook.sheets.furniture import SMALL, crosshair
from workbook.sheets.paper import PrintRun
from workbook.sheets.table import paragraph, table
from workbook.sheets.true_size import Block, Sheet
from workbook.sheets.views import View
from workbook.template.contour import is_bare
from workbook.template.hole_places import heads, reading
from workbook.template.holes import WORDS, Hole
from workbook.template.model import Purpose
from workbook.template.shape import Shape
from workbook.texts import _

_AHEAD = 12.0  # mm shown ahead of the foremost hole and of the scale front
BIG = 16.0  # points: read at arm's length
_ROWS = 15  # of the hole table in one block
_ORDER = _(
    "1 Dye, scribe both distances, center punch, check with calipers before drilling. 2 Spot each hole. "
    "3 Drill the tang to the size given, before hardening. 4 Countersink lightly on both faces: no burr, "
    "and no sharp corner where a crack could start."
)
_SCALES = _("5 Drill the scales through the tang's holes, or by the scale sheet, with the second drill.")


def drill_sheet(run: PrintRun, blank: Shape, table_of_holes: tuple[Block, ...]) -> Sheet | None:
    """The tang with its holes; None for a blank without. `table_of_holes`: where it is not on the sheets already."""
    if not blank.holes:
        return None

    def order(x: float, y: float, span: float) -> tuple[Drawing, float]:
        bare = blank.template is not None and is_bare(blank.template.handle)
        return paragraph(x, y, span, _ORDER if bare else f"{_ORDER} {_SCALES}", run.measure, size=9.5)

    return Sheet(view=_view(run, blank), what=_("Holes, true size"), blocks=(*table_of_holes, order))


def hole_blocks(run: PrintRun, blank: Shape) -> tuple[Block, ...]:
    """The hole table: measured from what calipers can touch, with drills; in as many blocks as it takes to break over pages."""
    return tuple(partial(_table, run, blank, begin) for begin in range(0, len(blank.holes), _ROWS))


def _table(run: PrintRun, blank: Shape, begin: int, x: float, y: float, _span: float) -> tuple[Drawing, float]:
    words = (
        "",
        _("Purpose"),
        *heads(blank, run.datum),
        _("From {mark}", mark=blank.holes[0].mark),
        _("Tang drill"),
        _("Scale drill"),
        _("Pin or bolt"),
    )
    rows = [_hole_row(run, blank, hole) for hole in blank.holes[begin : begin + _ROWS]]
    sizes = (13.0, 10.0, BIG, BIG, BIG, 11.0, 11.0, 11.0)
    marks, _wide, low = table(x, y, words, rows, run.measure, size=sizes, head_size=SMALL, gap=3.5, leading=1.2)
    return marks, low


def _hole_row(run: PrintRun, blank: Shape, hole: Hole) -> tuple[str, ...]:
    (x, y), (fx, fy) = hole.centre, blank.holes[0].centre
    scale = hole.scale_drill.named(run.unit) if hole.scale_drill else "-"
    takes = "-" if hole.purpose is Purpose.EPOXY else run.exact(hole.size)
    apart = "-" if hole is blank.holes[0] else run.length(hypot(x - fx, y - fy), fine=True)
    purpose = WORDS[hole.purpose] if blank.template else _("hole")
    along, across = (run.length(v, fine=True) for v in reading(blank, hole.centre, run.datum))
    return (
        hole.mark,
        purpose,
        along,
        across,
        apart,
        hole.drill.named(run.unit),
        scale,
        takes,
    )


def _view(run: PrintRun, blank: Shape) -> View:
    """The tang with its holes, ordinates from the butt in a row under it."""
    x0, y0, x1, y1 = blank.extent()
    end = min(max(hole.centre[0] for hole in blank.holes) + _AHEAD, x1) if blank.template is None else min(_AHEAD, x1)
    end = max(end, max(hole.centre[0] + hole.diameter for hole in blank.holes))
    outlines: list[Mark] = [Curve(blank.outline), *(Curve(opening) for opening in blank.openings)]
    marks: list[Mark] = [Clip((x0 - 1, y0 - 1, end, y1 + 1), tuple(outlines))]
    for hole in blank.holes:
        marks += crosshair(hole.centre, hole.diameter / 2)
    labels = [
        ((h.centre[0], h.centre[1] - h.diameter / 2 - 2.5), f"{h.mark} {run.length(h.centre[0] - x0)}") for h in blank.holes
    ]
    row = y0 - 9.0
    marks += row_of_labels(labels, row, run.measure, size=BIG, gap=3.0)
    marks.append(stroke(((x0, y0 - 4), (x0, y1 + 4)), "construction"))
    return View(marks=tuple(marks), x0=x0 - 8, y0=row - 4, x1=end + 8, y1=y1 + 6)
