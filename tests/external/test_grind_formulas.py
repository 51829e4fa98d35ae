"""Bevels, edges, heat and sections against worked values of plane geometry, statics and published constants.

Values marked "fact base" are the project's collected worked examples, each from the formula named beside it.
"""

from math import atan, cos, degrees, radians

import numpy as np
import pytest

from workbook.geometry.path import polyline
from workbook.grind.bevel import (
    FlatBevel,
    Fourth,
    angle,
    edge_facet,
    height_for,
    height_lost,
    hollow_thinnest,
    most_bulge,
    radius_of,
    sagitta,
    scribe_height,
    support_distance,
    thickness_behind,
)
from workbook.grind.handle_mass import Densities
from workbook.grind.heat import HIGH, LOW, carbon_lost, diffusion
from workbook.grind.mass import masses
from workbook.grind.section import properties
from workbook.grind.solid import between_flats, solid, together
from workbook.template.shape import Shape
from workbook.units import INCH


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_the_angle_of_a_flat_bevel():
    """Plane trigonometry, fact base: atan((0.125 - 0.015) / 2) is 3.1481 degrees a side; its face is h / cos, 1.00151."""
    assert degrees(angle(0.125, 0.015, 1.0)) == pytest.approx(3.1481, abs=1e-3)
    assert 2 * degrees(angle(0.125, 0.015, 1.0)) == pytest.approx(6.29619, abs=2e-3)
    assert 1.0 / cos(angle(0.125, 0.015, 1.0)) == pytest.approx(1.00151, abs=1e-5)


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_the_height_of_a_flat_bevel_from_its_angle():
    """Plane trigonometry, fact base: (0.1875 - 0.020) / (2 tan 4 deg) is 1.19768 in."""
    assert height_for(0.1875, 0.020, radians(4)) == pytest.approx(1.19768, abs=1e-4)


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_the_angle_of_a_single_bevel():
    """Plane trigonometry, fact base: atan((0.125 - 0.010) / 0.75) is 8.71746 degrees."""
    assert degrees(angle(0.125, 0.010, 0.75, faces=1)) == pytest.approx(8.71746, abs=1e-3)


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_the_angle_where_a_distal_taper_has_made_the_blade_thin():
    """Fact base: 0.1875 to 0.09375 over 4 in is 0.140625 at 2 in; atan((0.09375 - 0.015) / 1.2) is 3.75465 degrees."""
    assert 0.1875 + (0.09375 - 0.1875) * 2 / 4 == 0.140625
    assert degrees(angle(0.09375, 0.015, 0.6)) == pytest.approx(3.75465, abs=1e-3)


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_thinning_the_edge_moves_the_grind_line_up():
    """Plane trigonometry: 1/8 in, 0.030 in at the edge with a line 3/4 in up is 3.62 degrees; 0.010 in is 0.16 in higher."""
    per_side = angle(0.125, 0.030, 0.75)
    assert degrees(per_side) == pytest.approx(3.62, abs=0.005)
    assert height_for(0.125, 0.010, per_side) - 0.75 == pytest.approx(0.16, abs=0.003)


