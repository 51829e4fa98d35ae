"""Bevels, edges, carbon and balance worked out by general libraries, from what each word means and not from its formula.

scipy is imported where it is used: it takes a moment, and every worker collects all tests.
"""

from math import cos, degrees, radians, sin, tan

import numpy as np
import pytest
from ezdxf.math import ConstructionCircle
from shapely import Point, Polygon
from shapely.geometry import LineString

from workbook.grind.bevel import (
    angle,
    edge_facet,
    height_for,
    height_lost,
    hollow_thinnest,
    most_bulge,
    radius_of,
    sagitta,
    thickness_behind,
)
from workbook.grind.heat import HIGH, LOW, carbon_lost, diffusion
from workbook.grind.section import properties
from workbook.grind.solid import solid, together

BLADES = [(3.175, 0.38, 25.4), (2.0, 0.2, 45.0), (4.8, 0.6, 12.0)]  # thickness, edge and height of the bevel, mm


def trapezoid(thickness, edge, height):
    """A section with two flat bevels, edge at the bottom."""
    return Polygon([(-edge / 2, 0), (edge / 2, 0), (thickness / 2, height), (-thickness / 2, height)])


@pytest.mark.outside("shapely (GEOS): the bevel as a polygon, its width where a level line cuts it")
@pytest.mark.parametrize(("thickness", "edge", "height"), BLADES)
def test_a_bevels_angle_and_height_are_those_of_the_drawn_section(thickness, edge, height):
    section = trapezoid(thickness, edge, height)
    middle = section.intersection(LineString([(-99, height / 2), (99, height / 2)])).length
    per_side = degrees(angle(thickness, edge, height))
    assert middle == pytest.approx(edge + height * tan(radians(per_side)), abs=1e-9)
    assert height_for(thickness, edge, radians(per_side)) == pytest.approx(section.bounds[3], abs=1e-9)
    assert height_for(thickness, middle, radians(per_side)) == pytest.approx(height / 2, abs=1e-9)


@pytest.mark.outside("ezdxf: the circle through three points")
@pytest.mark.parametrize(("chord", "depth"), [(25.4, 0.254), (40.0, 1.3), (12.0, 5.9)])
def test_the_arc_of_a_depth_on_a_chord_goes_through_three_places(chord, depth):
    radius = ConstructionCircle.from_3p((0, 0), (chord / 2, depth), (chord, 0)).radius
    assert radius_of(chord, depth) == pytest.approx(radius, rel=1e-9)
    assert float(sagitta(radius, chord)) == pytest.approx(depth, rel=1e-9)


@pytest.mark.outside("scipy.optimize: the least distance between two circles drawn through edge and grind line")
@pytest.mark.parametrize("wheel", [254.0, 203.2])
def test_a_hollow_is_thinnest_where_the_two_wheels_come_nearest(wheel):
    from scipy.optimize import brentq, minimize_scalar

    thickness, edge, height = 4.0, 0.5, 22.0

    def middle_for(y):  # of the wheel on the right: as far from the edge's corner as its radius
        return edge / 2 + (wheel**2 / 4 - y**2) ** 0.5

    def misses(y):  # how far the grind line lies from that wheel's rim
        return np.hypot(middle_for(y) - thickness / 2, y - height) - wheel / 2

    y = brentq(misses, -100, 100)

    def between(up):
        return 2 * (middle_for(y) - (wheel**2 / 4 - (up - y) ** 2) ** 0.5)

    found = minimize_scalar(between, bounds=(0, height), method="bounded", options={"xatol": 1e-9})
    least = hollow_thinnest(thickness, edge, height, wheel)
    assert (least.thickness, least.above_edge) == pytest.approx((found.fun, found.x), abs=1e-5)


@pytest.mark.outside("scipy.optimize: the bulge at which the arc arrives along the flat")
@pytest.mark.parametrize(("thickness", "edge", "height"), BLADES)
def test_a_convex_bevel_is_proud_when_its_arc_arrives_beyond_the_flat(thickness, edge, height):
    from scipy.optimize import brentq

    line, corner = np.array((thickness / 2, height)), np.array((edge / 2, 0.0))
    along = (line - corner) / np.linalg.norm(line - corner)
    outward = np.array((along[1], -along[0]))

    def leans(bulge):  # how far the tangent at the grind line, square to the radius there, leans out
        middle = ConstructionCircle.from_3p(corner, (line + corner) / 2 + outward * bulge, line).center
        return line[1] - middle.y

    assert most_bulge(thickness, edge, height) == pytest.approx(brentq(leans, 1e-3, 2.0), abs=1e-9)


