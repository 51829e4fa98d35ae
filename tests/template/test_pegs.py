"""Every peg of every family: it goes where it is put, to the increment, within its range, and moves nothing else."""

import itertools
from math import hypot

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from workbook.formats.family import family, family_ids
from workbook.formats.tables import facts
from workbook.geometry.path import flatten, tangents
from workbook.grind.lines import grind_lines
from workbook.structs import replace
from workbook.template.checks import check
from workbook.template.handle import middle
from workbook.template.model import HoleWish, Purpose
from workbook.template.parameters import changed
from workbook.template.peg_moves import moved, nudged
from workbook.template.pegs import STATIONS, Pull, pegs
from workbook.template.resizing import differences
from workbook.template.shape import shape
from workbook.template.tools import Tools, drills_for
from workbook.units import INCH

TOOLS = Tools(drills=drills_for(facts().drills, "in"))
STEP = INCH / 64


def blank_of(name):
    return shape(family(name), TOOLS)


def peg(blank, name):
    return next(p for p in pegs(blank) if p.name == name)


@pytest.mark.parametrize("name", family_ids())
def test_every_family_has_its_pegs_on_its_outline_and_they_go_where_they_are_put(name):
    blank = blank_of(name)
    names = [p.name for p in pegs(blank)]
    assert len(names) == len(set(names))
    assert {"point", "spine", "heel", "front", "palm", "butt"} <= set(names)
    for own in pegs(blank):
        for dx, dy in ((-2.0, 0.0), (2.0, 1.0), (0.0, -1.5)):
            to = (own.at[0] + dx, own.at[1] + dy)
            found = moved(blank, own.name, to, 0.05)
            free = _free(own)
            if not (dx * free[0] or dy * free[1]) or found.stopped or not own.sets:
                continue
            after = shape(found.template, TOOLS)
            now = peg(after, own.name)
            if own.name == "front":  # measured from the spine, which stays
                down = found.template.handle.front - blank.template.handle.front
                assert down == pytest.approx(-dy, abs=0.06)
                continue
            stray = hypot((now.at[0] - to[0]) * free[0], (now.at[1] - to[1]) * free[1])
            assert stray < 0.35, (own.name, dx, dy, now.at, to)


def _free(own):
    """Along which axes a peg moves."""
    across = {"front", "butt height", "tang width", "bevel", "back"}
    along = {"spine", "ricasso", "choil", "notch", "tang end", "plunge"}
    return (0 if own.name in across else 1, 0 if own.name in along else 1)


# What each peg may set: at most two measures. Besides: what is drawn from them and so goes along.
PEGS = {
    "point": (("blade.length", "point.drop"), {"spine curve", "belly curve", "bevel", "plunge", "spine", "belly"}),
    "spine": (("blade.spine_straight",), {"spine curve", "bevel"}),
    "belly": (("blade.edge_straight", "blade.edge_rise"), {"belly curve", "bevel", "plunge"}),
    "bevel": (("grind.height",), {"plunge"}),
    "spine curve": (("point.spine_fullness", "point.spine_lean"), {"bevel"}),
    "belly curve": (("point.edge_fullness", "point.edge_lean"), {"bevel"}),
    "heel": (("heel.ahead", "blade.height"), {"belly", "belly curve", "bevel", "plunge", "notch", "choil", "ricasso"}),
    "plunge": (("heel.plunge_radius",), set()),
    "ricasso": (("heel.ricasso",), {"notch", "choil"}),
    "choil": (("heel.choil",), set()),
    "notch": (("heel.notch",), set()),
    "front": (("handle.front",), {"tang end", "tang width"}),
    "back": (("handle.crown",), {"butt"}),  # its rounding goes on from the back
    "waist": (("handle.waist_at", "handle.waist"), set()),
    "palm": (("handle.palm_at", "handle.palm"), set()),
    "neck": (("handle.neck_at", "handle.neck"), set()),
    "butt height": (("handle.butt",), {"butt", "neck", "palm", "waist", "back"}),  # the back ends where the rounding begins
    "butt": (("handle.length", "handle.drop"), {"back", "waist", "palm", "neck", "butt height"}),
    "tang end": (("tang.length",), set()),
    "tang width": (("tang.width",), set()),
}
# Measures that change so that a place stays: what is a share of a length, the thickness between a back that moves and an
# underside that does not.
SO_THAT_IT_STAYS = {
    "point": {"blade.spine_straight", "blade.edge_straight"},
    "heel": {"point.drop", "blade.edge_rise"},
    "back": {"handle.waist", "handle.palm", "handle.neck"},
}