@pytest.mark.own_working("geometry or statics, worked out for this project")
@pytest.mark.parametrize(("radius", "depth"), [(5.0, 0.0250628), (4.0, 0.031373)])
def test_the_sagitta_of_a_wheel(radius, depth):
    """R - sqrt(R^2 - (c/2)^2) for a chord of 1 in; fact base."""
    assert float(sagitta(radius, 1.0)) == pytest.approx(depth, abs=1e-6)


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_a_hollow_is_not_thinnest_in_its_middle():
    """T 0.125, e 0.015, h 1, R 5: at mid-height (T + e)/2 - 2 s cos theta is 0.0198 (fact base); the thinnest place is 0.0047
    at 0.227, from the circle's own equation; R 4 vanishes."""
    theta = angle(0.125, 0.015, 1.0)
    middle = 0.07 - 2 * float(sagitta(5.0, 1.0 / cos(theta))) * cos(theta)
    assert middle == pytest.approx(0.0197982, abs=1e-5)
    least = hollow_thinnest(0.125, 0.015, 1.0, 10.0)
    assert (least.thickness, least.above_edge) == pytest.approx((0.0047, 0.227), abs=(5e-4))
    assert hollow_thinnest(0.125, 0.015, 1.0, 8.0).thickness < 0


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_the_radius_of_a_convex_bevel():
    """c^2 / 8s + s / 2 for c 1, s 0.010 is 12.505; fact base. It is proud of the flats when 2 atan(2 s / c) is over theta."""
    assert radius_of(1.0, 0.010) == pytest.approx(12.505, abs=1e-4)
    most = most_bulge(0.125, 0.015, 1.0)
    chord = 1.0 / cos(angle(0.125, 0.015, 1.0))
    assert 2 * atan(2 * most / chord) == pytest.approx(angle(0.125, 0.015, 1.0))


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_the_facet_of_an_edge():
    """Fact base: (e/2) / (tan b - tan theta) / cos b is 0.025832 for e 0.015, b 20, theta 3.148; with flat sides e / (2 sin b),
    0.0219285, which is the same formula at theta 0; a single bevel at theta 0: e / sin b, 0.023662 for e 0.010, b 25."""
    assert edge_facet(0.015, radians(20), radians(3.148)).width == pytest.approx(0.025832, abs=1e-5)
    assert edge_facet(0.015, radians(20), 0.0).width == pytest.approx(0.0219285, abs=1e-6)
    assert edge_facet(0.010, radians(25), 0.0, faces=1).width == pytest.approx(0.023662, abs=1e-6)


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_the_shoulder_of_a_sharpened_kitchen_edge():
    """Fact base: 3 degrees a side, 0.30 mm at the edge, sharpened at 20: the shoulder lies 0.4814444 mm above the apex."""
    assert edge_facet(0.30, radians(20), radians(3)).height == pytest.approx(0.4814444026, abs=1e-4)


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_thickness_behind_the_apex():
    """Fact base: a full bevel of 20 degrees a side is 0.7279404685 mm thick 1 mm behind its apex; 3 degrees a side with
    0.30 mm at the edge, sharpened at 20, is 0.4048155586; the 0.46 mm of ISO 8442-9 are met at 25.9055 degrees in all."""
    assert thickness_behind(9.0, radians(20), radians(3), 1.0) == pytest.approx(0.7279404685, abs=1e-9)
    assert thickness_behind(0.30, radians(20), radians(3), 1.0) == pytest.approx(0.4048155586, abs=1e-9)
    assert thickness_behind(9.0, radians(25.90552903 / 2), 0.0, 1.0) == pytest.approx(0.46, abs=1e-6)


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_what_two_bevels_take_off_a_blade():
    """Two triangular prisms, fact base: L h (T - e) / 2 is 0.22 in3 for 4, 1, 0.125, 0.015; what is left is 0.28 in3."""
    whole = properties(np.array([(0.0, -0.0625), (1.0, -0.0625), (1.0, 0.0625), (0.0, 0.0625)])).area
    left = properties(np.array([(0.0, -0.0075), (1.0, -0.0625), (1.0, 0.0625), (0.0, 0.0075)])).area
    assert 4 * (whole - left) == pytest.approx(0.22, abs=1e-9)
    assert 4 * left == pytest.approx(0.28, abs=1e-9)


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_a_blade_of_triangles_that_tapers():
    """Prismatoid, fact base: L / 6 (A1 + 4 Am + A2) from triangles 0.1875 x 1.25 to 0.09375 x 0.5 over 4 in is 0.257812 in3."""
    areas = [
        properties(np.array([(0.0, 0.0), (h, -t / 2), (h, t / 2)])).area
        for t, h in ((0.1875, 1.25), (0.140625, 0.875), (0.09375, 0.5))
    ]
    assert 4 / 6 * (areas[0] + 4 * areas[1] + areas[2]) == pytest.approx(0.257812, abs=1e-6)


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_no_facet_can_be_cut_at_the_bevels_own_angle():
    assert edge_facet(0.3, radians(3), radians(3)) is None
    assert edge_facet(0.0, radians(12), radians(12)).width == 0


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_what_a_sharpening_takes_off_the_height():
    """r / sin b, plane trigonometry."""
    assert height_lost(0.1, radians(30)) == pytest.approx(0.2)


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_the_rest_beside_a_round_stone():
    """Law of cosines, fact base: R 100, A 139, b 15 is 191.092 mm; with a jig 12 mm off the rest, by vectors, 185.316."""
    assert support_distance(200, 139, radians(15)) == pytest.approx(191.092, abs=1e-3)
    assert support_distance(200, 139, radians(15), 12) == pytest.approx(185.316, abs=1e-3)


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_the_height_gauge_stands_at_half_of_what_is_ground_off():
    """Scribed from both faces, the lines leave exactly the edge between them."""
    assert 2 * scribe_height(0.0775, 0.020) + 0.020 == pytest.approx(0.0775)


@pytest.mark.own_working("geometry or statics, worked out for this project")
@pytest.mark.parametrize("follows", list(Fourth))
def test_any_three_give_the_fourth(follows):
    """Plane trigonometry, T - e = 2 h tan theta."""
    whole = FlatBevel(thickness=0.125, edge=0.015, height=1.0, angle=angle(0.125, 0.015, 1.0))
    found = whole.completed(follows)
    assert (found.thickness, found.edge, found.height, found.angle) == pytest.approx(
        (whole.thickness, whole.edge, whole.height, whole.angle)
    )


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_numbers_that_are_no_bevel_are_refused_in_words():
    for bad in ({"edge": 0.2, "follows": Fourth.ANGLE}, {"angle": 0.0, "follows": Fourth.HEIGHT}):
        follows = bad.pop("follows")
        with pytest.raises(ValueError, match="no bevel"):
            FlatBevel(**{"thickness": 0.125, "edge": 0.015, "height": 1.0, "angle": 0.06, **bad}).completed(follows)


