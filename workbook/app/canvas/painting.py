"""Neutral drawings on a QPainter: marks in mm, y up, to logical pixels, y down; fractions built."""

from collections.abc import Iterable
from functools import lru_cache

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QTransform

from workbook.app.look import PX_PER_MM, Look
from workbook.geometry.drawing import Cells, Clip, Copy, Curve, Disc, Mark, Text
from workbook.geometry.lettering import runs
from workbook.geometry.path import Arc, Bezier, Line, Path, arc_beziers

_FILLS = {"paper": "board"}


def ground(painter: QPainter, rect: QRect | QRectF, colour: QColor) -> None:
    """A plain ground. Not by fillRect: to choose among its many forms costs the window's first picture 2 ms."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    painter.drawRect(rect)


def paint(painter: QPainter, marks: Iterable[Mark], look: Look, origin: QPointF) -> None:
    """Draws marks with (0, 0) at `origin`; one mm is `PX_PER_MM` times the text scale."""
    k = PX_PER_MM * look.text
    for mark in marks:
        match mark:
            case Curve():
                painter.setPen(look.pen(mark.line, mark.tone) if mark.line else Qt.PenStyle.NoPen)
                painter.setBrush(look.colour(_FILLS.get(mark.fill, mark.fill)) if mark.fill else Qt.BrushStyle.NoBrush)
                painter.drawPath(placed_path(mark.path, origin, k))
            case Disc():
                painter.setPen(look.pen(mark.line, mark.tone) if mark.line else Qt.PenStyle.NoPen)
                painter.setBrush(look.colour(_FILLS.get(mark.fill, mark.fill)) if mark.fill else Qt.BrushStyle.NoBrush)
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
                paint(painter, mark.marks, look, origin)


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
    total = text_width(look, text, points, bold)
    x = at.x() - {"start": 0.0, "middle": total / 2, "end": total}[anchor]
    painter.setPen(look.colour(tone))
    height = look.sized(points, bold=bold).pixelSize()
    for run in runs(text):
        painter.setFont(look.sized(points * run.size, bold=bold))
        painter.drawText(QPointF(x, at.y() - run.rise * height), run.text)
        x += _advance(look, run.text, points * run.size, bold)


@lru_cache(maxsize=4096)
def text_width(look: Look, text: str, points: float, bold: bool = False) -> float:
    """Width in pixels of a line of text with its fractions built; kept, since the same numbers are drawn again and again."""
    return sum(_advance(look, run.text, points * run.size, bold) for run in runs(text))


@lru_cache(maxsize=4096)
def _advance(look: Look, text: str, points: float, bold: bool) -> float:
    return QFontMetricsF(look.sized(points, bold=bold)).horizontalAdvance(text)


def hatch(painter: QPainter, room: QRectF, step: float) -> None:
    """Slanting lines over a rectangle, in the painter's pen."""
    painter.save()
    painter.setClipRect(room, Qt.ClipOperation.IntersectClip)
    x = room.left() - room.height()
    while x < room.right():
        painter.drawLine(QPointF(x, room.bottom()), QPointF(x + room.height(), room.top()))
        x += step
    painter.restore()
