"""The pattern of a sheath at true size: every piece with its holes, what to make it of, and how it goes together."""

from collections.abc import Iterator
from functools import partial

from workbook.geometry.drawing import Curve, Disc, Drawing, Mark, Text
from workbook.geometry.path import QUARTER_TURN, bounds
from workbook.sheath.pattern import SheathPattern
from workbook.sheath.piece import SheathPiece
from workbook.sheath.rules import SheathHand
from workbook.sheets.dimensions import along, upright
from workbook.sheets.furniture import SMALL
from workbook.sheets.paper import PrintRun
from workbook.sheets.sheath_words import sheath_numbers, sheath_steps
from workbook.sheets.table import pairs, paragraph
from workbook.sheets.true_size import Sheet
from workbook.sheets.views import View
from workbook.texts import _

_CLEAR = 8.0  # mm from the belt loop to the middle of a word
_NAMED = _("Sheath")
_WORN = {SheathHand.RIGHT: _("worn on the right"), SheathHand.LEFT: _("worn on the left")}


def sheath_sheets(run: PrintRun, pattern: SheathPattern) -> Iterator[Sheet]:
    """The pieces, with the numbers beside the first."""
    for piece in pattern.pieces:
        what = _("{piece}, true size, cut {count}", piece=piece.name, count=piece.count)
        if piece.key in ("body", "back", "front"):
            what = _("{piece}, {worn}", piece=what, worn=_WORN[pattern.rules.hand])
        blocks = (partial(_words, run, pattern),) if piece is pattern.pieces[0] else ()
        yield Sheet(view=_view(run, piece, pattern), what=what, named=_NAMED, blocks=blocks)


def _view(run: PrintRun, piece: SheathPiece, pattern: SheathPattern) -> View:
    x0, y0, x1, y1 = bounds(piece.outline)
    marks: list[Mark] = [Curve(piece.outline), *(Disc(hole.at, hole.size / 2) for hole in piece.holes)]
    marks += [Curve(edge, line="construction") for edge in piece.edges]
    marks += [Curve(line, line="hidden") for line in (piece.fold, piece.strip) if line]
    marks += along((x0, y0), (x1, y0), y0 - 6.0, run.length(x1 - x0), run.measure)
    throat = piece.outline.segments[-1]
    low, high = (y0, y1) if piece.key == "loop" else sorted((throat.start[1], throat.end[1]))
    marks += upright((x0, low), (x0, high), x0 - 6.0, run.length(high - low), run.measure)
    marks += _names(piece, pattern)
    return View(marks=tuple(marks), x0=x0 - 14.0, y0=y0 - 9.0, x1=x1 + 2.0, y1=y1 + 2.0)


def _names(piece: SheathPiece, pattern: SheathPattern) -> Iterator[Text]:
    """What the parts of a piece are called, and which face is seen."""
    x0, y0, x1, y1 = bounds(piece.outline)
    if piece.key not in ("body", "back", "front"):
        return

    def named(x: float, y: float, words: str, angle: float = 0.0) -> Text:
        return Text((x, y), words, SMALL, "middle", tone="soft", angle=angle)

    beyond, front = x0 + 0.62 * (x1 - x0), y0 / 2 if piece.fold else (y0 + y1) / 2
    if piece.strip is not None:
        beyond = max(beyond, bounds(piece.strip)[2] + _CLEAR)
    if piece.fold is not None:
        back = 1.0 if pattern.rules.hand is SheathHand.RIGHT else -1.0
        yield named(beyond, 1.2, _("fold"))
        yield named(beyond, back * 0.35 * y1, _("back"))
        yield named(beyond, back * 0.35 * y0, _("front"))
    yield named(x0 + 4.2, front, _("throat"), QUARTER_TURN)
    if piece.strip is not None:
        sx0, sy0, sx1, sy1 = bounds(piece.strip)
        yield named((sx0 + sx1) / 2, (sy0 + sy1) / 2 - 1.0, _("belt loop"))


def _words(run: PrintRun, pattern: SheathPattern, x: float, y: float, span: float) -> tuple[Drawing, float]:
    marks, low = pairs(x, y, min(118.0, span), list(sheath_numbers(run, pattern)), run.measure, size=10)
    drawing, low = list(marks), low - 2.0
    for text in (*pattern.notes, *(f"{n}. {step}" for n, step in enumerate(sheath_steps(pattern), 1))):
        more, low = paragraph(x, low, span, text, run.measure, size=9.5)
        drawing += more
        low -= 0.8
    return tuple(drawing), low
