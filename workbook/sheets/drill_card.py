"""The card for the drill press: the tang's holes at true size, measured from what calipers can touch, and the work in order."""

from workbook.geometry.drawing import Clip, Curve, Drawing, Mark, stroke
from workbook.sheets.cautions import LAYOUT_AND_DRILL
from workbook.sheets.dimensions import row_of_labels
from workbook.sheets.furniture import crosshair
from workbook.sheets.paper import PrintRun
from workbook.sheets.table import paragraph, table
from workbook.sheets.true_size import Sheet
from workbook.sheets.views import View
from workbook.template.contour import is_bare
from workbook.template.hole_places import heads, reading
from workbook.template.holes import WORDS, Hole
from workbook.template.shape import Shape
from workbook.texts import _

_AHEAD = 12.0  # mm shown ahead of the foremost hole and of the scale front
_BIG = 13.0  # points: read at arm's length
_ORDER = _(
    "1 Dye, scribe both distances, centre punch, check with calipers before drilling. 2 Spot each hole. 3 Drill the tang to the "
    "size given, before hardening. 4 Countersink lightly on both faces: no burr, no sharp corner for a crack to begin at."
)
_SCALES = _("5 Scales are drilled through the tang's holes, or by the scale sheet, with the second drill.")


def drill_sheet(run: PrintRun, blank: Shape, under: str, code_text: str) -> Sheet | None:
    """Build the card; None for a blank without holes."""
    if not blank.holes:
        return None

    def holes(x: float, y: float, span: float) -> tuple[Drawing, float]:
        words = ("", _("Purpose"), *heads(blank, run.datum), _("Tang drill"), _("Scale drill"))
        rows = [_row(run, blank, hole) for hole in blank.holes]
        for size, gap in ((_BIG, 6.0), (11.0, 4.5), (8.5, 2.6)):
            marks, wide, low = table(x, y, words, rows, run.measure, size=size, head_size=8.5, gap=gap)
            if wide <= span:
                break
        return marks, low

    def order(x: float, y: float, span: float) -> tuple[Drawing, float]:
        bare = blank.template is not None and is_bare(blank.template.handle)
        marks, low = paragraph(x, y, span, _ORDER if bare else f"{_ORDER} {_SCALES}", run.measure, size=9.5)
        more, low = paragraph(x, low - 2.0, span, LAYOUT_AND_DRILL, run.measure, size=7.5)
        return (*marks, *more), low

    return Sheet(
        view=_view(run, blank), title=blank.name, under=under, what=_("Holes, true size"), blocks=(holes, order), told=code_text
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
    marks += row_of_labels(labels, row, run.measure, size=_BIG, gap=3.0)
    marks.append(stroke(((x0, y0 - 4), (x0, y1 + 4)), "construction"))
    return View(marks=tuple(marks), x0=x0 - 8, y0=row - 4, x1=end + 8, y1=y1 + 6)


def _row(run: PrintRun, blank: Shape, hole: Hole) -> tuple[str, ...]:
    along, across = (run.length(v, fine=True) for v in reading(blank, hole.centre, run.datum))
    bare = blank.template is not None and is_bare(blank.template.handle)
    scale = hole.scale_drill.named(run.unit) if hole.scale_drill and not bare else "-"
    return hole.mark, WORDS[hole.purpose] if blank.template else "hole", along, across, hole.drill.named(run.unit), scale
