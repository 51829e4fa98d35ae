"""Template sheets: faces, master, plunge, scales and holes at true size with their numbers, packed on few pages."""

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from math import hypot

from workbook.geometry.drawing import Drawing, Mark, Text
from workbook.grind.bench import Bench, bench
from workbook.sheath.pattern import SheathPattern
from workbook.sheets.bench_words import angle_words, bar_words, over_words
from workbook.sheets.cautions import FORMING, GRIND, HANDLE, LAYOUT_AND_DRILL, LEATHERWORK
from workbook.sheets.drill_card import drill_sheet, hole_blocks
from workbook.sheets.fold_sheet import fold_sheet
from workbook.sheets.furniture import title_block, told
from workbook.sheets.paper import PrintRun, SheetPage
from workbook.sheets.scale_sheet import scale_sheet
from workbook.sheets.sheath_sheet import sheath_sheets
from workbook.sheets.table import pairs, paragraph
from workbook.sheets.true_size import Block, Sheet, true_size
from workbook.sheets.views import View, bare, left_face, right_face
from workbook.shop.in_hand import InHand
from workbook.template.contour import is_bare
from workbook.template.mark import shape_mark
from workbook.template.model import Bevel, Template
from workbook.template.shape import Shape
from workbook.template.tools import Owned
from workbook.template.words import choice_words
from workbook.texts import _
from workbook.units import HABITS, show

OfBlank = Callable[[PrintRun, Shape, float, float, float], tuple[Drawing, float]]  # a block of words for any blank
_NO_TOOLS = Owned()
PART_WORDS = {
    "right": _("Right face"),
    "left": _("Left face"),
    "master": _("Master template"),
    "fold": _("Fold-over plunge guide"),
    "scales": _("Scales"),
    "holes": _("Drilling guide"),
    "sheath": _("Sheath pattern"),
    "card": _("Bench card"),
}
CARD = "card"  # on a page of its own, of a template that is ground (bench_card.py)
SHEATH_PART = "sheath"
PARTS = tuple(part for part in PART_WORDS if part not in (CARD, SHEATH_PART))  # what is printed unless told


def template_pages(
    run: PrintRun,
    blank: Shape,
    bar: InHand,
    parts: Sequence[str] = PARTS,
    tools: Owned = _NO_TOOLS,
    sheath: SheathPattern | None = None,
) -> list[SheetPage]:
    """The requested parts of a template's sheets on as few pages as they take, for blades of this bar set with these tools.

    `sheath`: its pattern, which comes with them.
    """
    sheets = [*_sheets(run, blank, bar, parts, tools), *(sheath_sheets(run, sheath) if sheath else ())]

    def head(size: tuple[float, float]) -> Drawing:
        words = _("Print at 100%, then measure both check bars")
        return title_block(run, size, blank.name, facts(run, blank, bar), words, "", told(run, blank))

    foot = _("{name}: template sheets", name=blank.name)
    return true_size(run, sheets, [_cautions(run, blank, parts, sheath)], head, foot) if sheets else []


def _sheets(run: PrintRun, blank: Shape, hand: InHand, parts: Sequence[str], tools: Owned) -> Iterator[Sheet]:
    x0, _unused, x1, _unused = blank.extent()
    bar = hand.thickness
    closing = _(
        "Lay the joining lines over each other. Joined, it measures {both_units} from end to end",
        both_units=both_units(run, x1 - x0),
    )

    def face(view: View, caption: str, named: str, *blocks: Block) -> Sheet:
        return Sheet(view=view, what=caption, named=named, blocks=blocks, closing=closing)

    holes = hole_blocks(run, blank)
    if "right" in parts:
        yield face(_right_face(run, blank, bar), _("Right face, true size"), _("Hole table"), *holes)
    if "left" in parts:
        numbers = partial(_numbers_block(hand, tools), run, blank)
        yield face(left_face(run, blank, bar), _("Left face, true size"), _("Numbers for grinding"), numbers)
    if "master" in parts:
        master = bare(blank, cut_line=run.cut_line)
        yield face(master, _("Master template, true size"), "", partial(_master_block, run, blank))
    others = {
        "fold": lambda: fold_sheet(run, blank, bar),
        "scales": lambda: scale_sheet(run, blank, bar),
        "holes": lambda: drill_sheet(run, blank, () if "right" in parts else holes),
    }
    yield from (sheet for part in parts if part in others and (sheet := others[part]()) is not None)


def _cautions(run: PrintRun, blank: Shape, parts: Sequence[str], sheath: SheathPattern | None) -> Block:
    """The cautions of all work that the sheets are for, once."""
    ground = blank.template is not None and "left" in parts
    scaled = "scales" in parts and blank.template is not None and not is_bare(blank.template.handle)
    steel = any(part != SHEATH_PART for part in parts)
    wanted = ((LAYOUT_AND_DRILL, steel), (GRIND, ground), (HANDLE, scaled))
    words = [text for text, is_wanted in wanted if is_wanted]
    words += [LEATHERWORK if sheath.rules.stitched else FORMING] if sheath else []

    def block(x: float, y: float, span: float) -> tuple[Drawing, float]:
        marks: list[Mark] = []
        for text in words:
            more, y = paragraph(x, y, span, text, run.measure)
            marks += more
            y -= 1.5
        return tuple(marks), y

    return block


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
    number = blank.template.revision if blank.template else 1
    revision = _("revision {revision} ({shape_mark})", revision=number, shape_mark=shape_mark(blank))
    return ", ".join(part for part in (run.job, revision, run.date, bar.steel, bar_words(bar, run.unit)) if part)