@pytest.mark.outside("Callister, diffusion data: carbon in austenite, D0 2.3e-5 m2/s, Q 148 kJ/mol, 5.9e-12 m2/s at 900 C")
def test_carbon_wanders_as_fast_as_textbooks_say():
    """Callister: D0 2.3e-5, Q 148 kJ/mol gives 5.9e-12 m2/s at 900 C; a teaching site: 1.5e-5, 135 gives 1.46e-11."""
    assert diffusion(LOW, 900) == pytest.approx(5.91252e-12, rel=0.02)
    assert diffusion(HIGH, 900) == pytest.approx(1.46212e-11, rel=0.02)


@pytest.mark.own_working("geometry or statics, worked out for this project")
@pytest.mark.parametrize(
    ("fahrenheit", "minutes", "least", "most"),
    [(1475, 5, 0.0489, 0.0818), (1500, 15, 0.0942, 0.1560), (1575, 30, 0.1801, 0.2904), (1775, 60, 0.5153, 0.7811)],
)
def test_carbon_lost_from_bare_faces(fahrenheit, minutes, least, most):
    """Fick's law with both sets of constants, depth to nine tenths of the carbon: fact base, within 2 %."""
    found = carbon_lost((fahrenheit - 32) / 1.8, minutes)
    assert (found.least, found.most) == pytest.approx((least, most), rel=0.02)


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_four_times_as_long_loses_twice_as_deep():
    """The parabolic law."""
    assert carbon_lost(815, 40).least == pytest.approx(2 * carbon_lost(815, 10).least)


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_second_moments_of_a_triangle_and_a_trapezoid():
    """Standard sections, fact base: b h^3 / 36 of 0.125 x 1 is 0.00347222; h^3 (a^2 + 4ab + b^2) / 36 (a + b) of 0.015, 0.125, 1
    is 0.00463294, its centroid 0.369048 from the broad side."""
    triangle = properties(np.array([(0.0, 0.0), (1.0, -0.0625), (1.0, 0.0625)]))
    assert triangle.edgewise == pytest.approx(0.125 / 36, abs=1e-9)
    edge = properties(np.array([(0.0, -0.0075), (1.0, -0.0625), (1.0, 0.0625), (0.0, 0.0075)]))
    assert edge.edgewise == pytest.approx(0.00463294, abs=1e-8)
    assert 1.0 - edge.y == pytest.approx(0.369048, abs=1e-6)


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_second_moments_of_a_rectangle_both_ways_round_and_anywhere():
    """b h^3 / 12, whichever way the corners run and wherever it lies."""
    corners = np.array([(30.0, -7.0), (34.0, -7.0), (34.0, -5.0), (30.0, -5.0)])
    for polygon in (corners, corners[::-1]):
        found = properties(polygon)
        assert (found.area, found.y, found.z) == pytest.approx((8.0, 32.0, -6.0))
        assert (found.edgewise, found.sideways) == pytest.approx((2 * 4**3 / 12, 4 * 2**3 / 12))


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_half_the_thickness_has_an_eighth_of_the_stiffness():
    """b h^3 / 12: sideways a section is as stiff as its thickness cubed."""

    def sideways(t):
        return properties(np.array([(0.0, -t / 2), (20.0, -t / 2), (20.0, t / 2), (0.0, t / 2)])).sideways

    assert sideways(1.0) / sideways(2.0) == pytest.approx(1 / 8)


def plate(length, height, thickness=1.0):
    outline = polyline(((0, 0), (length, 0), (length, height), (0, height)), closed=True)
    return Shape(name="plate", outline=outline, holes=(), thickness=thickness)


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_a_wedge_between_flats():
    """A prism of triangles, L h T / 2, its centre a third from the thick end. Solid geometry."""
    found = between_flats(plate(100, 10), lambda x: 4 - 4 * x / 100)
    assert found.volume == pytest.approx(100 * 10 * 4 / 2, rel=1e-6)
    assert found.centre == pytest.approx((100 / 3, 5, 0), rel=1e-4)


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_a_prismatoid_between_flats():
    """Prismatoid, L (A1 + 4 Am + A2) / 6, fact base's kind: rectangles 12 x 5 to 12 x 2 over 40."""
    found = between_flats(plate(40, 12), lambda x: 5 - 3 * x / 40)
    assert found.volume == pytest.approx(40 / 6 * (12 * 5 + 4 * 12 * 3.5 + 12 * 2), rel=1e-6)


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_a_plate_weighs_its_volume():
    """Fact base: 0.28 in3 of steel at 7.85 is 36.0187 g."""
    densities = Densities(steel=7.85, scales=1.0, fasteners=8.0, epoxy=1.1)
    weighed = masses(plate(2.8 * INCH, INCH), 0.1 * INCH, densities)
    assert weighed.blank_mass == pytest.approx(36.0187, abs=0.01)


@pytest.mark.own_working("geometry or statics, worked out for this project")
def test_balance_of_two_weights():
    """Statics, fact base: 120 g at +60 mm and 95 g at -55 mm balance 9.18605 mm ahead."""
    both = together((solid(120, 60, 0), solid(95, -55, 0)))
    assert both.centre[0] == pytest.approx(9.18605, abs=1e-4)
