"""Bench settings and surfaces beside values worked out from what each means."""

from math import asin, atan, cos, degrees, hypot, radians, sin, tan

import numpy as np
import pytest
from ezdxf.math import ConstructionCircle
from scipy import constants
from shapely import affinity
from shapely.geometry import LineString, Point

from tests.grind.test_checks import found, only
from tests.grind.test_stations import blank_of
from workbook.geometry.path import polyline
from workbook.grind.bench import bench, stepped
from workbook.grind.depth import swedge_height
from workbook.grind.handle_mass import Densities
from workbook.grind.mass import masses
from workbook.grind.plunge import ahead_of, faded
from workbook.grind.section import section, thickness_at
from workbook.grind.stations import State, stations
from workbook.sheets.bench_words import change_words
from workbook.template.model import Bevel, Face
from workbook.template.tools import Owned


@pytest.mark.parametrize(
    ("asked", "step", "wanted"), [(3.3, 0.5, 3.5), (3.3, 1.0, 3.0), (0.2, 1.0, 1.0), (3.3, 0.0, 3.3), (17, 2, 16)]
)
def test_a_jig_is_set_to_its_nearest_step_and_never_to_nothing(asked, step, wanted):
    """17 lies between 16 and 18: Python rounds a half to the even number of steps."""
    assert degrees(stepped(radians(asked), step)) == pytest.approx(wanted)


def test_the_shim_under_the_spine_lifts_it_by_the_bevels_angle():
    """The middle of the blade as a line from its edge, turned about it: shapely."""
    made = bench(blank_of("petty"), 2.0, Owned(), ())
    spine = affinity.rotate(Point(made.blade_height, 0), degrees(made.angle), origin=(0, 0))
    assert made.gap == pytest.approx(spine.y)
    assert made.angle == pytest.approx(asin(made.gap / made.blade_height))


def test_a_taper_is_told_as_it_was_asked_for():
    blank = blank_of("petty")
    taper = bench(blank, blank.thickness, Owned(), ()).taper
    assert taper.begins == pytest.approx(0.15 * 139.7)
    assert (taper.finished, taper.before) == pytest.approx((1.2, 1.2 + 2 * 0.1))
    assert bench(blank_of("bushcraft"), 3.5, Owned(), ()).taper is None


def test_below_its_foot_a_leaning_plunge_goes_on_straight():
    """A plunge that leans back by 20 degrees, foot at (10, 5): its line drawn on, by shapely."""
    lean = tan(radians(20))
    path = polyline([(10.0, 5.0), (10.0 - 15 * lean, 20.0)])
    line = LineString([(10 + 20 * lean, -15), (10 - 15 * lean, 20)])
    for y in (-10.0, 0.0, 5.0, 12.0):
        met = line.intersection(LineString([(-99, y), (99, y)]))
        assert float(ahead_of(path, np.array([14.0]), np.array([y]))[0]) == pytest.approx(14 - met.x, abs=1e-6)


def test_a_plunge_runs_out_as_the_arc_of_the_belts_edge():
    """The rim of a circle of that radius, touching the bevel from outside and leaving the steel where the plunge is scribed."""
    radius, deep = 6.0, 1.3
    whole = (radius**2 - (radius - deep) ** 2) ** 0.5  # from the scribed line to where the rim touches the bevel
    rim = Point(whole, deep - radius).buffer(radius, quad_segs=20_000).exterior
    for ahead in (0.4, 1.5, 3.0, whole - 0.01):
        deepest = max(p.y for p in rim.intersection(LineString([(ahead, -99), (ahead, 99)])).geoms)
        assert float(faded(np.array([deep]), np.array([ahead]), radius)[0]) == pytest.approx(deepest, abs=1e-5)
    assert float(faded(np.array([deep]), np.array([whole + 1]), radius)[0]) == pytest.approx(deep)
    assert float(faded(np.array([deep]), np.array([-0.1]), radius)[0]) == 0


def test_a_swedge_begins_at_nothing_and_has_its_height_after_a_third_of_its_length():
    blank = blank_of("drop-point-hunter", grind__swedge=45.0, grind__height=17.0)
    begin, length = blank.template.blade.length - 45.0, 45.0
    x = np.array([begin - 2, begin, begin + 1, begin + 0.1 * length, begin + 0.2 * length, begin + 0.36 * length])
    high = swedge_height(stations(blank.template, blank.curves, blank.thickness, x))
    assert high[:2] == pytest.approx([0, 0])
    assert 0 < high[2] < 1
    assert (np.diff(high) >= 0).all()
    assert 1 < high[3] < high[4] < blank.template.grind.swedge_height
    assert high[5] == pytest.approx(blank.template.grind.swedge_height)


