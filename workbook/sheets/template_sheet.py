"""Template sheets: each face at true size over as many pages as it takes, its holes, its numbers, check bars on all."""

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from math import hypot

from workbook.geometry.drawing import Drawing, Text
from workbook.grind.bench import Bench, bench
from workbook.sheets.bench_words import angle_words, bar_words, over_words
from workbook.sheets.cautions import GRIND, LAYOUT_AND_DRILL
from workbook.sheets.drill_card import drill_sheet
from workbook.sheets.fold_sheet import fold_sheet
from workbook.sheets.furniture import footed, told
from workbook.sheets.paper import Draft, PrintRun, SheetPage
from workbook.sheets.scale_sheet import scale_sheet
from workbook.sheets.table import pairs, paragraph, table
from workbook.sheets.true_size import Sheet, true_size
from workbook.sheets.views import View, bare, left_face, right_face
from workbook.shop.in_hand import InHand
from workbook.template.hole_places import heads, reading
from workbook.template.holes import WORDS, Hole
from workbook.template.mark import shape_mark
from workbook.template.model import Bevel, Purpose, Template
from workbook.template.shape import Shape
from workbook.template.tools import Owned
from workbook.texts import _
from workbook.units import HABITS, show

OfBlank = Callable[[PrintRun, Shape, float, float, float], tuple[Drawing, float]]  # a block of words for any blank
_NO_TOOLS = Owned()
PART_WORDS = {
    "faces": _("Both faces"),
    "master": _("Master template"),
    "fold": _("Plunge, to fold"),
    "scales": _("Scales"),
    "holes": _("Holes, to drill by"),
}
PARTS = tuple(PART_WORDS)


def template_pages(
    run: PrintRun, blank: Shape, bar: InHand, parts: Sequence[str] = PARTS, tools: Owned = _NO_TOOLS
) -> list[SheetPage]:
    """Build the requested parts of a template's sheets, in order, for blades of this bar set with these tools."""
    drafts: list[Draft] = []
    for sheet in _sheets(run, blank, bar, parts, tools):
        drafts += true_size(run, sheet, 1 + len(drafts))
    return footed(run, drafts)


def _sheets(run: PrintRun, blank: Shape, hand: InHand, parts: Sequence[str], tools: Owned) -> Iterator[Sheet]:
    x0, _unused, x1, _unused = blank.extent()
    bar, under = hand.thickness, facts(run, blank, hand)
    closing = _(
        "Lay joining lines over each other; joined it measures {both_units} from end to end", both_units=both_units(run, x1 - x0)
    )

    def face(view: View, caption: str, *blocks: OfBlank) -> Sheet:
        words = tuple(partial(block, run, blank) for block in blocks)
        return Sheet(view=view, title=blank.name, under=under, what=caption, blocks=words, closing=closing, told=told(run, blank))

    if "faces" in parts:
        yield face(_right_face(run, blank, bar), _("Right face, true size"), _holes_block, _caution_block)
        yield face(left_face(run, blank, bar), _("Left face, true size"), _numbers_block(hand, tools))
    if "master" in parts:
        yield face(bare(blank, cut_line=run.cut_line), _("Master template, true size"), _master_block, _caution_block)
    others = {
        "fold": lambda: fold_sheet(run, blank, bar, under, told(run, blank)),
        "scales": lambda: scale_sheet(run, blank, bar, under, told(run, blank)),
        "holes": lambda: drill_sheet(run, blank, under, told(run, blank)),
    }
    yield from (sheet for part in parts if part in others and (sheet := others[part]()) is not None)


def both_units(run: PrintRun, mm: float) -> str:
    """A length in the job's unit and in the other."""
    both = (run.unit, HABITS[run.unit].beside)
    return ", ".join(f"{show(mm, unit, fine=HABITS[unit].coarse is None)} {unit}" for unit in both)


def _right_face(run: PrintRun, blank: Shape, bar: float) -> View:
    """The right face with the heights beyond its ends, unless the knife fits on one page only without them."""
    view = right_face(run, blank, bar, heights=True)
    narrow = right_face(run, blank, bar, heights=False)
    page = run.wide_for(view.x1 - view.x0)[0] - 2 * run.margin
    return narrow if narrow.x1 - narrow.x0 <= page < view.x1 - view.x0 else view


def facts(run: PrintRun, blank: Shape, bar: InHand) -> str:
    """The facts under the title of a template's sheet."""
    revision = f"revision {blank.template.revision if blank.template else 1} ({shape_mark(blank)})"
    return ", ".join(part for part in (run.job, revision, run.date, bar.steel, bar_words(bar, run.unit)) if part)


def _holes_block(run: PrintRun, blank: Shape, x: float, y: float, span: float) -> tuple[Drawing, float]:
    """The hole table: measured from what calipers can touch, with drills."""
    if not blank.holes:
        return (), y
    words = (
        "",
        _("Purpose"),
        *heads(blank, run.datum),
        _("From {mark}", mark=blank.holes[0].mark),
        _("Tang drill"),
        _("Scale drill"),
        _("Takes"),
    )
    rows = [_hole_row(run, blank, hole) for hole in blank.holes]
    for size, gap in ((12.0, 5.0), (9.5, 4.0), (8.0, 2.6)):  # as large as there is room: it is read at the drill
        marks, width, low = table(x, y, words, rows, run.measure, size=size, gap=gap)
        if width <= span:
            break
    return marks, low


def _hole_row(run: PrintRun, blank: Shape, hole: Hole) -> tuple[str, ...]:
    (x, y), (fx, fy) = hole.centre, blank.holes[0].centre
    scale = hole.scale_drill.named(run.unit) if hole.scale_drill else "-"
    takes = "-" if hole.purpose is Purpose.EPOXY else run.exact(hole.size)
    apart = "-" if hole is blank.holes[0] else run.length(hypot(x - fx, y - fy), fine=True)
    purpose = WORDS[hole.purpose] if blank.template else "hole"
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


