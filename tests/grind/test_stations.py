"""Bevels along the blade: what is held stays, states lie inside each other, nothing is thicker than the bar."""

from math import sqrt, tan

import numpy as np
import pytest
import shapely
from hypothesis import Phase, assume, given, settings
from hypothesis import strategies as st

from tests.counts import tries
from tests.strategies import changes, made, numbers
from workbook.formats.family import family, family_ids
from workbook.formats.tables import facts
from workbook.geometry.path import Path, flatten
from workbook.grind.bench import heel
from workbook.grind.bevel import FlatBevel, Fourth
from workbook.grind.depth import depth, faces
from workbook.grind.field import height_field
from workbook.grind.section import section, thickness_at
from workbook.grind.stations import State, stations
from workbook.structs import replace
from workbook.template.checks import check
from workbook.template.model import Bevel, Held, Taper
from workbook.template.parameters import changed
from workbook.template.shape import shape
from workbook.template.tools import Tools, drills_for

TOOLS = Tools(drills=drills_for(facts().drills, "in"))
QUICK = settings(max_examples=tries(30, 240), phases=[Phase.explicit, Phase.generate])
HUNTER = "drop-point-hunter"


def blank_of(name, **values):
    template = family(name)
    for path, value in values.items():
        template = changed(template, path.replace("__", "."), value)
    return shape(template, TOOLS)


def at_heel(name, bar=None, **values):
    blank = blank_of(name, **values)
    return heel(blank, bar or blank.thickness)


@st.composite
def bevels(draw):
    thick = draw(numbers(1.0, 8.0))
    return FlatBevel(
        thickness=thick,
        edge=draw(numbers(0.0, 0.5 * thick)),
        height=draw(numbers(3.0, 80.0)),
        angle=0.0,
        faces=draw(st.sampled_from((1, 2))),
    ).completed(Fourth.ANGLE)


@given(bevels())
def test_the_angle_gives_back_the_height_and_every_other(bevel):
    for follows in Fourth:
        found = bevel.completed(follows)
        assert (found.thickness, found.edge, found.height, found.angle) == pytest.approx(
            (bevel.thickness, bevel.edge, bevel.height, bevel.angle), abs=1e-9
        )


@given(bevels())
def test_a_single_bevel_has_twice_the_slope_of_a_double_one(bevel):
    both, one = (replace(bevel, faces=n).completed(Fourth.ANGLE) for n in (2, 1))
    assert tan(one.angle) == pytest.approx(2 * tan(both.angle))


def test_a_single_bevel_is_one_face_of_the_double_with_twice_the_slope():
    """The thickness at every height is the same; all of it comes off one face."""
    both = blank_of(HUNTER, heel__plunge_radius=0.0)
    one = blank_of(HUNTER, heel__plunge_radius=0.0, grind__bevel=Bevel.SINGLE)
    up = np.linspace(0, 28, 40)
    for state in (State.BEFORE, State.FINISHED):
        thick = [thickness_at(b, b.thickness, 30.0, state, up) for b in (both, one)]
        assert thick[0] == pytest.approx(thick[1], abs=1e-9, nan_ok=True)
    assert at_heel(HUNTER, grind__bevel=Bevel.SINGLE).slope[0] == pytest.approx(2 * at_heel(HUNTER).slope[0])
    flat_side = section(one, one.thickness, 20.0, State.FINISHED).polygon
    assert flat_side[:, 1].min() == pytest.approx(-(one.thickness - 0.2) / 2)


def test_the_line_before_hardening_is_where_the_same_angle_meets_the_thicker_face():
    """Plane trigonometry: h0 = (T0 - e0) / 2 tan theta, on a blade high enough."""
    found = at_heel("camp-bowie")
    grind = family("camp-bowie").grind
    assert found.before.line[0] == pytest.approx((5.0 - grind.edge_before_hardening) / (2 * found.slope[0]), abs=0.6)
    exact = (found.before.thick[0] - grind.edge_before_hardening) / (2 * found.slope[0])
    assert found.before.line[0] == pytest.approx(exact)


def test_a_line_that_would_lie_over_the_spine_leaves_a_thinner_spine():
    """At the blade's height H the steel before hardening is e0 + 2 H tan theta."""
    blank = blank_of(HUNTER, grind__edge_before_hardening=0.3, grind__face_allowance=0.4)
    found = heel(blank, blank.thickness)
    assert found.before.line[0] == pytest.approx(28.0)
    there = thickness_at(blank, blank.thickness, blank.template.heel.ahead, State.BEFORE, np.array([28.0]))
    assert there[0] == pytest.approx(0.3 + 2 * 28.0 * found.slope[0], abs=1e-6)


def test_a_scandi_bevel_is_as_high_as_its_angle_makes_it():
    """Plane trigonometry: T / (2 tan 12.5)."""
    found = at_heel("bushcraft")
    assert found.finished.line[0] == pytest.approx(found.finished.thick[0] / (2 * tan(np.radians(12.5))))
    assert found.finished.edge[0] == 0