@pytest.mark.outside("shapely (GEOS): the facet's line crossing the bevel's")
@pytest.mark.parametrize("faces", [1, 2])
@pytest.mark.parametrize(("edge", "sharp"), [(0.25, 15.0), (0.5, 20.0), (0.7, 25.0)])
def test_a_facet_ends_where_its_line_crosses_the_bevels(faces, edge, sharp):
    per_side, far = radians(3.2), 30.0
    bevel = LineString([(edge / faces, 0), (edge / faces + far * tan(per_side), far)])
    ground = LineString([(0, 0), (far * sin(radians(sharp)), far * cos(radians(sharp)))])
    shoulder = ground.intersection(bevel)
    found = edge_facet(edge, radians(sharp), per_side, faces)
    assert (found.height, found.width) == pytest.approx((shoulder.y, shoulder.distance(Point(0, 0))), abs=1e-9)


@pytest.mark.outside("shapely (GEOS): a blade's section cut by the sharpening's wedge, measured 1 mm and 5 mm up")
@pytest.mark.parametrize("up", [0.3, 1.0, 5.0])
@pytest.mark.parametrize("edge", [0.1, 0.3, 0.8])
def test_calipers_behind_the_apex_read_the_section_left_by_the_sharpening(edge, up):
    per_side, sharp, far = radians(3), radians(20), 40.0
    blade = trapezoid(edge + 2 * far * tan(per_side), edge, far)
    wedge = Polygon([(0, 0), (far * tan(sharp), far), (-far * tan(sharp), far)])
    read = blade.intersection(wedge).intersection(LineString([(-99, up), (99, up)])).length
    assert thickness_behind(edge, sharp, per_side, up) == pytest.approx(read, abs=1e-9)


@pytest.mark.outside("shapely (GEOS): the facet moved in by what is taken off, its line's new crossing with the middle")
def test_a_sharpening_takes_as_much_off_the_height_as_its_lines_come_together():
    taken, sharp = 0.05, radians(18)
    facet = LineString([(-10 * tan(sharp), -10), (10 * tan(sharp), 10)])
    moved = facet.parallel_offset(taken, "left")
    apex = moved.intersection(LineString([(0, -9), (0, 9)]))
    assert height_lost(taken, sharp) == pytest.approx(abs(apex.y), rel=1e-6)


@pytest.mark.outside("trimesh: second moments of a polygon; shapely: its area and centroid")
@pytest.mark.parametrize("many", [5, 12, 40])
def test_a_sections_stiffness_is_that_of_two_other_libraries(many):
    from trimesh.path.polygons import second_moments

    turns = np.linspace(0, 2 * np.pi, many, endpoint=False)
    reach = 2 + np.sin(3 * turns) / 3 + np.cos(2 * turns) / 4
    corners = np.column_stack((30 + 9 * reach * np.cos(turns), 1.5 * reach * np.sin(turns)))
    shape, found = Polygon(corners), properties(corners)
    assert (found.area, found.y, found.z) == pytest.approx((shape.area, shape.centroid.x, shape.centroid.y), rel=1e-9)
    moved = Polygon(corners - (shape.centroid.x, shape.centroid.y))
    sideways, edgewise, _ = second_moments(moved)
    assert (found.edgewise, found.sideways) == pytest.approx((edgewise, sideways), rel=1e-9)


@pytest.mark.outside("scipy.integrate: Fick's second law step by step, from the surface inwards")
@pytest.mark.parametrize(("celsius", "minutes"), [(800.0, 10.0), (860.0, 45.0)])
def test_carbon_is_lost_as_deep_as_the_law_worked_step_by_step_says(celsius, minutes):
    from scipy.integrate import solve_ivp

    def depth(constants):
        rate = diffusion(constants, celsius) * 1e6  # mm2/s
        end = 8 * (rate * minutes * 60) ** 0.5
        x = np.linspace(0, end, 301)
        step = x[1]

        def change(_, carbon):
            inner = np.concatenate(([0.0], carbon, [1.0]))  # nothing at the surface, all of it deep inside
            return rate * (inner[2:] - 2 * inner[1:-1] + inner[:-2]) / step**2

        run = solve_ivp(change, (0, minutes * 60), np.ones(len(x) - 2), method="LSODA", lband=1, uband=1, rtol=1e-6, atol=1e-8)
        return float(np.interp(0.9, np.concatenate(([0.0], run.y[:, -1], [1.0])), x))

    found = carbon_lost(celsius, minutes)
    assert sorted((found.least, found.most)) == pytest.approx(sorted(depth(c) for c in (LOW, HIGH)), rel=5e-3)


@pytest.mark.outside("trimesh: the centre of mass of boxes put together")
def test_solids_together_balance_where_a_mesh_of_them_does():
    from trimesh import util
    from trimesh.creation import box
    from trimesh.transformations import translation_matrix

    boxes = [((40, 20, 4), (60, 5, 0)), ((110, 25, 3), (-55, 12, 0.5)), ((5, 5, 20), (-20, 10, -2))]
    mesh = util.concatenate([box(size, translation_matrix(at)) for size, at in boxes])
    both = together(solid(float(np.prod(size)), *at) for size, at in boxes)
    assert both.volume == pytest.approx(mesh.volume)
    assert both.centre == pytest.approx(tuple(mesh.center_mass))
