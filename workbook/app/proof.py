"""Preview files before they are written, from their own bytes: pages of a PDF, curves of a DXF or SVG, rows, lines of text."""

import csv
import io
from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct
from PySide6.QtCore import QByteArray, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QImage, QPainter, QPainterPath, QPen
from PySide6.QtSvg import QSvgRenderer

from workbook.libraries import DRAWS_PDF, dxf_path, ezdxf, pypdfium2
from workbook.texts import _
from workbook.units import INCH

_DOTS = 110.0  # per inch, of pages
_WIDE = 1100  # pixels, of drawings
_ROWS = 44  # of a table
_INCHES = 1  # $INSUNITS


class Proof(Struct, frozen=True):
    """One picture with its title."""

    words: str
    image: QImage


def proofs(files: Mapping[str, bytes]) -> Iterator[Proof]:
    """Every page of every file, in order."""
    for name, content in files.items():
        match name.rpartition(".")[2]:
            case "pdf":
                yield from _pages(name, content)
            case "dxf":
                yield Proof(name, _curves(content))
            case "svg":
                yield Proof(name, _svg(content))
            case "csv":
                yield Proof(name, _table(list(csv.reader(io.StringIO(content.decode())))))
            case "json":
                yield Proof(name, _table([[line] for line in content.decode().splitlines()]))
            case "png":
                yield Proof(name, QImage.fromData(QByteArray(content)))


def page_image(content: bytes, number: int, dots: float) -> QImage:
    """A page of a PDF in grey, at `dots` per inch."""
    with DRAWS_PDF:
        opened = pypdfium2.PdfDocument(content)
        try:
            grey = opened[number].render(scale=dots / 72, grayscale=True).to_numpy().copy()
        finally:
            opened.close()
    rows, columns = grey.shape[:2]
    return QImage(grey.tobytes(), columns, rows, columns, QImage.Format.Format_Grayscale8).copy()


def page_sizes(content: bytes) -> list[tuple[float, float]]:
    """The width and height of each page of a PDF, in mm."""
    with DRAWS_PDF:
        opened = pypdfium2.PdfDocument(content)
        try:
            return [(w * 25.4 / 72, h * 25.4 / 72) for w, h in (page.get_size() for page in opened)]
        finally:
            opened.close()


def _pages(name: str, content: bytes) -> Iterator[Proof]:
    count = len(page_sizes(content))
    for n in range(count):
        yield Proof(_("{name}, page {number} of {count}", name=name, number=n + 1, count=count), page_image(content, n, _DOTS))


def _paper(wide: float, tall: float) -> tuple[QImage, QPainter]:
    image = QImage(int(wide), int(tall), QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(QColor("black"), 1.2))
    return image, painter


def _curves(content: bytes) -> QImage:
    """The curves of a DXF, read back by the library."""
    document = ezdxf.read(io.StringIO(content.decode("ascii")))
    kinds = ("LWPOLYLINE", "POLYLINE", "CIRCLE", "LINE", "ARC")
    fine = 0.05 if document.header.get("$INSUNITS", 4) != _INCHES else 0.05 / INCH  # in the drawing's units
    lines = [
        [(v.x, v.y) for v in dxf_path.make_path(entity).flattening(fine)]
        for entity in document.modelspace()
        if entity.dxftype() in kinds
    ]
    return curves_image(lines)


def curves_image(lines: Sequence[Sequence[Sequence[float]]], marks: Sequence[tuple[float, float]] = ()) -> QImage:
    """Draw lines of points (mm, y up) as a picture, with rings around the marks."""
    xs, ys = ([p[i] for line in lines for p in line] for i in (0, 1))
    x0, x1, y0, y1 = min(xs), max(xs), min(ys), max(ys)
    k = (_WIDE - 40) / max(x1 - x0, (y1 - y0) * 1.3, 1e-6)
    image, painter = _paper(_WIDE, (y1 - y0) * k + 40)

    def placed(x: float, y: float) -> QPointF:
        return QPointF(20 + (x - x0) * k, 20 + (y1 - y) * k)

    for line in lines:
        path = QPainterPath()
        for n, (x, y) in enumerate(line):
            path.lineTo(placed(x, y)) if n else path.moveTo(placed(x, y))
        painter.drawPath(path)
    painter.setPen(QPen(QColor("#b3261e"), 2.5))
    for x, y in marks:
        painter.drawEllipse(placed(x, y), 9, 9)
    painter.end()
    return image


def _svg(content: bytes) -> QImage:
    renderer = QSvgRenderer(QByteArray(content))
    size = renderer.defaultSize()
    tall = _WIDE * size.height() / max(size.width(), 1)
    image, painter = _paper(_WIDE, max(tall, 10))
    renderer.render(painter, QRectF(0, 0, _WIDE, tall))
    painter.end()
    return image


def _table(lines: Sequence[Sequence[str]]) -> QImage:
    """The first rows of a table."""
    rows = lines[:_ROWS]
    image, painter = _paper(_WIDE, 24 * len(rows) + 20)
    font = QFont()
    font.setPixelSize(13)
    painter.setFont(font)
    count = max(map(len, rows))
    wide = [max(painter.fontMetrics().horizontalAdvance(r[i]) for r in rows if i < len(r)) + 18 for i in range(count)]
    for n, row in enumerate(rows):
        x = 12
        for i, cell in enumerate(row):
            cell_rect = QRectF(x, 8 + 24 * n, wide[i], 24)
            painter.drawText(cell_rect, Qt.AlignmentFlag.AlignVCenter, cell)
            x += wide[i]
    painter.end()
    return image
