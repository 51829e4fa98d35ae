"""The note sent to a cutting service with each file: the part, its quantity, its steel, and the contents of the file."""

from msgspec import Struct

from workbook.geometry.drawing import Curve, Disc, Drawing, Mark, placed
from workbook.geometry.path import Placement
from workbook.sheets.dimensions import along, upright
from workbook.sheets.furniture import TITLE_HEIGHT, title_block, told
from workbook.sheets.paper import Draft, PrintRun
from workbook.sheets.table import pairs, paragraph
from workbook.sheets.template_sheet import both_units
from workbook.template.cut_blank import ServiceBlank
from workbook.template.mark import shape_mark
from workbook.template.preflight import DrawingFacts
from workbook.template.service import Service
from workbook.template.shape import Shape
from workbook.texts import _, ngettext
from workbook.units import HABITS

_PICTURE = 60.0  # mm of paper, the most for the picture's height
_FOUND = 10  # most findings listed
_ROOM = 18.0  # mm beside and under it for its dimensions


class CutNote(Struct, frozen=True, kw_only=True):
    """The content of a note."""

    blank: Shape
    cut: ServiceBlank
    service: Service
    file: str
    quantity: int
    steel: str
    facts: DrawingFacts
    strays: float  # mm at most between the curve cut and the curve drawn
    found: tuple[str, ...]  # pre-flight findings, in words


def note_draft(run: PrintRun, note: CutNote) -> Draft:
    """Build the page, in portrait."""
    w, h = run.upright
    blank = note.blank
    revision = blank.template.revision if blank.template else 1
    under = ", ".join(
        part
        for part in (run.job, _("revision {revision} ({shape_mark})", revision=revision, shape_mark=shape_mark(blank)), run.date)
        if part
    )
    right = (_("For cutting"), _("Not to scale: cut from the file"))
    marks: list[Mark] = [*title_block(run, (w, h), blank.name, under, *right, told(run, blank))]
    top, span = h - run.margin - TITLE_HEIGHT - 4.0, w - 2 * run.margin
    more, low = _picture(run, note, (run.margin + 1.5, top - 1.5), span - 3.0)
    marks += more
    if run.sender:
        more, low = paragraph(run.margin, low - 4.0, span, _("From: {sender}", sender=run.sender), run.measure, size=11)
        marks += more
    more, low = pairs(run.margin, low - 4.0, min(span, 150.0), _rows(run, note), run.measure, size=11)
    marks += more
    for words in (*_notes(run, note), *_found(note)):
        more, low = paragraph(run.margin, low - 2.0, span, words, run.measure, size=10)
        marks += more
    return Draft(w, h, tuple(marks), _("{name}: note for the cutting service", name=blank.name))


def _found(note: CutNote) -> list[str]:
    """The pre-flight findings, as many as a page holds."""
    words = [_("Cutting check: {found}.", found=finding) for finding in note.found[:_FOUND] or (_("no problems found"),)]
    more = len(note.found) - _FOUND
    return [*words, _("Cutting check: {more} more.", more=more)] if more > 0 else words


def _picture(run: PrintRun, note: CutNote, corner: tuple[float, float], span: float) -> tuple[Drawing, float]:
    """The part, as large as there is room, with its length and height; and the y of the lower edge."""
    x0, y0, x1, y1 = note.blank.extent()
    scale = min((span - _ROOM) / (x1 - x0), _PICTURE / (y1 - y0), 1.0)
    where = Placement(corner[0] - x0 * scale, corner[1] - y1 * scale, scale=scale)
    paths = (*note.cut.outline, *note.cut.openings)
    shapes: list[Mark] = [Curve(p) for p in paths]
    shapes += [Disc(centre, d / 2) for centre, d in note.cut.circles]
    low = where.point((x0, y0))[1]
    length = along(where.point((x0, y0)), where.point((x1, y0)), low - 8.0, both_units(run, x1 - x0), run.measure, size=10)
    right = where.point((x1, y0))[0]
    height = upright((right, low), where.point((x1, y1)), right + 7.0, run.length(y1 - y0), run.measure)
    return (*placed(shapes, where), *length, *height), low - 11.0


def _rows(run: PrintRun, note: CutNote) -> list[tuple[str, str]]:
    facts, service = note.facts, note.service
    return [
        (_("File"), note.file),
        (_("DXF, unit"), _("{value}, {unit}, 1:1", value=service.version.value, unit=HABITS[service.file_unit].names)),
        (_("Layers"), _("{outline} and {holes}", outline=service.outline_layer, holes=service.hole_layer)),
        (_("Quantity"), str(note.quantity) if note.quantity else _("as ordered")),
        (_("Steel"), note.steel or _("as ordered")),
        (_("Thickness, nominal"), both_units(run, note.blank.thickness)),
        (_("Size in the file"), _size_in_file(facts, service)),
        (_("Area"), _("{area:.1f} cm²", area=facts.area / 100)),
        (_("Cut length, pierces"), f"{facts.length:.0f} mm, {facts.pierces}"),
        (_("Arcs, lines, circles"), f"{note.cut.arcs}, {note.cut.lines}, {len(note.cut.circles)}"),
        (_("Curve tolerance"), f"{note.strays:.4f} mm"),
    ]


def _size_in_file(facts: DrawingFacts, service: Service) -> str:
    """The size in the unit of the file."""
    unit = service.file_unit
    places = 2 if HABITS[unit].metric else 4
    sizes = (f"{side / HABITS[unit].mm:.{places}f}" for side in (facts.width, facts.height))
    return f"{' × '.join(sizes)} {unit}"


def _tabs(count: int, tab: str) -> str:
    return ngettext(
        "{count} tab of {tab} holds the part. The outline is open there.",
        "{count} tabs of {tab} hold the part. The outline is open there.",
        count,
        tab=tab,
    )


def _notes(run: PrintRun, note: CutNote) -> list[str]:
    service = note.service
    words = [
        _(
            "The outline in the file is moved out for a kerf of {kerf:g} mm: please do not compensate again. We "
            "finish holes and faces. Please deburr.",
            kerf=service.kerf,
        )
        if service.kerf
        else _(
            "The outline is finished size, with no kerf compensation in the file: please compensate. We finish "
            "holes and faces. Please deburr."
        )
    ]
    if service.drilled_under and note.cut.circles:
        words.append(
            _(
                "Holes are {length} under size. We drill them to size.",
                length=run.length(service.drilled_under, fine=True, unit=True),
            )
        )
    if note.cut.left_out:
        holes = ", ".join(f"{hole.mark} ({hole.drill.named(run.unit)})" for hole in note.cut.left_out)
        words.append(_("Not in the file, too small to cut: {left}. We drill them.", left=holes))
    if service.tabs:
        tab = run.length(service.tab, fine=True, unit=True)
        words.append(_tabs(service.tabs, tab))
    return words
