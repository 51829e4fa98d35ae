"""Drawings as SVG, true to size: width and height in mm, one user unit per millimetre."""

from collections.abc import Iterable
from html import escape
from math import atan, pi

from workbook.geometry.drawing import Cells, Clip, Copy, Curve, Disc, Mark, Text, extent
from workbook.geometry.path import Arc, Bezier, Line, Path, Point, arc_circle

_MARGIN = 5.0  # mm of empty page around the drawing
_HAIR = 0.1  # mm, the stroke a laser or plotter follows


def svg(marks: Iterable[Mark], title: str) -> str:
    """The drawing as an SVG document."""
    marks = tuple(marks)
    x0, y0, x1, y1 = extent(marks)
    w, h = x1 - x0 + 2 * _MARGIN, y1 - y0 + 2 * _MARGIN
    body = "\n".join(_element(mark, x0 - _MARGIN, y1 + _MARGIN) for mark in marks)
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{w:.4f}mm" height="{h:.4f}mm" viewBox="0 0 {w:.4f} {h:.4f}">\n'
        f"<title>{escape(title)}</title>\n"
        f'<g fill="none" stroke="#000000" stroke-width="{_HAIR}">\n{body}\n</g>\n</svg>\n'
    )


def _element(mark: Mark, left: float, top: float) -> str:
    match mark:
        case Curve():
            return f'<path class="{escape(mark.layer)}" d="{_data(mark.path, left, top)}"/>'
        case Disc():
            x, y = _xy(mark.centre, left, top)
            return f'<circle class="{escape(mark.layer)}" cx="{x}" cy="{y}" r="{_n(mark.radius)}"/>'
        case Text():
            x, y = _xy(mark.at, left, top)
            where = f'x="{x}" y="{y}" font-size="{_n(mark.size * 25.4 / 72)}" text-anchor="{mark.anchor}"'
            return f'<text {where} fill="#000000" stroke="none">{escape(mark.text.replace(chr(0x2044), "/"))}</text>'
        case Cells():
            return "\n".join(_rectangle(*dark, left, top) for dark in mark.dark())
        case Clip() | Copy():
            return "\n".join(_element(inner, left, top) for inner in mark.marks)


def _rectangle(x: float, y: float, wide: float, tall: float, left: float, top: float) -> str:
    at, under = _xy((x, y + tall), left, top)
    return f'<rect x="{at}" y="{under}" width="{_n(wide)}" height="{_n(tall)}" fill="#000000" stroke="none"/>'


def _data(path: Path, left: float, top: float) -> str:
    def at(p: Point) -> str:
        return " ".join(_xy(p, left, top))

    parts = [f"M {at(path.segments[0].start)}"]
    for segment in path.segments:
        match segment:
            case Line():
                parts.append(f"L {at(segment.end)}")
            case Bezier():
                parts.append(f"C {at(segment.c1)} {at(segment.c2)} {at(segment.end)}")
            case Arc():
                r = _n(arc_circle(segment)[1])
                large, sweep = int(abs(4 * atan(segment.bulge)) > pi), int(segment.bulge < 0)
                parts.append(f"A {r} {r} 0 {large} {sweep} {at(segment.end)}")
    return " ".join(parts) + (" Z" if path.closed else "")


def _xy(p: Point, left: float, top: float) -> tuple[str, str]:
    """Page coordinates: y runs down in SVG."""
    return _n(p[0] - left), _n(top - p[1])


def _n(value: float) -> str:
    return f"{value:.5f}".rstrip("0").rstrip(".") or "0"