@given(name=st.sampled_from(family_ids()), which=st.sampled_from(sorted(PEGS)), dx=st.floats(-4, 4), dy=st.floats(-3, 3))
def test_a_peg_moves_what_its_name_says_and_nothing_else(name, which, dx, dy):
    blank = blank_of(name)
    before = {own.name: own for own in pegs(blank)}
    assume(which in before)
    measures, along = PEGS[which]
    result = moved(blank, which, (before[which].at[0] + dx, before[which].at[1] + dy), 0.05)
    changes = {p.path for p, _was, _now in differences(blank.template, result.template)}
    assert len(measures) <= 2 and set(before[which].sets) == set(measures)
    assert changes <= {*measures, *SO_THAT_IT_STAYS.get(which, ())}
    shift = (result.template.handle.front - blank.template.handle.front) / 2  # the axis goes with the handle's front
    for own in pegs(shape(result.template, TOOLS)):
        if own.sets and own.name in before and own.name != which and own.name not in along:
            stray = hypot(own.at[0] - before[own.name].at[0], own.at[1] - shift - before[own.name].at[1])
            assert stray < 0.1, (own.name, own.at, before[own.name].at)


@pytest.mark.parametrize("station", STATIONS)
def test_a_raised_handle_stays_as_thick_and_one_that_is_moved_along_keeps_its_heights(station):
    blank = blank_of("drop-point-hunter")
    at = peg(blank, station).at
    up = moved(blank, station, (at[0] + 1.0, at[1] + 0.4), 0.001, pull=Pull.RAISE).template
    assert [getattr(up.handle, key) for key in STATIONS] == [getattr(blank.template.handle, key) for key in STATIONS]
    assert peg(shape(up, TOOLS), station).at == pytest.approx((at[0], at[1] + 0.4), abs=0.1)  # both sides are higher
    along = moved(blank, station, (at[0] + 2.0, at[1] + 1.5), 0.01, pull=Pull.MOVE).template
    assert getattr(along.handle, station) == getattr(blank.template.handle, station)
    assert peg(shape(along, TOOLS), station).at[0] == pytest.approx(at[0] + 2.0, abs=0.02)


def test_a_back_that_is_pulled_thickens_the_handle_and_raised_it_takes_the_underside_along():
    blank = blank_of("drop-point-hunter")
    at, palm = peg(blank, "back").at, peg(blank, "palm").at
    thick = shape(moved(blank, "back", (at[0], at[1] + 1.0), 0.01).template, TOOLS)
    assert peg(thick, "palm").at == pytest.approx(palm)
    assert thick.template.handle.palm > blank.template.handle.palm + 0.5
    up = shape(moved(blank, "back", (at[0], at[1] + 1.0), 0.01, pull=Pull.RAISE).template, TOOLS)
    assert up.template.handle.palm == blank.template.handle.palm
    assert peg(up, "palm").at[1] > palm[1] + 0.5


@given(name=st.sampled_from(family_ids()), which=st.integers(0, 40), dx=st.floats(-300, 300), dy=st.floats(-80, 80))
def test_no_move_makes_a_template_that_is_out_of_range(name, which, dx, dy):
    blank = blank_of(name)
    own = pegs(blank)[which % len(pegs(blank))]
    found = moved(blank, own.name, (own.at[0] + dx, own.at[1] + dy), STEP)
    after = shape(found.template, TOOLS)
    assert not [p for p in check(after, TOOLS) if "range" in p.what]
    assert found.said or found.stopped


@pytest.mark.parametrize("rake", [0.0, 20.0, 30.0])
def test_the_plunges_peg_put_where_it_is_changes_nothing_on_a_slanting_edge(rake):
    """A kiridashi's edge rises; a quarter of the height is more than the 2 mm asked for."""
    template = changed(changed(family("kiridashi"), "heel.plunge_radius", 2.0), "heel.plunge_rake", rake)
    blank = shape(template, TOOLS)
    own = peg(blank, "plunge")
    found = moved(blank, "plunge", own.at, 0.01)
    assert found.template.heel.plunge_radius == pytest.approx(2.0, abs=0.011)


def test_the_plunges_peg_stands_where_the_grind_line_is_drawn_to():
    """The end of the finished line as it is drawn, on the shipped kiridashi, whose edge rises."""
    blank = blank_of("kiridashi")
    x, y = peg(blank, "plunge").at
    drawn = flatten(grind_lines(blank, blank.thickness).finished)
    assert np.hypot(drawn[:, 0] - x, drawn[:, 1] - y).min() < 0.05


def test_numbers_come_to_the_increment():
    blank = blank_of("petty")
    tip = peg(blank, "point").at
    found = moved(blank, "point", (tip[0] + 3.3, tip[1]), STEP)
    assert found.template.blade.length / STEP == pytest.approx(round(found.template.blade.length / STEP))
    assert found.said[0] == ("Blade length", pytest.approx(found.template.blade.length), True, "blade.length")
    start = peg(blank, "belly").at
    begin = moved(blank, "belly", (start[0] + 1.1, start[1]), STEP).template
    at = begin.blade.edge_straight * begin.blade.length
    assert at / STEP == pytest.approx(round(at / STEP))