def test_a_scandi_bevel_keeps_its_angle_and_its_width_round_the_belly():
    """Its grind line lies as far from the edge's nearest place (shapely) as at the heel, wherever it is under the spine."""
    blank = blank_of("bushcraft")
    found = stations(blank.template, blank.curves, blank.thickness, np.linspace(15, 95, 30))
    assert np.degrees(np.arctan(found.true_slope)) == pytest.approx(np.full(30, 12.5))
    clear = found.finished.line < found.height - 1e-6
    edge = shapely.LineString(flatten(Path(blank.curves.edge, closed=False), 0.001))
    wide = shapely.distance(shapely.points(found.x, found.edge_y + found.finished.line), edge)[clear]
    assert wide == pytest.approx(np.full(len(wide), wide[0]), abs=5e-3)
    assert found.upright.min() < 0.95


def test_the_angle_of_a_slanting_edge_is_told_square_to_it():
    """tan(true) = tan(upright) / cos(phi): a kiridashi's 15 degrees across the axis are more square to its edge."""
    found = at_heel("kiridashi")
    (x0, y0), (x1, y1) = blank_of("kiridashi").curves.edge[0].start, blank_of("kiridashi").curves.edge[0].end
    phi = np.arctan2(y1 - y0, x1 - x0)
    assert found.true_slope[0] == pytest.approx(found.slope[0] / np.cos(phi), rel=1e-6)
    assert 19 < np.degrees(np.arctan(found.true_slope[0])) < 30


def test_the_hollow_is_the_wheels_arc_between_edge_and_line():
    """Half the thickness lies on a circle of the wheel's radius through (0, e/2) and (h, T/2), outside the blade."""
    blank = blank_of("skinner")
    t = blank.template
    found = heel(blank, 3.0)
    up = np.linspace(0, t.grind.height, 50)
    half = thickness_at(blank, 3.0, t.heel.ahead, State.FINISHED, up) / 2
    ends = np.array([(0.0, found.finished.edge[0] / 2), (t.grind.height, found.finished.thick[0] / 2)])
    chord = ends[1] - ends[0]
    radius = t.grind.wheel / 2
    reach = sqrt(radius**2 - chord @ chord / 4)
    middle = ends.mean(axis=0) + reach * np.array([-chord[1], chord[0]]) / sqrt(chord @ chord)
    assert np.hypot(up - middle[0], half - middle[1]) == pytest.approx(np.full(50, radius), abs=1e-6)


def test_a_wheel_as_large_as_can_be_grinds_flat():
    flat, hollow = at_heel("skinner", grind__bevel=Bevel.FLAT), at_heel("skinner", grind__wheel=1e7)
    assert hollow.before.line == pytest.approx(flat.before.line, abs=1e-3)


def test_a_convex_bevel_stands_out_of_the_flat_one_by_its_bulge():
    blank, flat = blank_of("meat-cleaver"), blank_of("meat-cleaver", grind__bevel=Bevel.FLAT)
    up = np.linspace(0, 74, 200)
    at = blank.template.heel.ahead
    out = [thickness_at(b, b.thickness, at, State.FINISHED, up) for b in (blank, flat)]
    assert ((out[0] - out[1]) / 2).max() == pytest.approx(blank.template.grind.bulge, abs=2e-3)


def test_held_along_the_blade():
    """With the height held the grind line keeps its distance from the edge, with the angle held the angle stays."""
    x = np.linspace(30, 110, 9)
    for held in Held:
        blank = blank_of("camp-bowie", grind__held=held)
        found = stations(blank.template, blank.curves, blank.thickness, x)
        assert (np.ptp(found.true_slope) < 1e-9) == (held is Held.ANGLE)
        assert (np.ptp(found.finished.line) < 1e-9) == (held is Held.HEIGHT)


def test_a_taper_ground_after_hardening_is_not_there_before():
    before, after = (section(blank_of("chefs", grind__taper=t), 2.8, 150.0, State.BEFORE) for t in (Taper.BEFORE, Taper.AFTER))
    assert after.spine > before.spine + 0.05
    finished = [section(blank_of("chefs", grind__taper=t), 2.8, 150.0, State.FINISHED).spine for t in Taper]
    assert finished[0] == pytest.approx(finished[1])


def test_a_swedge_leaves_its_thickness_at_the_spine_from_where_it_is_whole():
    blank = blank_of("camp-bowie", grind__swedge=80.0, grind__swedge_height=6.0, grind__swedge_spine=1.5)
    length = blank.template.blade.length
    at = length - 0.6 * 80
    there = section(blank, blank.thickness, at, State.FINISHED)
    assert there.spine == pytest.approx(1.5, abs=0.35)
    assert section(blank, blank.thickness, length - 81, State.FINISHED).spine > 4
    whole = length - 80 * 0.65
    assert section(blank, blank.thickness, whole, State.FINISHED).spine == pytest.approx(1.5, abs=1e-6)


