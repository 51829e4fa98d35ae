"""Curves of SVG elements: path data and basic shapes as segments, transformed to mm with y up."""

import re
from math import acos, ceil, cos, hypot, pi, radians, sin, sqrt, tan
from typing import Any, NamedTuple

from fontTools.svgLib.path import parse_path
from msgspec import Struct

from workbook.geometry.path import Arc, Bezier, Line, Path, Point, Segment, circle
from workbook.texts import _

_FLAT = 0.005  # mm; how far the chords of a squeezed arc may lie from it
_CALL = re.compile(r"(matrix|translate|scale|rotate|skewX|skewY)\s*\(([^)]*)\)")
_NUMBER = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_COUNTS = {"matrix": (6,), "translate": (1, 2), "scale": (1, 2), "rotate": (1, 3), "skewX": (1,), "skewY": (1,)}


class Affine(NamedTuple):
    """x' = a x + c y + e, y' = b x + d y + f, as SVG writes matrix(a b c d e f)."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def after(self, first: "Affine") -> "Affine":
        """The transform that applies `first` and then this one."""
        x, y = self.point((first.e, first.f))
        return Affine(*self._turn(first.a, first.b), *self._turn(first.c, first.d), x, y)

    def _turn(self, x: float, y: float) -> Point:
        return self.a * x + self.c * y, self.b * x + self.d * y

    def point(self, p: Point) -> Point:
        """The image of a point."""
        x, y = self._turn(*p)
        return x + self.e, y + self.f

    @property
    def scale(self) -> float | None:
        """The scale factor; None where circles do not stay circles."""
        along, across = hypot(self.a, self.b), hypot(self.c, self.d)
        square = abs(self.a * self.c + self.b * self.d) < 1e-9 * max(along * across, 1e-300)
        return along if square and abs(along - across) < 1e-9 * max(along, across) else None

    @property
    def mirrors(self) -> bool:
        """Whether left and right are exchanged."""
        return self.a * self.d - self.b * self.c < 0


def transform(text: str) -> Affine:
    """Parse a transform attribute (SVG 1.1, 7.6). Raises ValueError for an unknown one."""
    matrix = Affine()
    remainder = _CALL.sub("", text)
    if remainder.replace(",", " ").strip():
        raise ValueError(_("transform {text!r} is not in SVG", text=text[:40]))
    for name, inside in _CALL.findall(text):
        values = [float(number) for number in _NUMBER.findall(inside)]
        if len(values) not in _COUNTS[name]:
            raise ValueError(_("{name} does not have {count} numbers", name=name, count=len(values)))
        matrix = matrix.after(_one(name, values))
    return matrix


def _one(name: str, v: list[float]) -> Affine:
    match name:
        case "matrix":
            return Affine(*v)
        case "translate":
            return Affine(e=v[0], f=v[1] if len(v) > 1 else 0.0)
        case "scale":
            return Affine(a=v[0], d=v[-1])
        case "rotate":
            angle, (x, y) = radians(v[0]), (v[1:] or [0.0, 0.0])
            turn = Affine(cos(angle), sin(angle), -sin(angle), cos(angle))
            return Affine(e=x, f=y).after(turn).after(Affine(e=-x, f=-y))
        case "skewX":
            return Affine(c=tan(radians(v[0])))
        case _:
            return Affine(b=tan(radians(v[0])))


class Pen(Struct):
    """Collect path data, as the path parser passes it on, into paths in mm."""

    to_mm: Affine
    paths: list[Path]
    _segments: list[Segment]
    _at: Point = (0.0, 0.0)

    def moveTo(self, p: Point) -> None:
        """Begin a new path."""
        self.endPath()
        self._at = p

    def lineTo(self, p: Point) -> None:
        """Add a straight line; one of no length is dropped."""
        if p != self._at:
            self._segments.append(Line(self._mm(self._at), self._mm(p)))
        self._at = p

    def curveTo(self, c1: Point, c2: Point, p: Point) -> None:
        """Add a cubic Bezier."""
        self._segments.append(Bezier(self._mm(self._at), self._mm(c1), self._mm(c2), self._mm(p)))
        self._at = p

    def qCurveTo(self, c: Point, p: Point) -> None:
        """Add a quadratic Bezier, as the cubic that is the same curve."""
        (x0, y0), (x1, y1), (x2, y2) = self._at, c, p
        first = (x0 + 2 * (x1 - x0) / 3, y0 + 2 * (y1 - y0) / 3)
        second = (x2 + 2 * (x1 - x2) / 3, y2 + 2 * (y1 - y2) / 3)
        self.curveTo(first, second, p)

    def arcTo(self, rx: float, ry: float, turned: float, large: bool, sweep: bool, p: Point) -> None:
        """Add an arc of an ellipse: as an arc where it is one of a circle, else as points."""
        if p == self._at or not rx or not ry:
            self.lineTo(p)
            return
        bow = _Bow.between(self._at, p, abs(rx), abs(ry), radians(turned), large, sweep)
        scale = self.to_mm.scale if abs(bow.rx - bow.ry) < 1e-9 * bow.rx else None
        if scale is None:
            reach = max(bow.rx, bow.ry) * max(hypot(self.to_mm.a, self.to_mm.b), hypot(self.to_mm.c, self.to_mm.d))
            for point in bow.points(max(ceil(abs(bow.sweep) / (2 * acos(max(1 - _FLAT / max(reach, _FLAT), 0.0)))), 2), p):
                self.lineTo(point)
            return
        pieces = 2 if abs(bow.sweep) > 1.9 * pi else 1
        for point in bow.points(pieces, p):
            bulge = tan(bow.sweep / pieces / 4)
            self._segments.append(Arc(self._mm(self._at), self._mm(point), -bulge if self.to_mm.mirrors else bulge))
            self._at = point

    def closePath(self) -> None:
        """End the path where it began."""
        self._end(closed=True)

    def endPath(self) -> None:
        """End the path."""
        self._end(closed=False)

    def _end(self, *, closed: bool) -> None:
        if self._segments:
            self.paths.append(Path(tuple(self._segments), closed and len(self._segments) > 1))
            self._segments.clear()

    def _mm(self, p: Point) -> Point:
        return self.to_mm.point(p)


class _Bow(Struct, frozen=True):
    """An arc of an ellipse by its centre (SVG 1.1, F.6.5, F.6.6)."""

    centre: Point
    rx: float
    ry: float
    turned: float
    start: float
    sweep: float

    @classmethod
    def between(cls, p: Point, q: Point, rx: float, ry: float, turned: float, large: bool, sweep: bool) -> "_Bow":
        """The arc between two end points; radii that are too small are enlarged until it reaches."""
        c, s = cos(turned), sin(turned)
        dx, dy = (p[0] - q[0]) / 2, (p[1] - q[1]) / 2
        x, y = c * dx + s * dy, c * dy - s * dx
        growth = sqrt(max((x / rx) ** 2 + (y / ry) ** 2, 1.0))
        rx, ry = rx * growth, ry * growth
        denominator = (rx * y) ** 2 + (ry * x) ** 2
        k = sqrt(max((rx * ry) ** 2 / denominator - 1.0, 0.0)) * (-1 if large == sweep else 1)
        cx, cy = k * rx * y / ry, -k * ry * x / rx
        centre = (c * cx - s * cy + (p[0] + q[0]) / 2, s * cx + c * cy + (p[1] + q[1]) / 2)
        start, end = _angle((x - cx) / rx, (y - cy) / ry), _angle((-x - cx) / rx, (-y - cy) / ry)
        turn = (end - start) % (2 * pi)
        return cls(centre, rx, ry, turned, start, turn if sweep else turn - 2 * pi)

    def points(self, count: int, last: Point) -> list[Point]:
        """A number of points along the arc, the last exactly as given."""
        c, s = cos(self.turned), sin(self.turned)
        points = []
        for n in range(1, count):
            t = self.start + self.sweep * n / count
            x, y = self.rx * cos(t), self.ry * sin(t)
            points.append((self.centre[0] + c * x - s * y, self.centre[1] + s * x + c * y))
        return [*points, last]


def _angle(x: float, y: float) -> float:
    length = hypot(x, y) or 1.0
    angle = acos(min(max(x / length, -1.0), 1.0))
    return angle if y >= 0 else -angle


def shape_paths(kind: str, attributes: dict[str, Any], to_mm: Affine) -> list[Path]:
    """The paths in mm of a basic shape (SVG 1.1, 9) or of path data. Raises ValueError for a text that is not a number."""

    def n(name: str) -> float:
        return float(str(attributes.get(name, "0")).removesuffix("px"))

    if kind == "circle" and to_mm.scale is not None:
        return [circle(to_mm.point((n("cx"), n("cy"))), n("r") * to_mm.scale)] if n("r") > 0 else []
    pen = Pen(to_mm, [], [])
    if kind == "path":
        parse_path(str(attributes.get("d", "")), pen)
    elif kind in ("circle", "ellipse"):
        rx, ry = (n("r"), n("r")) if kind == "circle" else (n("rx"), n("ry"))
        if rx > 0 and ry > 0:
            _ellipse(pen, (n("cx"), n("cy")), rx, ry)
    elif kind == "rect":
        _rectangle(pen, n("x"), n("y"), n("width"), n("height"), n("rx") or n("ry"), n("ry") or n("rx"))
    elif kind == "line":
        pen.moveTo((n("x1"), n("y1")))
        pen.lineTo((n("x2"), n("y2")))
    else:
        _points(pen, [float(v) for v in _NUMBER.findall(str(attributes.get("points", "")))], closed=kind == "polygon")
    pen.endPath()
    return pen.paths


def _ellipse(pen: Pen, centre: Point, rx: float, ry: float) -> None:
    x, y = centre
    pen.moveTo((x + rx, y))
    pen.arcTo(rx, ry, 0, False, True, (x - rx, y))
    pen.arcTo(rx, ry, 0, False, True, (x + rx, y))
    pen.closePath()


def _rectangle(pen: Pen, x: float, y: float, w: float, h: float, rx: float, ry: float) -> None:
    if w <= 0 or h <= 0:
        return
    rx, ry = min(rx, w / 2), min(ry, h / 2)
    pen.moveTo((x + rx, y))
    ends = (
        ((x + w - rx, y), (x + w, y + ry)),
        ((x + w, y + h - ry), (x + w - rx, y + h)),
        ((x + rx, y + h), (x, y + h - ry)),
        ((x, y + ry), (x + rx, y)),
    )
    for straight, corner in ends:
        pen.lineTo(straight)
        pen.arcTo(rx, ry, 0, False, True, corner)
    pen.closePath()


def _points(pen: Pen, values: list[float], *, closed: bool) -> None:
    rows = list(zip(values[::2], values[1::2], strict=False))
    if len(rows) < 2:
        return
    pen.moveTo(rows[0])
    for row in rows[1:]:
        pen.lineTo(row)
    if closed:
        pen.lineTo(rows[0])
        pen.closePath()
