"""A sheet to fold over the spine: plunge and both grind lines for both faces at once, so that they line up."""

from math import atan2, cos, sin

from workbook.geometry.drawing import Clip, Drawing, Mark, Text, box, stroke
from workbook.geometry.path import Placement, Point
from workbook.grind.lines import grind_lines
from workbook.grind.stations import faces_of
from workbook.sheets.furniture import SMALL
from workbook.sheets.paper import PrintRun
from workbook.sheets.table import pairs, paragraph
from workbook.sheets.true_size import Sheet
from workbook.sheets.views import View, ground_steel
from workbook.template.blade import height_at
from workbook.template.shape import Shape
from workbook.texts import _

_BEHIND, _AHEAD = 14.0, 60.0  # mm of the blade shown behind and ahead of the plunge
_PAST_FRONT = 5.0  # mm shown behind the scale front, by which the sheet is positioned
_EDGE = 5.0  # mm of paper beyond the cutting edge
_LEVEL = 12.0  # mm ahead of the plunge over which the spine counts as straight
_HOW = _(
    "Cut the rectangle out. Fold along both dashed lines, printed side out, so that the strip between "
    "them lies on the spine. It is as wide as the bar given. Slide it until the scale front and the "
    "outline match the blank. Tape it, and scribe plunge and grind lines on both faces. Check with a "
    "square across the edge."
)


def fold_sheet(run: PrintRun, blank: Shape, bar: float) -> Sheet | None:
    """Build the sheet; None for a blank that is ground on one face, or is not parametric."""
    view = _view(blank, bar)
    if view is None:
        return None

    def words(x: float, y: float, span: float) -> tuple[Drawing, float]:
        between = [(_("Fold to fold = bar thickness"), f"{run.reading(bar)} {run.unit}")]
        marks, low = pairs(x, y, min(90.0, span), between, run.measure, size=9.5)
        more, low = paragraph(x, low - 2.0, span, _HOW, run.measure)
        return (*marks, *more), low

    return Sheet(view=view, what=_("Fold-over plunge guide, true size"), blocks=(words,))


def _view(blank: Shape, bar: float) -> View | None:
    """The right face under the strip for the spine, the left one over it; the spine is horizontal at the plunge."""
    template, curves, lines = blank.template, blank.curves, grind_lines(blank, bar)
    if template is None or curves is None or lines is None or faces_of(template) == 1:
        return None
    at = lines.plunge_at
    begin, end = min(at - _BEHIND, -_PAST_FRONT), min(at + _AHEAD, template.blade.length - 2.0)
    spine = height_at(curves.spine, at)
    level = -atan2(height_at(curves.spine, min(at + _LEVEL, end)) - spine, min(_LEVEL, end - at))
    half, deep = bar / 2, template.blade.height + _EDGE
    right = _landing((at, spine), level, -half, mirrored=False)
    left = _landing((at, spine), level, half, mirrored=True)
    x0, x1 = begin - at, end - at
    window = (x0, -half - deep, x1, half + deep)
    faces = [*ground_steel(blank, lines, right), *ground_steel(blank, lines, left), *_front(blank, right), *_front(blank, left)]
    marks: list[Mark] = [Clip(window, tuple(faces)), box(*window, line="saw")]
    marks += [stroke(((x0 - 3, y), (x1 + 3, y)), "hidden") for y in (-half, half)]
    for side, words in ((-1, _("right face")), (1, _("left face"))):
        marks.append(Text((x1 - 2, side * (half + deep - 3.0) - 1.0), words, SMALL, "end", tone="soft"))
    return View(marks=tuple(marks), x0=x0 - 4, y0=-half - deep - 2, x1=x1 + 4, y1=half + deep + 2)


def _landing(corner: Point, turn: float, y: float, *, mirrored: bool) -> Placement:
    """The placement that turns about a corner, or turns and mirrors upside down, and brings that corner to (0, y)."""
    c, s = cos(turn), sin(turn)
    x0, y0 = c * corner[0] - s * corner[1], s * corner[0] + c * corner[1]
    return Placement(-x0, y + y0, -turn, mirrored=True) if mirrored else Placement(-x0, y - y0, turn)


def _front(blank: Shape, where: Placement) -> Drawing:
    """The scale front, to position the sheet by."""
    assert blank.template is not None
    half = blank.template.handle.front / 2
    low, high = where.point((0.0, -half)), where.point((0.0, half))
    return (stroke((low, high), "construction"), Text((low[0] + 0.8, (low[1] + high[1]) / 2), _("front"), SMALL, tone="soft"))
