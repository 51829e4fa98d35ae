"""Neutral drawings on a QPainter: marks in mm, y up, to logical pixels, y down; fractions built."""

from collections.abc import Callable, Iterable
from functools import lru_cache

from PySide6.QtCore import QLineF, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPixmap, QTransform

from workbook.app.look import PX_PER_MM, Look
from workbook.geometry.drawing import Cells, Clip, Copy, Curve, Disc, Mark, Text, placed
from workbook.geometry.lettering import runs
from workbook.geometry.path import Arc, Bezier, Line, Path, arc_beziers

_FILLS = {"paper": "board"}
_NOTHING = QColor(0, 0, 0, 0)


def ground(painter: QPainter, rect: QRect | QRectF, colour: QColor) -> None:
    """A plain ground. Not by fillRect: to choose among its many forms costs the window's first picture 2 ms."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    painter.drawRect(rect)


def picture(size: QSize, ratio: float, draw: Callable[[QPainter], object], under: QColor = _NOTHING) -> QPixmap:
    """What is drawn, as a picture of so many dots (`ratio` of them to a point) on a colour."""
    drawn = QPixmap(size)
    drawn.setDevicePixelRatio(ratio)
    drawn.fill(under)
    painter = QPainter(drawn)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    draw(painter)
    painter.end()
    return drawn


def paint(painter: QPainter, marks: Iterable[Mark], look: Look, origin: QPointF) -> None:
    """Draws marks with (0, 0) at `origin`; one mm is `PX_PER_MM` times the text scale."""
    k = PX_PER_MM * look.text
    for mark in marks:
        match mark:
            case Curve(path=Path(segments=(Line() as line,), closed=False)) if mark.line:  # most marks: no path is made of it
                painter.setPen(look.pen(mark.line, mark.tone))
                (x0, y0), (x1, y1), x, y = line.start, line.end, origin.x(), origin.y()
                painter.drawLine(QLineF(x + x0 * k, y - y0 * k, x + x1 * k, y - y1 * k))
            case Curve():
                _set_pen_and_brush(painter, look, mark)
                painter.drawPath(placed_path(mark.path, origin, k))
            case Disc():
                _set_pen_and_brush(painter, look, mark)
                centre = QPointF(origin.x() + mark.centre[0] * k, origin.y() - mark.centre[1] * k)
                painter.drawEllipse(centre, mark.radius * k, mark.radius * k)
            case Text():
                at = QPointF(origin.x() + mark.at[0] * k, origin.y() - mark.at[1] * k)
                letter(painter, look, at, mark.text, mark.size, mark.anchor, mark.bold, mark.tone)
            case Cells():
                for x, y, wide, tall in mark.dark():
                    painter.fillRect(
                        QRectF(origin.x() + x * k, origin.y() - (y + tall) * k, wide * k, tall * k), look.colour("ink")
                    )
            case Clip():
                x0, y0, x1, y1 = (v * k for v in mark.window)
                painter.save()
                painter.setClipRect(QRectF(origin.x() + x0, origin.y() - y1, x1 - x0, y1 - y0), Qt.ClipOperation.IntersectClip)
                paint(painter, mark.marks, look, origin)
                painter.restore()
            case Copy():
                _paint_copy(painter, mark, look, origin)


def _set_pen_and_brush(painter: QPainter, look: Look, mark: Curve | Disc) -> None:
    """As a mark is drawn and filled."""
    painter.setPen(look.pen(mark.line, mark.tone) if mark.line else Qt.PenStyle.NoPen)
    painter.setBrush(look.colour(_FILLS.get(mark.fill, mark.fill)) if mark.fill else Qt.BrushStyle.NoBrush)


def _paint_copy(painter: QPainter, copy: Copy, look: Look, origin: QPointF) -> None:
    """A pattern in its place. Qt places its curves: those that are as they were need not be made anew."""
    k, (a, b, c, d), where = PX_PER_MM * look.text, copy.where.numbers(), copy.where
    place = QTransform(k * a, -k * c, k * b, -k * d, origin.x() + k * where.x, origin.y() - k * where.y)
    for mark in copy.pattern.marks:
        if isinstance(mark, Curve):
            _set_pen_and_brush(painter, look, mark)
            painter.drawPath(place.map(qpath(mark.path)))
        else:
            paint(painter, placed((mark,), where), look, origin)


def placed_path(path: Path, origin: QPointF, k: float) -> QPainterPath:
    """A path at `origin`, `k` pixels to the mm, y down."""
    return QTransform(k, 0, 0, -k, origin.x(), origin.y()).map(qpath(path))


@lru_cache(maxsize=512)
def qpath(path: Path) -> QPainterPath:
    """A path as Qt has it, still in mm; kept, since most paths are drawn many times."""
    made = QPainterPath(QPointF(*path.segments[0].start))
    for segment in path.segments:
        match segment:
            case Line():
                made.lineTo(*segment.end)
            case Bezier():
                made.cubicTo(*segment.c1, *segment.c2, *segment.end)
            case Arc():
                for curve in arc_beziers(segment):
                    made.cubicTo(*curve.c1, *curve.c2, *curve.end)
    if path.closed:
        made.closeSubpath()
    return made


def letter(
    painter: QPainter,
    look: Look,
    at: QPointF,
    text: str,
    points: float,
    anchor: str = "start",
    bold: bool = False,
    tone: str = "ink",
) -> None:
    """A line of text on its baseline, fractions built."""
    pieces, total = _typeset(look, text, points, bold)
    x = at.x() - {"start": 0.0, "middle": total / 2, "end": total}[anchor]
    painter.setPen(look.colour(tone))
    for font, right, up, piece in pieces:
        painter.setFont(font)
        painter.drawText(QPointF(x + right, at.y() - up), piece)


def text_width(look: Look, text: str, points: float, bold: bool = False) -> float:
    """Width in pixels of a line of text with its fractions built."""
    return _typeset(look, text, points, bold)[1]


@lru_cache(maxsize=4096)
def _typeset(look: Look, text: str, points: float, bold: bool) -> tuple[tuple[tuple[QFont, float, float, str], ...], float]:
    """The pieces of a line of text: font, how far right and up each stands, its letters; and the width of all, in pixels.

    Kept, since the same numbers are drawn again and again.
    """
    height, x, pieces = look.sized(points, bold=bold).pixelSize(), 0.0, []
    for run in runs(text):
        font = look.sized(points * run.size, bold=bold)
        pieces.append((font, x, run.rise * height, run.text))
        x += QFontMetricsF(font).horizontalAdvance(run.text)
    return tuple(pieces), x


def hatch(painter: QPainter, room: QRectF, step: float) -> None:
    """Slanting lines over a rectangle, in the painter's pen."""
    painter.save()
    painter.setClipRect(room, Qt.ClipOperation.IntersectClip)
    x = room.left() - room.height()
    while x < room.right():
        painter.drawLine(QPointF(x, room.bottom()), QPointF(x + room.height(), room.top()))
        x += step
    painter.restore()
