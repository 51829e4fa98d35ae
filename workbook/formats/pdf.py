"""Drawings as PDF pages, 1 mm drawn as 1 mm: vectors, one embedded open font, no scaling asked of the viewer."""

import io
import json
from collections.abc import Iterable, Sequence
from functools import cache
from math import pi
from typing import Any

from workbook.geometry.drawing import Cells, Clip, Curve, Disc, Mark, Text
from workbook.geometry.lettering import runs, width
from workbook.geometry.path import Arc, Bezier, Line, Path, arc_beziers
from workbook.paths import resource
from workbook.sheets.paper import Page
from workbook.sheets.printer import Printer

POINTS = 72 / 25.4  # points in a millimetre
_LINE = 0.55  # points of width on paper for a pixel in the line table
_REGULAR, _BOLD = "Sheet", "Sheet-Bold"
_SOFT = 0.30  # grey of soft text, so that it prints
_FILLS = {"bar": 0.94, "blank": 0.86, "paper": 1.0, "dye": 0.45, "ink": 0.0}


@cache
def _fonts() -> None:
    """Registers the shipped font once."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    pdfmetrics.registerFont(TTFont(_REGULAR, str(resource("fonts", "LiberationSans-Regular.ttf"))))
    pdfmetrics.registerFont(TTFont(_BOLD, str(resource("fonts", "LiberationSans-Bold.ttf"))))


@cache
def _lines() -> dict[str, Any]:
    lines: dict[str, Any] = json.loads(resource("data", "look.json").read_text(encoding="utf-8"))["lines"]
    return lines


def measure(text: str, size: float, bold: bool) -> float:
    """Width in mm of plain text in the sheets' font."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    _fonts()
    return float(stringWidth(text, _BOLD if bold else _REGULAR, size)) / POINTS


def pdf(pages: Sequence[Page], title: str, printer: Printer | None = None) -> bytes:
    """The pages as a PDF file, stretched about their middle for a printer. The same pages give the same bytes."""
    from reportlab.pdfgen.canvas import Canvas

    _fonts()
    stream = io.BytesIO()
    canvas = Canvas(stream, invariant=1, pageCompression=1)
    canvas.setTitle(title)
    canvas.setCreator("Maker's Workbook")
    canvas.setViewerPreference("PrintScaling", "None")
    for page in pages:
        canvas.setPageSize((page.width * POINTS, page.height * POINTS))
        canvas.setLineCap(0)
        canvas.setLineJoin(1)
        if printer is not None and printer.words:
            across, up = printer.factors
            middle = page.width * POINTS / 2, page.height * POINTS / 2
            canvas.transform(across, 0, 0, up, middle[0] * (1 - across), middle[1] * (1 - up))
        if page.mirrored:
            canvas.transform(-1, 0, 0, 1, page.width * POINTS, 0)
        _draw_all(canvas, page.marks)
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


def _draw_all(canvas: Any, marks: Iterable[Mark]) -> None:
    for mark in marks:
        match mark:
            case Curve():
                _curve(canvas, mark)
            case Disc():
                _disc(canvas, mark)
            case Text():
                _text(canvas, mark)
            case Clip():
                _clip(canvas, mark)
            case Cells():
                _cells(canvas, mark)


def _cells(canvas: Any, mark: Cells) -> None:
    """All dark cells as one path."""
    path = canvas.beginPath()
    for numbers in mark.dark():
        path.rect(*(v * POINTS for v in numbers))
    canvas.setFillGray(0)
    canvas.drawPath(path, stroke=0, fill=1)


def _clip(canvas: Any, mark: Clip) -> None:
    canvas.saveState()
    x0, y0, x1, y1 = (v * POINTS for v in mark.window)
    window = canvas.beginPath()
    window.rect(x0, y0, x1 - x0, y1 - y0)
    canvas.clipPath(window, stroke=0, fill=0)
    _draw_all(canvas, mark.marks)
    canvas.restoreState()


def _set_line(canvas: Any, name: str) -> None:
    wide, dashes = _lines()[name]
    canvas.setLineWidth(wide * _LINE)
    canvas.setDash([d * _LINE * 1.6 for d in dashes] if dashes else [])


def _curve(canvas: Any, mark: Curve) -> None:
    if mark.line:
        _set_line(canvas, mark.line)
    canvas.setStrokeGray(1.0 if mark.tone == "on_dye" else 0.0)
    if mark.fill:
        canvas.setFillGray(_FILLS.get(mark.fill, 0.9))
    canvas.drawPath(_path(canvas, mark.path), stroke=int(bool(mark.line)), fill=int(bool(mark.fill)))
    canvas.setFillGray(0)


def _disc(canvas: Any, mark: Disc) -> None:
    canvas.setStrokeGray(0.0)
    if mark.line:
        _set_line(canvas, mark.line)
    canvas.setFillGray(_FILLS.get(mark.fill, 0.0))
    x, y, r = (v * POINTS for v in (*mark.centre, mark.radius))
    canvas.circle(x, y, r, int(bool(mark.line)), int(bool(mark.fill)))
    canvas.setFillGray(0)


def _path(canvas: Any, path: Path) -> Any:
    made = canvas.beginPath()
    made.moveTo(*(v * POINTS for v in path.segments[0].start))
    for segment in path.segments:
        match segment:
            case Line(_, (x, y)):
                made.lineTo(x * POINTS, y * POINTS)
            case Bezier(_, c1, c2, end):
                made.curveTo(*(v * POINTS for p in (c1, c2, end) for v in p))
            case Arc():
                for curve in arc_beziers(segment):
                    made.curveTo(*(v * POINTS for p in (curve.c1, curve.c2, curve.end) for v in p))
    if path.closed:
        made.close()
    return made


def _text(canvas: Any, mark: Text) -> None:
    """A line of text with its fractions built."""
    total = width(mark.text, mark.size, mark.bold, measure)
    shift = {"start": 0.0, "middle": -total / 2, "end": -total}[mark.anchor]
    canvas.saveState()
    canvas.translate(mark.at[0] * POINTS, mark.at[1] * POINTS)
    if mark.angle:
        canvas.rotate(mark.angle * 180 / pi)
    canvas.setFillGray(_SOFT if mark.tone == "soft" else 0)
    x = shift * POINTS
    for run in runs(mark.text):
        size = mark.size * run.size
        canvas.setFont(_BOLD if mark.bold else _REGULAR, size)
        canvas.drawString(x, mark.size * run.rise, run.text)
        x += measure(run.text, size, mark.bold) * POINTS
    canvas.restoreState()


def png(content: bytes, page: int = 0, dots: float = 200.0) -> bytes:
    """A page of a PDF as a PNG of so many dots an inch."""
    import pypdfium2

    opened = pypdfium2.PdfDocument(content)
    try:
        stream = io.BytesIO()
        opened[page].render(scale=dots / 72).to_pil().save(stream, "PNG", dpi=(dots, dots))
        return stream.getvalue()
    finally:
        opened.close()
