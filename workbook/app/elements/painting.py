"""Paint drawings with a QPainter: marks in mm, y up, become logical pixels, y down; fractions are typeset."""

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
    """Fill a rectangle. Not by fillRect: resolving its many overloads delays the window's first picture by 2 ms."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    painter.drawRect(rect)


def picture(size: QSize, ratio: float, draw: Callable[[QPainter], object], under: QColor = _NOTHING) -> QPixmap:
    """Draw into a pixmap of `size` device pixels, `ratio` to a logical pixel, filled with a colour."""
    pixmap = QPixmap(size)
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(under)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    draw(painter)
    painter.end()
    return pixmap


def paint(painter: QPainter, marks: Iterable[Mark], look: Look, origin: QPointF) -> None:
    """Paint marks with (0, 0) at `origin`; one mm is `PX_PER_MM` times the text scale in pixels."""
    k = PX_PER_MM * look.text
    for mark in marks:
        match mark:
            case Curve(path=Path(segments=(Line() as line,), closed=False)) if mark.line:  # most marks: no path is built
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
    """Set the pen and brush for a mark."""
    painter.setPen(look.pen(mark.line, mark.tone) if mark.line else Qt.PenStyle.NoPen)
    painter.setBrush(look.colour(_FILLS.get(mark.fill, mark.fill)) if mark.fill else Qt.BrushStyle.NoBrush)


def _paint_copy(painter: QPainter, copy: Copy, look: Look, origin: QPointF) -> None:
    """Paint a pattern in its place. Qt transforms its curves, so that unchanged paths come from the cache."""
    k, (a, b, c, d), placement = PX_PER_MM * look.text, copy.where.numbers(), copy.where
    place = QTransform(k * a, -k * c, k * b, -k * d, origin.x() + k * placement.x, origin.y() - k * placement.y)
    for mark in copy.pattern.marks:
        if isinstance(mark, Curve):
            _set_pen_and_brush(painter, look, mark)
            painter.drawPath(place.map(qpath(mark.path)))
        else:
            paint(painter, placed((mark,), placement), look, origin)


def placed_path(path: Path, origin: QPointF, k: float) -> QPainterPath:
    """Convert a path to pixels: at `origin`, `k` pixels per mm, y down."""
    return QTransform(k, 0, 0, -k, origin.x(), origin.y()).map(qpath(path))


@lru_cache(maxsize=512)
def qpath(path: Path) -> QPainterPath:
    """Convert a path to a QPainterPath, still in mm; cached, since most paths are drawn many times."""
    outline = QPainterPath(QPointF(*path.segments[0].start))
    for segment in path.segments:
        match segment:
            case Line():
                outline.lineTo(*segment.end)
            case Bezier():
                outline.cubicTo(*segment.c1, *segment.c2, *segment.end)
            case Arc():
                for curve in arc_beziers(segment):
                    outline.cubicTo(*curve.c1, *curve.c2, *curve.end)
    if path.closed:
        outline.closeSubpath()
    return outline


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
    """Paint a line of text on its baseline, with typeset fractions."""
    pieces, total = _typeset(look, text, points, bold)
    x = at.x() - {"start": 0.0, "middle": total / 2, "end": total}[anchor]
    painter.setPen(look.colour(tone))
    for font, right, up, piece in pieces:
        painter.setFont(font)
        painter.drawText(QPointF(x + right, at.y() - up), piece)


def text_width(look: Look, text: str, points: float, bold: bool = False) -> float:
    """The width of a line of text with typeset fractions, in pixels."""
    return _typeset(look, text, points, bold)[1]


@lru_cache(maxsize=4096)
def _typeset(look: Look, text: str, points: float, bold: bool) -> tuple[tuple[tuple[QFont, float, float, str], ...], float]:
    """The pieces of a line of text (font, offset right and up, characters) and the total width, in pixels.

    Cached, since the same numbers are drawn again and again.
    """
    height, x, pieces = look.sized(points, bold=bold).pixelSize(), 0.0, []
    for run in runs(text):
        font = look.sized(points * run.size, bold=bold)
        pieces.append((font, x, run.rise * height, run.text))
        x += QFontMetricsF(font).horizontalAdvance(run.text)
    return tuple(pieces), x


def hatch(painter: QPainter, room: QRectF, step: float) -> None:
    """Hatch a rectangle with the painter's pen, lines `step` pixels apart."""
    painter.save()
    painter.setClipRect(room, Qt.ClipOperation.IntersectClip)
    x = room.left() - room.height()
    while x < room.right():
        painter.drawLine(QPointF(x, room.bottom()), QPointF(x + room.height(), room.top()))
        x += step
    painter.restore()