def test_a_settled_angle_changes_no_more_near_the_point():
    """Half an inch behind the point it is 12.7 mm; five millimetres from the point nothing of the change is left."""
    blank = blank_of("petty")
    end = blank.template.blade.length
    slope = stations(blank.template, blank.curves, blank.thickness, np.array([end - 12.7, end - 5, end - 3, end - 1])).slope
    assert slope[1:] == pytest.approx(np.full(3, slope[1]), rel=0.02)
    assert slope[3] < 1.5 * slope[0]


def test_a_card_gives_the_line_that_an_angle_set_in_steps_grinds():
    """Bevels at the angle set, through the edge wanted, up to the flats: plane trigonometry."""
    made = bench(blank_of("camp-bowie"), 5.0, Owned(angle_step=1.0), ())
    run = tan(made.set_angle)
    before, finished = made.lines_as_set
    assert before == pytest.approx((made.thickness_before - made.edge_before) / 2 / run)
    assert finished == pytest.approx((made.thickness_finished - made.edge_finished) / 2 / run)
    assert made.run_for_one == pytest.approx(1 / tan(made.angle))
    assert sin(made.set_angle) == pytest.approx(sin(radians(round(degrees(made.angle)))))


def test_a_single_bevel_before_hardening_leaves_the_edge_that_is_wanted():
    blank = blank_of("steak", grind__bevel=Bevel.SINGLE)
    at = stations(blank.template, blank.curves, blank.thickness, np.array([30.0, 60.0]))
    assert at.before.edge == pytest.approx(np.full(2, 0.5))
    assert at.finished.edge == pytest.approx(np.full(2, 0.2))
    assert at.stage(State.BEFORE) is at.before
    assert at.before.thick - at.finished.thick == pytest.approx(np.full(2, 0.16))


def test_a_hollow_is_told_as_its_wheel_cuts_it():
    """The circle through the edge's corner and the grind line's place, from outside: ezdxf's, of the wheel's radius."""
    blank = blank_of("skinner")
    made = bench(blank, blank.thickness, Owned(), ())
    line, half = made.line_finished / made.upright, (made.thickness_finished - made.edge_finished) / 2
    chord = hypot(line, half)
    assert made.hollow.wheel == 355.6
    assert made.hollow.middle == pytest.approx(line / 2)
    circle = ConstructionCircle.from_3p((0, 0), (chord / 2, made.hollow.deep), (chord, 0))
    assert circle.radius == pytest.approx(355.6 / 2, rel=1e-6)
    assert bench(blank_of("petty"), 2.0, Owned(), ()).hollow is None


def test_what_is_wrong_at_the_heel_is_shown_there():
    thin = only(found(blank_of("petty", grind__edge_before_hardening=0.4), quench="oil"), "thin for a quench")
    heel = blank_of("petty").curves.heel
    assert thin.at == pytest.approx(heel, abs=0.05)
    assert (thin.is_, thin.wanted > 0.4) == (pytest.approx(0.4), True)


def test_a_bevel_that_runs_over_the_spine_is_told_by_how_much():
    """A hunter of 28 mm, asked for 27.5 mm: before hardening the same plane meets the flats 0.2 mm further apart, but leaves an
    edge 0.5 mm thicker, so the finished one is the higher; at 28 mm it just reaches the spine."""
    over = only(found(blank_of("drop-point-hunter", grind__height=28.0)), "past the spine")
    blank = blank_of("drop-point-hunter")
    assert over.wanted == pytest.approx(28.0, abs=0.01)
    assert over.is_ == pytest.approx(28.0, abs=0.01)
    assert over.at == pytest.approx((blank.curves.heel[0], blank.curves.heel[1] + 28.0), abs=0.05)
    assert not any("past the spine" in what for what in found(blank_of("drop-point-hunter", grind__height=27.5)))


def test_a_bulge_too_large_is_drawn_with_the_most_that_the_flats_allow():
    """At the grind line the arc's tangent would lie along the flat: its middle straight below that line, by ezdxf."""
    blank = blank_of("meat-cleaver", grind__bulge=3.0)
    at = stations(blank.template, blank.curves, blank.thickness, np.array([40.0, 90.0]))
    for i in range(2):
        line, deep = float(at.finished.line[i]), float(at.deep[i])
        chord, theta = hypot(line, deep), atan(deep / line)
        most = chord / 2 * tan(theta / 2)
        middle = ConstructionCircle.from_3p((0, 0), (chord / 2, 0.98 * most), (chord, 0))
        assert float(at.arcs.radius[i]) == pytest.approx(middle.radius, rel=1e-3)
    up = np.linspace(0.5, 70, 40)
    thick = thickness_at(blank, blank.thickness, 60.0, State.FINISHED, up)
    assert (np.diff(thick) >= -1e-9).all()
    assert thick.max() <= blank.thickness - 0.2 + 1e-9