@pytest.mark.parametrize("name", ["petty", "chefs", "drop-point-hunter", "skinner"])
def test_a_curve_is_pulled_by_its_middle_stays_smooth_and_keeps_its_form_when_the_blade_grows(name):
    blank = blank_of(name)
    for which in ("spine curve", "belly curve"):
        own = peg(blank, which)
        to = (own.at[0] + 1.0, own.at[1] - 0.4)
        found = moved(blank, which, to, STEP)
        after = shape(found.template, TOOLS)
        if not found.stopped:
            now = peg(after, which).at
            assert hypot(now[0] - to[0], now[1] - to[1]) < 0.6
        assert (after.template.blade, after.curves.point) == (blank.template.blade, blank.curves.point)
        joints = [(tangents(a)[1], tangents(b)[0]) for a, b in itertools.pairwise(after.curves.edge)]
        assert all(abs(a - b) < 1e-6 for a, b in joints)
        longer = changed(found.template, "blade.length", 1.1 * found.template.blade.length)
        assert (longer.point.spine_lean, longer.point.edge_lean) == (
            found.template.point.spine_lean,
            found.template.point.edge_lean,
        )


def test_the_point_stays_when_the_heel_is_moved():
    blank = blank_of("petty")
    heel, tip = peg(blank, "heel").at, peg(blank, "point").at
    after = shape(moved(blank, "heel", (heel[0], heel[1] - 6), STEP).template, TOOLS)
    assert peg(after, "point").at == pytest.approx(tip)
    assert peg(after, "heel").at[1] == pytest.approx(heel[1] - 6, abs=STEP)


def test_spine_and_belly_begin_to_turn_where_they_did_when_the_point_is_moved():
    blank = blank_of("petty")
    tip = peg(blank, "point").at
    before = blank.template.blade
    after = moved(blank, "point", (tip[0] + 20.0, tip[1]), STEP).template.blade
    assert after.length == pytest.approx(before.length + 20.0, abs=STEP)
    assert after.edge_straight * after.length == pytest.approx(before.edge_straight * before.length)
    assert after.spine_straight * after.length == pytest.approx(before.spine_straight * before.length)
    kiridashi = blank_of("kiridashi")
    short = moved(kiridashi, "point", (peg(kiridashi, "point").at[0] - 6.0, peg(kiridashi, "point").at[1]), STEP)
    assert short.template.blade.length < kiridashi.template.blade.length - 5


def test_a_peg_stops_where_its_range_ends_and_says_so():
    blank = blank_of("petty")
    far = moved(blank, "heel", (500.0, 0.0), STEP)
    assert far.stopped
    assert far.template == blank.template or far.template.heel.ahead <= 0.5 * blank.template.blade.length
    low = moved(blank, "front", (0.0, -500.0), STEP)
    assert low.stopped == "Height at front: limit reached" or "room" in low.stopped


def test_a_bevel_dragged_to_the_spine_is_full():
    blank = blank_of("petty")
    own = peg(blank, "bevel")
    part = moved(blank, "bevel", (own.at[0], own.at[1] - 8), STEP).template
    assert part.grind.height is not None
    again = shape(part, TOOLS)
    assert moved(again, "bevel", (own.at[0], own.at[1] + 20), STEP).template.grind.height is None


def test_a_hole_snaps_to_the_middle_line_and_between_its_neighbours():
    blank = blank_of("petty")
    first, second, third = blank.holes[:3]
    halfway = (first.centre[0] + third.centre[0]) / 2
    found = moved(blank, second.mark, (halfway + 1.0, second.centre[1] + 0.8), STEP).template
    hole = shape(found, TOOLS).holes[1]
    assert hole.centre[0] == pytest.approx(halfway)
    lines = (0.0, middle(found.handle, halfway))
    assert min(abs(hole.centre[1] - line) for line in lines) < 1e-6
    away = moved(blank, second.mark, (halfway + 5.0, second.centre[1] + 3.0), STEP).template.holes[1]
    assert away.x / STEP == pytest.approx(round(away.x / STEP))
    assert moved(blank, first.mark, (40.0, 0.0), STEP).template.holes[0].x < 0


def test_there_is_no_peg_of_another_name():
    with pytest.raises(KeyError):
        moved(blank_of("petty"), "bolster", (0.0, 0.0), STEP)


def test_a_hole_that_is_nudged_up_stays_where_it_is_along():
    template = family("petty")
    for x in (0.0, -0.2, 5.0):
        wishes = (HoleWish(purpose=Purpose.PIN, size=3.0, x=x, y=1.0),)
        blank = shape(replace(template, holes=wishes), TOOLS)
        after = nudged(blank, "P1", 0, 1, STEP).template.holes[0]
        assert (after.x, after.y) == (x, pytest.approx(1.0 + STEP, abs=STEP))
