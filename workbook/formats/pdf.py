"""Drawings as PDF pages, 1 mm drawn as 1 mm: vectors, one embedded open font, no scaling by the viewer."""

import io
import json
from collections.abc import Iterable
from functools import cache
from math import pi
from typing import Any

from workbook.formats.font import BOLD, POINTS, REGULAR, bring_fonts, measure
from workbook.geometry.drawing import Cells, Clip, Copy, Curve, Disc, Mark, Pattern, Text, extent
from workbook.geometry.lettering import runs, width
from workbook.geometry.path import Arc, Bezier, Line, Path, arc_beziers
from workbook.libraries import DRAWS_PDF, WRITES_PDF, pdf_canvas, pypdfium2
from workbook.paths import resource
from workbook.sheets.paper import SheetPage
from workbook.sheets.printer import Printer

_LINE = 0.55  # points of width on paper per pixel in the line table
_SOFT = 0.30  # grey of soft text, so that it prints
_OVER = 60.0  # points around a pattern: room for its lines, which are wider in it the smaller it is drawn
_FILLS = {"bar": 0.94, "blank": 0.86, "paper": 1.0, "dye": 0.45, "ink": 0.0}

_Forms = dict[tuple[Pattern, float], str]  # name in the file of each pattern at a scale; 0.0: at every scale


@cache
def _lines() -> dict[str, Any]:
    lines: dict[str, Any] = json.loads(resource("data", "look.json").read_text(encoding="utf-8"))["lines"]
    return lines


def pdf(pages: Iterable[SheetPage], title: str, printer: Printer | None = None) -> bytes:
    """The pages as a PDF file, stretched about their centre for a printer. The same pages give the same bytes."""
    stream = io.BytesIO()
    with WRITES_PDF:
        bring_fonts()
        canvas = pdf_canvas.Canvas(stream, invariant=1, pageCompression=1)
        forms: _Forms = {}
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
            _draw_all(canvas, page.marks, forms)
            canvas.showPage()
        canvas.save()
    return stream.getvalue()


def _draw_all(canvas: Any, marks: Iterable[Mark], forms: _Forms) -> None:
    for mark in marks:
        match mark:
            case Curve():
                _curve(canvas, mark)
            case Disc():
                _disc(canvas, mark)
            case Text():
                _text(canvas, mark)
            case Clip():
                _clip(canvas, mark, forms)
            case Cells():
                _cells(canvas, mark)
            case Copy():
                _copy(canvas, mark, forms)


def _copy(canvas: Any, mark: Copy, forms: _Forms) -> None:
    """Draw a pattern in its place. Lines have the same width at every scale: a pattern with only one kind of line is written
    once, and its line is set where it is drawn; others are written for each scale.
    """
    where, line = mark.where, _only_line(mark.pattern)
    key = (mark.pattern, 0.0 if line else round(where.scale, 9))
    if key not in forms:
        forms[key] = f"copy{len(forms)}"
        _form(canvas, forms[key], mark.pattern, None if line else 1 / where.scale)
    a, b, c, d = where.numbers()
    canvas.saveState()
    canvas.transform(a, c, b, d, where.x * POINTS, where.y * POINTS)
    if line:
        _set_line(canvas, line, 1 / where.scale)
    canvas.doForm(forms[key])
    canvas.restoreState()


def _only_line(pattern: Pattern) -> str:
    """The kind of line of all marks of a pattern; "" where there are several, or none."""
    lines = {mark.line for mark in pattern.marks}
    return lines.pop() if len(lines) == 1 else ""


def _cells(canvas: Any, mark: Cells) -> None:
    """Draw all dark cells as one path."""
    path = canvas.beginPath()
    for numbers in mark.dark():
        path.rect(*(v * POINTS for v in numbers))
    canvas.setFillGray(0)
    canvas.drawPath(path, stroke=0, fill=1)


