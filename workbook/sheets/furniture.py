"""The elements of every page: title block, check bars along X and Y in mm and inches, crosshairs, page number."""

from collections.abc import Sequence

from workbook.geometry.drawing import Cells, Disc, Drawing, Mark, Text, stroke
from workbook.geometry.lettering import width
from workbook.geometry.path import Point
from workbook.sheets.paper import Draft, PrintRun, SheetPage
from workbook.template.mark import shape_mark
from workbook.template.shape import Shape
from workbook.texts import _
from workbook.units import INCH

TITLE_HEIGHT = 15.5  # mm from the printable top to where the sheet's own content may begin
FOOT_HEIGHT = 6.0
CODE = 12.5  # mm, side of the two-dimensional bar code
_LONGEST_NAME = 90  # bytes
CHECK_MM, CHECK_IN = 100.0, 4 * INCH
SMALL = 9.0  # points: the smallest letters of a sheet


def title_block(
    run: PrintRun, size: tuple[float, float], title: str, under: str, right: str, right_under: str, code_text: str = ""
) -> Drawing:
    """Title and facts over a rule at the top of a page; `code_text`: the text of its code, which identifies an old print."""
    w, h = size
    top, left, far = h - run.margin, run.margin, w - run.margin
    code = code_marks(run, code_text, (far, top)) if code_text else ()
    beside = far - (CODE + 2.5 if code else 0.0)
    room = beside - left - 4.0
    free = room - width(right_under, SMALL, False, run.measure)
    first, second = _in_two(under, free, run)
    lines = ((first, -9.8), (second, -13.2)) if second else ((first, -11.2),)
    return (
        Text((left, top - 5.6), title, fitting(run, title, 16, True, room - width(right, 9.5, True, run.measure)), bold=True),
        *(Text((left, top + y), words, fitting(run, words, SMALL, False, free)) for words, y in lines),
        Text((beside, top - 5.6), right, 9.5, "end", True),
        Text((beside, top - 11.2), right_under, SMALL, "end"),
        stroke(((left, top - 14.4), (far, top - 14.4)), "dimension"),
        *code,
    )


def _in_two(words: str, room: float, run: PrintRun) -> tuple[str, str]:
    """Facts in one line where they fit, else in two, parted after a comma."""
    facts = words.split(", ")
    for count in range(len(facts), 0, -1):
        first = ", ".join(facts[:count])
        if width(first, SMALL, False, run.measure) <= room:
            return first, ", ".join(facts[count:])
    return words, ""  # to be set smaller


def told(run: PrintRun, blank: Shape) -> str:
    """The text of the code on a template's sheets; a long name is cut, since a code holds only so much."""
    revision = blank.template.revision if blank.template else 1
    name = blank.name.encode()[:_LONGEST_NAME].decode(errors="ignore")
    return "; ".join(part for part in (name, _("revision {revision}", revision=revision), shape_mark(blank), run.date) if part)


def fitting(run: PrintRun, words: str, size: float, bold: bool, room: float) -> float:
    """The text size at which words fit the room, at most `size`."""
    return size * min(1.0, room / max(width(words, size, bold, run.measure), 1e-9))


def code_marks(run: PrintRun, text: str, corner: Point, side: float = CODE) -> Drawing:
    """The code, placed by its upper right corner."""
    rows = run.code(text)
    return (Cells((corner[0] - side, corner[1] - side), side, tuple(tuple(row) for row in rows)),) if rows else ()


def footed(run: PrintRun, drafts: Sequence[Draft]) -> list[SheetPage]:
    """Add a foot to each page: what it is, the printer's correction, page x of y."""
    count = len(drafts)
    return [
        SheetPage(d.width, d.height, (*d.marks, *page_foot(run, (d.width, d.height), d.foot, n, count)), d.mirrored)
        for n, d in enumerate(drafts, 1)
    ]


def page_foot(run: PrintRun, size: tuple[float, float], words: str, page: int, pages: int, *, checked: bool = False) -> Drawing:
    """Job, date, the printer's correction and page number at the bottom; `checked`: all at the left of the level check bar."""
    w, _unused = size
    words = f"{words}   {run.printer.words}".rstrip()
    if checked:
        room, number = w - 2 * run.margin - CHECK_IN - 14.0, _("page {page} of {pages}", page=page, pages=pages)
        lines = [f"{words}   {number}"]
        if width(lines[0], SMALL, False, run.measure) > room:
            lines = [number, words]
        return tuple(
            Text((run.margin, run.margin + 0.6 + 4.0 * n), line, fitting(run, line, SMALL, False, room), tone="soft")
            for n, line in enumerate(lines)
        )
    return (
        Text((run.margin, run.margin + 0.6), words, SMALL, tone="soft"),
        Text((w - run.margin, run.margin + 0.6), _("page {page} of {pages}", page=page, pages=pages), SMALL, "end", tone="soft"),
    )


def check_bars(corner: Point) -> Drawing:
    """A true 100 mm and 4 in along X and along Y from a corner: X runs to the left of it, Y upwards."""
    x, y = corner
    marks: list[Mark] = [stroke(((x - CHECK_IN, y), (x, y), (x, y + CHECK_IN)), "dimension")]
    for step in range(11):
        d, long = step * CHECK_MM / 10, 2.6 if step % 5 == 0 else 1.6
        marks += [
            stroke(((x - d, y), (x - d, y + long)), "extension"),
            stroke(((x, y + d), (x - long, y + d)), "extension"),
        ]
    for step in range(9):
        d, long = step * CHECK_IN / 8, 2.6 if step % 2 == 0 else 1.6
        marks += [
            stroke(((x - d, y), (x - d, y - long)), "extension"),
            stroke(((x, y + d), (x + long, y + d)), "extension"),
        ]
    return (
        *marks,
        Text((x - CHECK_MM, y + 3.4), "100 mm", SMALL, bold=True),
        Text((x - CHECK_IN - 1.5, y - 1.1), "4 in", SMALL, "end", True),
        Text((x - 3.4, y + CHECK_MM - 2.6), "100 mm", SMALL, "end", True),
        Text((x + 3.4, y + CHECK_IN + 0.8), "4 in", SMALL, "end", True),
        Text((x - 3.4, y + 3.4), _("X and Y: measure both. If one is off, print at 100%"), SMALL, "end"),
    )


BESIDE = 19.0  # width the upright check bar and its words take beside a drawing
CHECK_FOOT = 10.5  # height that the level check bar takes with its words and the foot beside it
CORNER = 3.2  # mm from the margin to the corner of the check bars
CHECK_ROOM = (CHECK_IN + 3.0, CHECK_IN + 4.0)  # width and height that check bars take up


def crosshair(at: Point, radius: float) -> Drawing:
    """An open crosshair with one true-size circle: the middle is left clear for the punch."""
    x, y = at
    inner, outer = min(0.5, radius * 0.3), radius + 2.0
    arms = [((x + inner * dx, y + inner * dy), (x + outer * dx, y + outer * dy)) for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1))]
    return (Disc(at, radius), *(stroke(arm, "extension") for arm in arms))
