"""Drawings as DXF: in mm or inches, lines and true arcs as LWPOLYLINE (POLYLINE in R12), circles as CIRCLE, never a SPLINE."""

import io
import logging
from collections.abc import Iterable
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from workbook import __version__
from workbook.geometry.biarc import with_arcs
from workbook.geometry.drawing import Cells, Clip, Copy, Curve, Disc, Mark, Pattern, Text, extent
from workbook.geometry.path import Arc, Line, Path, Placement, Point
from workbook.later import modules, np
from workbook.libraries import dxf_enums, ezdxf
from workbook.structs import replace
from workbook.template.service import Service
from workbook.units import HABITS

if TYPE_CHECKING:
    from workbook.formats import dxf_vertices
else:
    (dxf_vertices,) = modules("formats.dxf_vertices")

LAYERS = {"OUTLINE": 7, "HOLES": 3, "SCRIBE": 5, "BAR": 8, "NOTES": 2}  # name: colour number (ACI)
_ALIGN = {"start": "LEFT", "middle": "CENTER", "end": "RIGHT"}
_PLAIN = "R12"  # has no units
_CAP = 0.254  # mm of cap height per point of text size

_ANY = Service()

Vertices = list[tuple[float, float, float]]  # x, y and bulge


def dxf(marks: Iterable[Mark], title: str = "", service: Service = _ANY) -> str:
    """The drawing as DXF text, ASCII: $INSUNITS 4 (mm) or 1 (inches), extents set; the same marks give the same text.

    `service`: the service that reads it, which sets the unit, the names of the layers of outlines and holes, and the version:
    R12 (whose header has no units), R2000 or R2013.
    """
    previous = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True  # no date, no random ids: same drawing, same bytes
    try:
        return _written(_document(tuple(marks), title, service))
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = previous


def _document(marks: tuple[Mark, ...], title: str, service: Service) -> Any:
    logging.getLogger("ezdxf").addHandler(logging.NullHandler())  # it would warn on standard error that R12 has no units
    metric = HABITS[service.file_unit].metric
    document = ezdxf.new(service.version, units=ezdxf.units.MM if metric else ezdxf.units.IN)
    document.header["$MEASUREMENT"] = int(metric)
    document.header.custom_vars.append("Written by", f"Maker's Workbook {__version__}")
    if title:
        document.header.custom_vars.append("Title", title)
    writer = _Writer(document.modelspace(), service)
    for name in sorted({layer for mark in marks for layer in _layers(mark)}):
        own = writer.layers.get(name, name)
        if own not in document.layers:  # a service may ask for one layer for both, or for layer 0
            document.layers.add(own, color=LAYERS.get(name, 7))
    for mark in marks:
        writer.add(mark)
    space = writer.space
    x0, y0, x1, y1 = (value * writer.k for value in extent(marks))
    space.reset_extents((x0, y0, 0), (x1, y1, 0))
    space.reset_limits((x0, y0), (x1, y1))
    return document


def _written(document: Any) -> str:
    """The DXF text; letters beyond ASCII as the \\U+XXXX of the DXF reference, since R2000 has no Unicode."""
    stream = io.StringIO()
    document.write(stream)
    text = stream.getvalue()
    return (
        text if text.isascii() else "".join(c if c.isascii() else f"\\U+{ord(c):04X}" if ord(c) < 0x10000 else "?" for c in text)
    )


def _layers(mark: Mark) -> set[str]:
    if isinstance(mark, Clip | Copy):
        marks = mark.marks if isinstance(mark, Clip) else mark.pattern.marks
        return {layer for inner in marks for layer in _layers(inner)}
    return set() if isinstance(mark, Cells) else {mark.layer}


class _Writer:
    """Adds marks to a model space, in a service's unit and on its layers."""

    def __init__(self, space: Any, service: Service) -> None:
        self.space = space
        self.k = 1.0 / HABITS[service.file_unit].mm  # drawing units in a mm
        self.layers = {"OUTLINE": service.outline_layer, "HOLES": service.hole_layer}

    def add(self, mark: Mark) -> None:
        """Add a mark."""
        match mark:
            case Curve():
                self._add_line(mark, _vertices(mark.path))
            case Copy():
                self._add_copy(mark)
            case Disc():
                self.space.add_circle(self._scaled(mark.centre), mark.radius * self.k, dxfattribs=self._on(mark))
            case Text():
                self._add_text(mark)
            case Clip():
                for inner in mark.marks:
                    self.add(inner)

    def _on(self, mark: Curve | Disc | Text) -> dict[str, str]:
        return {"layer": self.layers.get(mark.layer, mark.layer)}

    def _scaled(self, at: Point) -> Point:
        return at[0] * self.k, at[1] * self.k

    def _add_copy(self, mark: Copy) -> None:
        """Add a pattern in its place, as separate curves and circles: services do not look into blocks."""
        for part, vertices in zip(mark.pattern.marks, _vertices_of(mark.pattern), strict=True):
            if isinstance(part, Disc):
                self.add(replace(part, centre=mark.where.point(part.centre), radius=part.radius * mark.where.scale))
            else:
                self._add_line(part, _vertices_at(vertices, mark.where))

    def _add_line(self, mark: Curve, vertices: Vertices) -> None:
        scaled = vertices if self.k == 1.0 else [(x * self.k, y * self.k, bulge) for x, y, bulge in vertices]
        if self.space.doc.acad_release == _PLAIN:
            self.space.add_polyline2d(scaled, format="xyb", close=mark.path.closed, dxfattribs=self._on(mark))
            return
        line = self.space.add_lwpolyline((), close=mark.path.closed, dxfattribs=self._on(mark))
        line.lwpoints = dxf_vertices.Together(scaled)

    def _add_text(self, mark: Text) -> None:
        plain = mark.text.replace("\u2044", "/").replace("\u2009", " ")
        text = self.space.add_text(plain, height=mark.size * _CAP * self.k, dxfattribs=self._on(mark))
        text.set_placement(self._scaled(mark.at), align=dxf_enums.TextEntityAlignment[_ALIGN[mark.anchor]])


def _vertices(path: Path) -> Vertices:
    """x, y and bulge of each vertex."""
    segments = with_arcs(path).segments
    rows = [(*s.start, s.bulge if isinstance(s, Arc) else 0.0) for s in segments if isinstance(s, (Line, Arc))]
    return rows if path.closed else [*rows, (*segments[-1].end, 0.0)]


@lru_cache(maxsize=256)
def _vertices_of(pattern: Pattern) -> list[Vertices]:
    """The vertices of every curve of a pattern; none for a disc."""
    return [_vertices(mark.path) if isinstance(mark, Curve) else [] for mark in pattern.marks]


def _vertices_at(vertices: Vertices, where: Placement) -> Vertices:
    """The vertices in their place; a mirror image has the opposite bulges."""
    rows = np.array(vertices)
    rows[:, :2] = where.points(rows[:, :2])
    rows[:, 2] *= -1 if where.mirrored else 1
    return [(x, y, bulge) for x, y, bulge in rows.tolist()]