def _numbers_block(bar: InHand, tools: Owned) -> OfBlank:
    """Numbers for grinding blades of this bar."""

    def block(run: PrintRun, blank: Shape, x: float, y: float, span: float) -> tuple[Drawing, float]:
        if blank.template is None:
            x0, y0, x1, y1 = blank.extent()
            sizes = [(_("Overall"), run.length(x1 - x0, unit=True)), (_("Height"), run.length(y1 - y0, unit=True))]
            return pairs(x, y, 90, sizes, run.measure)
        settings = bench(blank, bar.thickness, tools, ())
        marks, low = pairs(x, y, span, _scribed(run, settings), run.measure, size=10, value_size=16)
        others, low = pairs(x, low, span, _grind_numbers(run, blank.template, settings), run.measure, size=10)
        over = over_words(bar, settings, run.unit)
        sentences = (
            _("{over}.", over=over) if over else "",
            _("Grind line: solid is finished, dashed is before hardening."),
            _same_plunge(blank),
        )
        more, low = paragraph(x, low - 2, span, " ".join(each for each in sentences if each), run.measure)
        return (*marks, *others, *more), low

    return block


def _same_plunge(blank: Shape) -> str:
    """How both faces get the same plunge; a single bevel has only one."""
    if blank.template is None or blank.template.grind.bevel is Bevel.SINGLE:
        return ""
    if len(blank.holes) > 1:
        return _(
            "Glue the faces on back to back, registered on the first and the last hole, so that both get the "
            "same plunge. Check with a square."
        )
    return _("Glue the faces on back to back, registered on the outline, so that both get the same plunge. Check with a square.")


def _grind_numbers(run: PrintRun, t: Template, bench: Bench) -> list[tuple[str, str]]:
    single = t.grind.bevel is Bevel.SINGLE
    bevel_angle = _("Bevel angle, one face, at the heel") if single else _("Bevel angle, each side, at the heel")
    edge_angle = _("Edge angle, one face") if single else _("Edge angle, each side")
    rows = [
        (_("Bevel, bar"), f"{choice_words(t.grind.bevel)}, {run.reading(bench.bar)}"),
        (bevel_angle, angle_words(bench.angle)),
        (_("Ground off each face after hardening"), run.length(t.grind.face_allowance, fine=True)),
    ]
    if t.grind.bevel is not Bevel.SCANDI:
        rows += [(_("Edge before sharpening"), run.length(t.grind.edge_before_sharpening, fine=True))]
        rows += [(edge_angle, f"{t.grind.edge_angle:g}°")]
    if t.grind.bevel is Bevel.HOLLOW:
        rows += [(_("Contact wheel"), run.length(t.grind.wheel, unit=True))]
    rows += [
        (_("Height at heel, at butt"), f"{run.length(t.blade.height)}, {run.length(t.handle.butt)}"),
        (_("Plunge from the scale front, radius, rake"), _plunge_words(run, t)),
    ]
    if t.tang.is_enclosed:
        sizes = (t.tang.length, t.tang.width, t.tang.end_width, t.tang.shoulder_radius)
        rows += [(_("Tang: length, width, at its end, shoulder radius"), ", ".join(run.length(v) for v in sizes))]
    return rows


def _scribed(run: PrintRun, bench: Bench) -> list[tuple[str, str]]:
    """What is scribed before grinding."""
    return [
        _scribe_row(run, bench),
        (_("Grind line above edge at heel, before hardening"), run.length(bench.line_before, fine=True)),
        (_("Grind line above edge at heel, finished"), run.length(bench.line_finished, fine=True)),
    ]


def _scribe_row(run: PrintRun, bench: Bench) -> tuple[str, str]:
    """How the edge is scribed: midway from both faces, or from the back of a single bevel."""
    edge = run.reading(bench.edge_set)
    if bench.faces == 1:
        return _("Surface gauge from the back, one line: edge left"), edge
    return _("Surface gauge {length}, flip, repeat: gap", length=run.reading(bench.scribe_set)), edge


def _plunge_words(run: PrintRun, t: Template) -> str:
    return f"{run.length(t.heel.ahead)}, {run.length(t.heel.plunge_radius)}, {t.heel.plunge_rake:g}°"


def _master_block(run: PrintRun, blank: Shape, x: float, y: float, span: float) -> tuple[Drawing, float]:
    """How to make the hard template, with the numbers that prove it."""
    words = (
        _(
            "Glue to card, acrylic or sheet steel. Drill both registration holes first, then cut and file to the line. Scribe "
            "the name, revision and date on it. Lay it on the bar by the two punch marks of the bar sheet and scribe around it."
        )
        if len(blank.holes) > 1
        else _(
            "Glue to card, acrylic or sheet steel. Cut and file to the line. Scribe the name, revision and date on it. Lay it "
            "on the bar by the two punch marks of the bar sheet and scribe around it."
        )
    )
    marks, low = paragraph(x, y, span, words, run.measure, size=9)
    x0, _unused, x1, _unused = blank.extent()
    rows = [(_("Overall, to measure on the finished template"), run.length(x1 - x0, fine=True, unit=True))]
    if len(blank.holes) > 1:
        (ax, ay), (bx, by) = blank.holes[0].centre, blank.holes[-1].centre
        pair = _("{first} to {last}, center to center", first=blank.holes[0].mark, last=blank.holes[-1].mark)
        rows.append((pair, run.length(hypot(ax - bx, ay - by), fine=True, unit=True)))
        rows += [(_("{mark}: drill", mark=h.mark), h.drill.named(run.unit)) for h in (blank.holes[0], blank.holes[-1])]
    more, low = pairs(x, low - 3, min(110.0, span), rows, run.measure, size=9.5)
    number = blank.template.revision if blank.template else 1
    label = _("{name}  revision {revision}  {date}", name=blank.name, revision=number, date=run.date)
    return (*marks, *more, Text((x, low - 7), label, 12, bold=True)), low - 9