@pytest.mark.parametrize(
    ("name", "changes", "faces"),
    [("petty", {}, {-1, 1}), ("kiridashi", {}, {1}), ("kiridashi", {"grind__face": Face.LEFT}, {-1})],
)
def test_a_section_names_the_faces_that_are_ground(name, changes, faces):
    """On a ground face the steel recedes towards the edge: the sides of the section's own corners say the same."""
    blank = blank_of(name, **changes)
    found_ = section(blank, blank.thickness, 30.0, State.FINISHED, plunge=False)
    low = found_.polygon[found_.polygon[:, 0] < found_.polygon[:, 0].min() + 1.0]
    half = blank.thickness / 2 - blank.template.grind.face_allowance
    recedes = {side for side in (-1, 1) if abs((side * low[:, 1]).max() - half) > 0.1}
    assert set(found_.ground) == faces == recedes


def test_the_place_of_an_edge_angle_out_of_range_is_the_edge_at_the_heel():
    blank = blank_of("petty", grind__edge_angle=25.0)
    assert only(found(blank), "edge angle is high").at == pytest.approx(blank.curves.heel, abs=0.05)


def test_a_change_of_mass_is_told_in_grams_or_ounces():
    """10 g are 10 / 28.349523125 = 0.35 oz: NIST SP 811, appendix B."""
    assert change_words(-10.0, "mm") == "-10.0 g"
    assert change_words(10.0, "in") == "+0.35 oz"


def test_the_moment_of_a_knife_is_its_weight_at_its_balance():
    """g of scipy.constants, m/s2; grams and millimetres make thousandths of a newton millimetre."""
    blank = blank_of("petty")
    weighed = masses(blank, blank.thickness, Densities(steel=7.85, scales=1.35, fasteners=8.5, epoxy=1.15))
    assert 40 < weighed.knife_mass < 200
    assert weighed.moment == pytest.approx(weighed.knife_mass * 1e-3 * constants.g * weighed.balance[0])
    assert abs(weighed.moment) < 200


@pytest.mark.parametrize("name", ["petty", "skinner", "meat-cleaver"])
def test_the_line_rises_as_fast_as_the_surface_falls_where_calipers_find_it(name):
    """Flat, hollow and convex, before hardening: a tenth of a millimetre off the edge takes a twentieth off each face, and the
    line rises by how far up the face that lies. The face a hair under the line, read by calipers."""
    blank = blank_of(name)
    x = blank.template.heel.ahead + 12.0
    at = stations(blank.template, blank.curves, blank.thickness, np.array([x]))
    upright = float(at.upright[0])
    up = np.linspace(0.2, 0.999, 4000) * float(at.before.line[0])
    thick = thickness_at(blank, blank.thickness, x, State.BEFORE, up)
    there = float(np.interp(float(at.before.thick[0]) - 0.1, thick, up))  # both faces are a twentieth under the flats here
    assert float(at.creep[0]) == pytest.approx((float(at.before.line[0]) - there) * upright / 0.1, rel=0.02)


def test_a_swedge_is_told_as_it_was_asked_for():
    asked = {"grind__swedge": 45.0, "grind__swedge_height": 3.5, "grind__swedge_spine": 1.1}
    assert bench(blank_of("drop-point-hunter", **asked), 4.0, Owned(), ()).swedge == (45.0, 3.5, 1.1)
    assert bench(blank_of("drop-point-hunter"), 4.0, Owned(), ()).swedge is None


@pytest.mark.parametrize("angle", [12.0, 20.0])
def test_a_millimetre_off_a_facet_lowers_the_edge_to_where_the_facet_moved_by_it_meets_the_middle(angle):
    """The facet as a line from the edge up, moved in square to itself by 1 mm: shapely's parallel line."""
    made = bench(blank_of("petty", grind__edge_angle=angle), 2.0, Owned(), ())
    facet = LineString([(0, 0), (100 * sin(radians(angle)), 100 * cos(radians(angle)))])
    moved = facet.parallel_offset(1.0, "left")
    met = moved.intersection(LineString([(0, 0), (0, 99)]))
    assert made.sharpening == pytest.approx(met.y, rel=1e-6)


def test_a_rest_beside_a_round_stone_is_told_for_what_is_owned_only():
    """Drawn in coordinates: a stone of 200 mm about (0, 0), the edge on it at (0, 100) where its tangent is level; from there
    the blade rises outwards by 15 degrees and lies, 100 mm on, on a bar 20 mm thick."""
    blank = blank_of("petty", grind__edge_angle=15.0)
    assert bench(blank, 2.0, Owned(stone=200.0, projection=0.0), ()).rests == (None, None)
    plain, in_jig = bench(blank, 2.0, Owned(stone=200.0, projection=100.0, rest=20.0), ()).rests
    sharp = radians(15.0)
    lies = (100 * cos(sharp), 100 + 100 * sin(sharp))
    assert plain == pytest.approx(hypot(lies[0] + 10 * sin(sharp), lies[1] - 10 * cos(sharp)))
    assert in_jig is None