def test_the_bevel_fades_into_the_plunge():
    """Behind the plunge the blade is as thick as its flats; ahead of it the depth grows and never shrinks."""
    blank = blank_of(HUNTER)
    foot = blank.template.heel.ahead
    y = np.array([blank.curves.heel[1] + 4.0])
    x = np.linspace(foot - 6, foot + 25, 200)
    field = height_field(blank, blank.thickness, State.FINISHED, x, y)
    thick = (field.right - field.left)[0]
    assert thick[x < foot - 4] == pytest.approx(blank.thickness - 0.2)
    assert (np.diff(thick[x < foot + 12]) <= 1e-9).all()
    assert thick[-1] < 1.5


@pytest.mark.parametrize(
    ("name", "values"),
    [
        ("camp-bowie", {"grind__edge_before_hardening": 0.5}),
        ("skinner", {"grind__edge_before_hardening": 0.25}),
        ("kiridashi", {"heel__plunge_radius": 40.0}),
        ("puukko-type", {"grind__face_allowance": 0.96, "heel__plunge_rake": 45.0}),
        ("drop-point-hunter", {}),
    ],
)
def test_the_finished_blade_lies_inside_the_one_before_beside_the_plunge_too(name, values):
    """Where the two plunges differ, the finished one takes at least what was ground before."""
    blank = blank_of(name, **values)
    x0, y0, _, y1 = blank.extent()
    x, y = np.linspace(x0, blank.template.heel.ahead + 30, 300), np.linspace(y0, y1, 120)
    before, finished = (height_field(blank, blank.thickness, s, x, y) for s in (State.BEFORE, State.FINISHED))
    assert (finished.right <= before.right + 1e-9).all()
    assert (finished.left >= before.left - 1e-9).all()


@given(changes(most=5), st.sampled_from((-0.15, 0.0, 0.12)), numbers(0.02, 0.99))
@QUICK
def test_finished_lies_inside_before_inside_as_cut_and_nothing_is_thicker_than_the_bar(moved, measured, share):
    blank = shape(made(moved), TOOLS)
    assume(not any(p.severity == "stop" for p in check(blank, TOOLS)))
    template = blank.template
    bar = blank.thickness * (1 + measured)
    x = np.array([template.heel.ahead + share * (template.blade.length - template.heel.ahead - 0.5)])
    at = stations(template, blank.curves, bar, x)
    up = np.linspace(0, float(at.height[0]), 60)[None, :]
    inner, outer = (faces(at.stage(s), depth(at, s, up, None)) for s in (State.FINISHED, State.BEFORE))
    assert (inner[0] >= outer[0] - 1e-6).all()
    assert (inner[1] <= outer[1] + 1e-6).all()
    assert (inner[1] - inner[0] >= 0).all()
    assert (outer[0] >= -bar / 2 - 1e-9).all()
    assert (outer[1] <= bar / 2 + 1e-9).all()


@pytest.mark.parametrize("name", family_ids())
def test_sections_of_the_three_states_lie_inside_each_other_at_the_plunge_too(name):
    blank = blank_of(name)
    for x in np.linspace(blank.template.heel.ahead - 2, blank.template.blade.length - 1, 12):
        cut, before, finished = (section(blank, blank.thickness, float(x), s, 1.5).polygon for s in State)
        assert cut[:, 0].min() <= before[:, 0].min() <= finished[:, 0].min() + 1e-9
        assert (np.abs(before[:, 1]) <= blank.thickness / 2 + 1e-9).all()
        y = np.linspace(before[:, 0].min() + 1e-6, before[:, 0].max() - 1e-6, 40)
        assert (widths(finished, y) <= widths(before, y) + 1e-6).all()


def widths(polygon, y):
    """Width of a section at heights."""
    turn = int(np.argmax(polygon[:, 0]))
    left, right = polygon[: turn + 1], polygon[turn + 1 :][::-1]
    if left[0, 0] > polygon[:, 0].min() + 1e-9:
        left = np.vstack((right[:1], left))
    elif right[0, 0] > polygon[:, 0].min() + 1e-9:
        right = np.vstack((left[:1], right))
    return np.interp(y, right[:, 0], right[:, 1]) - np.interp(y, left[:, 0], left[:, 1])


def test_a_heel_at_a_whole_number_is_no_whole_number_of_steel():
    """A place that is an int must not make arrays of ints of it."""
    whole, plain = (at_heel("kiridashi", heel__ahead=v) for v in (17, 17.0))
    assert whole.finished.thick[0] == plain.finished.thick[0] == pytest.approx(3.3)


def test_a_swedge_leaves_what_it_is_to_leave_all_along_where_the_blade_gets_thinner():
    blank = blank_of(
        HUNTER, grind__swedge=50.0, grind__swedge_height=6.0, grind__swedge_spine=0.6, blade__point_thickness=1.0,
        blade__taper_from=0.5,
    )  # fmt: skip
    whole = blank.template.blade.length - 50.0 * 0.65
    for x in np.linspace(whole, blank.template.blade.length - 14, 6):
        spine = section(blank, blank.thickness, float(x), State.FINISHED).spine
        assert spine == pytest.approx(0.6, abs=0.05)
