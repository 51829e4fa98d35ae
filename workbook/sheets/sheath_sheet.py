"""The pattern of a sheath at true size: every piece with its holes, what to make it of, and how it goes together."""

from collections.abc import Iterator
from functools import partial

from workbook.geometry.drawing import Curve, Disc, Drawing, Mark, Text
from workbook.geometry.path import QUARTER_TURN, bounds
from workbook.sheath.pattern import SheathPattern
from workbook.sheath.piece import SheathPiece
from workbook.sheath.rules import SheathForm
from workbook.sheets.dimensions import along, upright
from workbook.sheets.furniture import SMALL
from workbook.sheets.paper import PrintRun
from workbook.sheets.table import pairs, paragraph
from workbook.sheets.true_size import Sheet
from workbook.sheets.views import View
from workbook.texts import _
from workbook.units import INCH

_NAMED = _("Sheath")
_OUNCE = INCH / 64  # leather of one ounce
_SEWN = _(
    "Cut out the pieces. The dash-dotted line is the edge of the room for the knife. Sew the belt loop on while the leather is "
    "flat. Glue the welt in with its inner edge on that line, then close the sheath and clamp it. When it is dry, "
    "pierce the holes through all layers, from both faces, and sew. Sand the edges flush. Wet it, press it round the knife "
    "wrapped in film, and let it dry slowly: that is what holds the knife."
)
_FOLDED = _("Fold on the dashed line, good side out: the holes of both sides lie on each other.")
_MIRRORED = _("The front is the back in a mirror: good sides out, the holes of both lie on each other.")
_RIVETED = _(
    "Cut out the pieces a little large. Warm the sheet as its data sheet says, press it round the knife wrapped in tape, pressed "
    "in at the choil or the plunge so that the knife locks, and let it cool. Clamp, drill the holes through both sides, rivet, "
    "and sand the edges flush. A belt clip is screwed to the rivets' holes."
)


def sheath_sheets(run: PrintRun, pattern: SheathPattern) -> Iterator[Sheet]:
    """The pieces, with the numbers beside the first."""
    for piece in pattern.pieces:
        what = _("{piece}, true size, cut {count}", piece=piece.name, count=piece.count)
        blocks = (partial(_words, run, pattern),) if piece is pattern.pieces[0] else ()
        yield Sheet(view=_view(run, piece, pattern), what=what, named=_NAMED, blocks=blocks)


def _view(run: PrintRun, piece: SheathPiece, pattern: SheathPattern) -> View:
    x0, y0, x1, y1 = bounds(piece.outline)
    marks: list[Mark] = [*pieces_marks(piece), *(Curve(edge, line="construction") for edge in piece.edges)]
    marks += [Curve(piece.fold, line="hidden")] if piece.fold else []
    marks += along((x0, y0), (x1, y0), y0 - 6.0, run.length(x1 - x0), run.measure)
    throat = piece.outline.segments[-1]
    low, high = (y0, y1) if piece.key == "loop" else sorted((throat.start[1], throat.end[1]))
    marks += upright((x0, low), (x0, high), x0 - 6.0, run.length(high - low), run.measure)
    marks += _names(piece, pattern)
    return View(marks=tuple(marks), x0=x0 - 14.0, y0=y0 - 9.0, x1=x1 + 2.0, y1=y1 + 2.0)


def pieces_marks(piece: SheathPiece) -> Drawing:
    """What is cut of a piece: its outline, and its holes."""
    return (Curve(piece.outline), *(Disc(hole.at, hole.size / 2) for hole in piece.holes))


def _names(piece: SheathPiece, pattern: SheathPattern) -> Iterator[Text]:
    """What the parts of a piece are called."""
    x0, y0, x1, y1 = bounds(piece.outline)
    middle = x0 + 0.62 * (x1 - x0)
    if piece.fold is not None:
        yield Text((middle, 1.2), _("fold"), SMALL, "middle", tone="soft")
        yield Text((middle, 0.35 * y0), _("front"), SMALL, "middle", tone="soft")
        yield Text((middle, 0.35 * y1), _("back, belt loop here") if pattern.loop else _("back"), SMALL, "middle", tone="soft")
    elif piece.key == "back" and pattern.loop:
        yield Text((middle, (y0 + y1) / 2), _("belt loop here"), SMALL, "middle", tone="soft")
    if piece.key in ("body", "back", "front"):
        low = y0 / 2 if piece.fold else (y0 + y1) / 2
        yield Text((x0 + 4.2, low), _("throat"), SMALL, "middle", tone="soft", angle=QUARTER_TURN)


def _words(run: PrintRun, pattern: SheathPattern, x: float, y: float, span: float) -> tuple[Drawing, float]:
    marks, low = pairs(x, y, min(118.0, span), list(_numbers(run, pattern)), run.measure, size=10)
    rules = pattern.rules
    together = _FOLDED if rules.form is SheathForm.FOLDED else _MIRRORED
    texts = [*pattern.notes, f"{_SEWN if rules.stitched else _RIVETED} {together}"]
    drawing = list(marks)
    for text in texts:
        more, low = paragraph(x, low - 2.0, span, text, run.measure, size=9.5)
        drawing += more
    return tuple(drawing), low


def _numbers(run: PrintRun, pattern: SheathPattern) -> Iterator[tuple[str, str]]:
    """What it is made of, by name and value."""
    rules, room, count = pattern.rules, pattern.room, len(pattern.line)
    long, fine = partial(run.length, unit=True), partial(run.length, unit=True, fine=True)
    if rules.stitched:
        yield _("Leather"), _("{thick}, {ounces:.2g} oz", thick=fine(rules.leather), ounces=rules.leather / _OUNCE)
        yield _("Welt, layers by width"), f"{rules.welts(room.spine)} × {long(rules.welt)}"
        yield _("Stitches, from hole to hole"), _("{count}, {apart}", count=count, apart=fine(pattern.apart))
        yield _("Stitch hole"), fine(rules.stitch_hole)
    else:
        yield _("Thermoplastic sheet"), fine(rules.plastic)
        yield _("Rivets, from hole to hole"), _("{count}, {apart}", count=count, apart=long(pattern.apart))
        yield _("Rivet hole"), long(rules.rivet_hole)
    yield _("Throat behind the handle front"), long(-room.throat)
    if rules.drain > 0:
        yield _("Drain hole"), long(rules.drain)
    if pattern.loop is not None:
        yield _("Belt loop, inside"), long(pattern.loop.inside)
    sides = " × ".join(run.length(side) for side in pattern.pieces[0].size)
    yield _("Sheet for the largest piece"), f"{sides} {run.unit}"
    yield _("Blade's thickness, finished"), f"{run.reading(room.spine)} {run.unit}"