def _form(canvas: Any, name: str, pattern: Pattern, wide: float | None) -> None:
    """Write a pattern under a name, its lines `wide` times as wide, or with no line set where None."""
    x0, y0, x1, y1 = (v * POINTS for v in extent(pattern.marks))
    canvas.beginForm(name, x0 - _OVER, y0 - _OVER, x1 + _OVER, y1 + _OVER)
    canvas.setLineJoin(1)
    for mark in pattern.marks:
        if isinstance(mark, Curve):
            _curve(canvas, mark, wide)
        else:
            _disc(canvas, mark, wide)
    canvas.endForm()


def _clip(canvas: Any, mark: Clip, forms: _Forms) -> None:
    canvas.saveState()
    x0, y0, x1, y1 = (v * POINTS for v in mark.window)
    window = canvas.beginPath()
    window.rect(x0, y0, x1 - x0, y1 - y0)
    canvas.clipPath(window, stroke=0, fill=0)
    _draw_all(canvas, mark.marks, forms)
    canvas.restoreState()


def _set_line(canvas: Any, name: str, wider: float) -> None:
    wide, dashes = _lines()[name]
    canvas.setLineWidth(wide * _LINE * wider)
    canvas.setDash([d * _LINE * 1.6 * wider for d in dashes] if dashes else [])


def _curve(canvas: Any, mark: Curve, wider: float | None = 1.0) -> None:
    if mark.line and wider is not None:
        _set_line(canvas, mark.line, wider)
    canvas.setStrokeGray(1.0 if mark.tone == "on_dye" else 0.0)
    if mark.fill:
        canvas.setFillGray(_FILLS.get(mark.fill, 0.9))
    canvas.drawPath(_path(canvas, mark.path), stroke=int(bool(mark.line)), fill=int(bool(mark.fill)))
    canvas.setFillGray(0)


def _disc(canvas: Any, mark: Disc, wider: float | None = 1.0) -> None:
    canvas.setStrokeGray(0.0)
    if mark.line and wider is not None:
        _set_line(canvas, mark.line, wider)
    canvas.setFillGray(_FILLS.get(mark.fill, 0.0))
    x, y, r = (v * POINTS for v in (*mark.centre, mark.radius))
    canvas.circle(x, y, r, int(bool(mark.line)), int(bool(mark.fill)))
    canvas.setFillGray(0)


def _path(canvas: Any, path: Path) -> Any:
    outline = canvas.beginPath()
    outline.moveTo(*(v * POINTS for v in path.segments[0].start))
    for segment in path.segments:
        match segment:
            case Line(_, (x, y)):
                outline.lineTo(x * POINTS, y * POINTS)
            case Bezier(_, c1, c2, end):
                outline.curveTo(*(v * POINTS for p in (c1, c2, end) for v in p))
            case Arc():
                for curve in arc_beziers(segment):
                    outline.curveTo(*(v * POINTS for p in (curve.c1, curve.c2, curve.end) for v in p))
    if path.closed:
        outline.close()
    return outline


def _text(canvas: Any, mark: Text) -> None:
    """Draw a line of text with built-up fractions."""
    total = width(mark.text, mark.size, mark.bold, measure)
    shift = {"start": 0.0, "middle": -total / 2, "end": -total}[mark.anchor]
    x, y = mark.at[0] * POINTS, mark.at[1] * POINTS
    if mark.angle:
        canvas.saveState()
        canvas.translate(x, y)
        canvas.rotate(mark.angle * 180 / pi)
        x = y = 0.0
    canvas.setFillGray(_SOFT if mark.tone == "soft" else 0)
    x += shift * POINTS
    for run in runs(mark.text):
        size = mark.size * run.size
        canvas.setFont(BOLD if mark.bold else REGULAR, size)
        canvas.drawString(x, y + mark.size * run.rise, run.text)
        x += measure(run.text, size, mark.bold) * POINTS
    if mark.angle:
        canvas.restoreState()


def png(content: bytes, page: int = 0, dots: float = 200.0) -> bytes:
    """A page of a PDF as a PNG with `dots` dots per inch."""
    stream = io.BytesIO()
    with DRAWS_PDF:
        document = pypdfium2.PdfDocument(content)
        try:
            document[page].render(scale=dots / 72).to_pil().save(stream, "PNG", dpi=(dots, dots))
        finally:
            document.close()
    return stream.getvalue()