def _numbers_block(bar: InHand, tools: Owned) -> OfBlank:
    """Numbers for grinding blades of this bar."""

    def block(run: PrintRun, blank: Shape, x: float, y: float, span: float) -> tuple[Drawing, float]:
        if blank.template is None:
            x0, y0, x1, y1 = blank.extent()
            return pairs(
                x, y, 90, [(_("Overall"), run.length(x1 - x0, unit=True)), (_("Height"), run.length(y1 - y0, unit=True))]
            )
        settings = bench(blank, bar.thickness, tools, ())
        marks, low = pairs(x, y, min(132.0, span), _grind_numbers(run, blank.template, settings), size=10.5)
        over = over_words(bar, settings, run.unit)
        words = f"{over}. " if over else ""
        words += _("Solid grind line: finished; dashed: before hardening. ") + _same_plunge(blank) + GRIND
        more, low = paragraph(x, low - 2, span, words, run.measure, size=8)
        return (*marks, *more), low

    return block


def _same_plunge(blank: Shape) -> str:
    """How both faces get the same plunge; a single bevel has only one."""
    if blank.template is None or blank.template.grind.bevel is Bevel.SINGLE:
        return ""
    on = _("the first and the last hole") if len(blank.holes) > 1 else _("the outline")
    return _("Glue the faces on back to back, registered on {on}, so that both get the same plunge; check with a square. ", on=on)


def _grind_numbers(run: PrintRun, t: Template, bench: Bench) -> list[tuple[str, str]]:
    single = t.grind.bevel is Bevel.SINGLE
    side = _("one face") if single else _("each side")
    rows = [
        (_("Bevel; bar"), f"{t.grind.bevel}; {run.reading(bench.bar)}"),
        _scribe_row(run, bench),
        (_("Bevel angle, {side}, at the heel", side=side), angle_words(bench.angle)),
        (_("Grind line above edge at heel, before hardening"), run.length(bench.line_before, fine=True)),
        (_("Grind line above edge at heel, finished"), run.length(bench.line_finished, fine=True)),
        (_("Ground off each face after hardening"), run.length(t.grind.face_allowance, fine=True)),
    ]
    if t.grind.bevel is not Bevel.SCANDI:
        rows += [(_("Edge before sharpening"), run.length(t.grind.edge_before_sharpening, fine=True))]
        rows += [(_("Edge angle, {side}", side=side), f"{t.grind.edge_angle:g}°")]
    if t.grind.bevel is Bevel.HOLLOW:
        rows += [(_("Contact wheel"), run.length(t.grind.wheel, unit=True))]
    rows += [
        (_("Height at heel, at butt"), f"{run.length(t.blade.height)}, {run.length(t.handle.butt)}"),
        (_("Plunge from the scale front; radius, rake"), _plunge_words(run, t)),
    ]
    if t.tang.is_enclosed:
        sizes = (t.tang.length, t.tang.width, t.tang.end_width, t.tang.shoulder_radius)
        rows += [(_("Tang: length, width, at its end, shoulder radius"), ", ".join(run.length(v) for v in sizes))]
    return rows


def _scribe_row(run: PrintRun, bench: Bench) -> tuple[str, str]:
    """How the edge is scribed: midway from both faces, or from the back of a single bevel."""
    edge = run.reading(bench.edge_set)
    if bench.faces == 1:
        return _("Surface gauge from the back, one line: edge left"), edge
    return _("Surface gauge {length}, flip, repeat: gap", length=run.reading(bench.scribe_set)), edge


def _plunge_words(run: PrintRun, t: Template) -> str:
    return f"{run.length(t.heel.ahead)}; {run.length(t.heel.plunge_radius)}, {t.heel.plunge_rake:g}°"


def _caution_block(run: PrintRun, blank: Shape, x: float, y: float, span: float) -> tuple[Drawing, float]:
    return paragraph(x, y, span, LAYOUT_AND_DRILL, run.measure, size=7.5)


def _master_block(run: PrintRun, blank: Shape, x: float, y: float, span: float) -> tuple[Drawing, float]:
    """How to make the hard template, with the numbers that prove it."""
    words = _("Glue to card, acrylic or sheet steel. ")
    words += _("Drill both registration holes first, then cut") if len(blank.holes) > 1 else _("Cut")
    words += _(" and file to the line. Scribe the name, revision and date on it. ")
    words += _("Lay it on the bar by the two punch marks of the bar sheet and scribe round it.")
    marks, low = paragraph(x, y, span, words, run.measure, size=9)
    x0, _unused, x1, _unused = blank.extent()
    rows = [(_("Overall, to measure on the finished template"), run.length(x1 - x0, fine=True, unit=True))]
    if len(blank.holes) > 1:
        (ax, ay), (bx, by) = blank.holes[0].centre, blank.holes[-1].centre
        pair = f"{blank.holes[0].mark} to {blank.holes[-1].mark}, centre to centre"
        rows.append((pair, run.length(hypot(ax - bx, ay - by), fine=True, unit=True)))
        rows += [(_("{mark}: drill", mark=h.mark), h.drill.named(run.unit)) for h in (blank.holes[0], blank.holes[-1])]
    more, low = pairs(x, low - 3, min(110.0, span), rows, size=9.5)
    name = Text(
        (x, low - 7),
        f"{blank.name}  revision {blank.template.revision if blank.template else 1}  {run.date}",
        12,
        bold=True,
    )
    return (*marks, *more, name), low - 9
