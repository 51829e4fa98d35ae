"""Drawings as other programs write them: a pentagon of loose lines, a stadium of one polyline."""

from math import pi

from shapely.geometry import Polygon

from workbook.formats.dxf_in import read_loops
from workbook.geometry.path import flatten
from workbook.template.drawn import assemble

CORNERS = [(0, 0), (180, 0), (180, 30), (20, 40), (0, 30)]
PENTAGON = Polygon(CORNERS).area
STADIUM = 160 * 40 + pi * 400  # 200 x 40 mm with round ends


def template(file, unit=None):
    """The template a file gives."""
    loops, remarks = read_loops(file, unit)
    return assemble(loops, file.name, remarks)


def area(found):
    """Area inside a template's outline."""
    return Polygon(flatten(found.outline, 0.001)).area


def pentagon(space, scale=1.0, gap=0.0):
    """Its five sides as lines, each beginning a gap late."""
    ends = CORNERS[1:] + CORNERS[:1]
    for (x0, y0), (x1, y1) in zip(CORNERS, ends, strict=True):
        space.add_line((x0 * scale + gap, y0 * scale), (x1 * scale, y1 * scale))


def stadium(space, close=True, layer="0"):
    """Two lines and two half circles as one polyline with bulges, closed or back at its beginning."""
    corners = [(20, 0, 0), (180, 0, 1), (180, 40, 0), (20, 40, 1)]
    rows = corners if close else [*corners, (20, 0, 0)]
    space.add_lwpolyline(rows, format="xyb", close=close, dxfattribs={"layer": layer})
