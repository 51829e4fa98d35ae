"""Free points: a curve pulled at a place passes there, stays smooth, keeps its ends and what the parameters say."""

from itertools import pairwise
from math import cos, hypot

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString

from tests.counts import some, tries
from tests.strategies import free_points
from workbook.formats.family import family, family_ids
from workbook.formats.tables import facts
from workbook.geometry.path import (
    Arc,
    Bezier,
    Path,
    arc_beziers,
    as_bezier,
    bezier_points,
    flatten,
    segment_length,
    segment_points,
    tangents,
)
from workbook.structs import replace
from workbook.template.blade import height_at
from workbook.template.free import BACKWARDS, nearest, places, pulled, split
from workbook.template.free_edits import (
    TooManyError,
    free_moved,
    run_near,
    scaled_free,
    with_free,
    with_free_at,
    with_free_points,
    without_free,
)
from workbook.template.model import MOST, FreePoint, OutlineRun
from workbook.template.parameters import changed
from workbook.template.peg_moves import moved, nudged
from workbook.template.pegs import free_names, free_of, pegs, runs
from workbook.template.resizing import ScaledPart, Taken, scaled, with_part
from workbook.template.shape import shape
from workbook.template.tools import Tools, drills_for

TOOLS = Tools(drills=drills_for(facts().drills, "in"))
POINTS = free_points(along=15.0, up=4.0)


def blank_of(name, *points):
    return shape(with_free_points(family(name), points), TOOLS)


@given(ends=st.lists(st.tuples(st.floats(-50, 50), st.floats(-50, 50)), min_size=4, max_size=4), t=st.floats(0.01, 0.99))
def test_a_curve_in_two_is_the_same_curve(ends, t):
    curve = Bezier(*ends)
    first, last = split(curve, t)
    u = np.linspace(0, 1, 7)
    assert bezier_points(first, u) == pytest.approx(bezier_points(curve, u * t), abs=1e-9)
    assert bezier_points(last, u) == pytest.approx(bezier_points(curve, t + u * (1 - t)), abs=1e-9)


@pytest.mark.parametrize("bulge", [0.05, -0.2, 0.41])
def test_an_arc_as_one_curve_lies_beside_it_and_keeps_its_directions(bulge):
    arc = Arc((0.0, 0.0), (80.0, 10.0), bulge)
    made = as_bezier(arc)
    assert tangents(made) == pytest.approx(tangents(arc))
    fine = [p for own in arc_beziers(arc) for p in segment_points(own, 1e-4)]
    radius = hypot(80, 10) * (1 + bulge**2) / (4 * abs(bulge))
    assert LineString(fine).hausdorff_distance(LineString(segment_points(made, 1e-4))) < max(3e-4 * radius, 0.05)


@pytest.mark.parametrize("name", some(family_ids(), 8))
def test_a_point_that_is_not_pulled_changes_nothing(name):
    bare = shape(family(name), TOOLS)
    for run in OutlineRun:
        own = blank_of(name, *(FreePoint(run=run, at=at) for at in (0.2, 0.5, 0.5, 0.8)))
        stray = LineString(flatten(own.outline, 0.001)).hausdorff_distance(LineString(flatten(bare.outline, 0.001)))
        assert stray < (0.03 if any(isinstance(s, Arc) for s in runs(bare)[run]) else 0.005), run


@pytest.mark.parametrize("name", some(family_ids(), 8))
def test_a_pulled_curve_goes_through_its_place_and_stays_smooth(name):
    for run in OutlineRun:
        point = FreePoint(run=run, at=0.4, x=0.1, y=0.2)
        own = blank_of(name, point)
        (lies,) = places(runs(own)[run], free_of(own.template), run).values()
        assert lies.now[1] - lies.bare[1] == pytest.approx(0.2)
        if own.grip is None or run in (OutlineRun.SPINE, OutlineRun.EDGE):
            ends = {segment.end for segment in own.outline.segments}
            assert lies.now in ends
        made = pulled(runs(own)[run], (point,), run)
        was = runs(own)[run]
        assert tangents(made[0])[0] == pytest.approx(tangents(was[0])[0], abs=1e-6)
        assert tangents(made[-1])[1] == pytest.approx(tangents(was[-1])[1], abs=1e-6)
        for before, after in pairwise(made):
            if before.end == lies.now:
                assert cos(tangents(before)[1] - tangents(after)[0]) == pytest.approx(1.0, abs=1e-9)


@settings(max_examples=tries(75, 600), deadline=None)
@given(name=st.sampled_from(family_ids()), points=st.lists(POINTS, max_size=6))
def test_whatever_is_pulled_the_knife_is_as_long_as_it_says_and_spine_and_edge_run_on(name, points):
    own = blank_of(name, *points)
    t = own.template
    assert own.curves.point[0] == t.blade.length
    for segments, towards in ((own.curves.spine, -1), (own.curves.edge, 1)):
        x = flatten(Path(segments, closed=False), 0.001)[:, 0] * towards
        assert (np.diff(x) > -1e-6).all()
    assert own.curves.heel[1] == pytest.approx(height_at(own.curves.spine, own.curves.heel[0]) - t.blade.height, abs=1e-6)
    if own.grip is None:
        assert own.extent()[0] == pytest.approx(-t.handle.length, abs=0.01)
    else:
        assert flatten(own.grip, 0.001)[:, 0].min() == pytest.approx(-t.handle.length, abs=0.01)
    for segment, after in pairwise(own.outline.segments):
        assert segment.end == after.start


@settings(max_examples=tries(50, 400), deadline=None)
@given(name=st.sampled_from(family_ids()), run=st.sampled_from(OutlineRun), at=st.floats(0.05, 0.95))
def test_a_place_of_a_curve_is_found_again_by_its_share(name, run, at):
    own = blank_of(name)
    point = FreePoint(run=run, at=at)
    segments = runs(own)[run]
    place = places(segments, (point,), run)[point].now
    share, off = nearest(segments, (), run, place)
    assert off < 0.02
    again = places(segments, (FreePoint(run=run, at=share),), run)
    assert hypot(*(np.array(next(iter(again.values())).now) - place)) < 0.05


def test_shares_count_from_the_handle_front():
    own = blank_of("petty")
    for run in (OutlineRun.SPINE, OutlineRun.EDGE, OutlineRun.BACK, OutlineRun.UNDERSIDE):
        near, far = FreePoint(run=run, at=0.1), FreePoint(run=run, at=0.9)
        found = places(runs(own)[run], (near, far), run)
        assert abs(found[near].now[0]) < abs(found[far].now[0]), run
    assert set(BACKWARDS) == {OutlineRun.SPINE, OutlineRun.UNDERSIDE}


def test_a_point_is_added_where_a_curve_is_touched_moved_and_taken_out():
    own = blank_of("skinner")
    place = places(runs(own)[OutlineRun.BACK], (FreePoint(run=OutlineRun.BACK, at=0.5),), OutlineRun.BACK)
    at = next(iter(place.values())).now
    run, share, off = run_near(own, (at[0], at[1] + 0.4))
    assert run is OutlineRun.BACK and share == pytest.approx(0.5, abs=0.02) and off == pytest.approx(0.4, abs=0.05)
    added = shape(with_free_at(own, run, share)[0], TOOLS)
    peg = next(p for p in pegs(added) if p.name == free_names(added.template)[0])
    found = moved(added, peg.name, (peg.at[0] + 2.0, peg.at[1] + 1.0), 0.5)
    assert (free_of(found.template)[0].x, free_of(found.template)[0].y) == (2.0, 1.0)
    assert not found.stopped and [s.value for s in found.said] == [2.0, 1.0]
    up = nudged(shape(found.template, TOOLS), peg.name, 0, -1, 0.5)
    assert (free_of(up.template)[0].x, free_of(up.template)[0].y) == (2.0, 0.5)
    assert without_free(found.template, 0) == own.template


def test_a_point_stops_where_its_curve_would_turn_back():
    own = blank_of("petty", FreePoint(run=OutlineRun.SPINE, at=0.7))
    made, (x, _), all_the_way = free_moved(own, 0, (own.template.blade.length + 40, 0.0), 0.5)
    assert not all_the_way and x < 40
    assert shape(made, TOOLS).curves.point[0] == own.template.blade.length
    peg = next(p for p in pegs(shape(made, TOOLS)) if p.name == free_names(own.template)[0])
    assert moved(own, peg.name, (400.0, 0.0), 0.5).stopped


def test_points_go_where_there_is_most_room_and_not_without_end():
    own = blank_of("petty")
    for _ in range(3):
        own = shape(with_free(own, OutlineRun.EDGE)[0], TOOLS)
    assert sorted(point.at for point in free_of(own.template)) == [0.25, 0.5, 0.75]
    full = blank_of("petty", *(FreePoint(run=OutlineRun.BACK, at=i / 50) for i in range(1, MOST + 1)))
    with pytest.raises(TooManyError, match="at most"):
        with_free(full, OutlineRun.BACK)
    assert with_free(full, OutlineRun.EDGE)  # the blade has its own


def test_points_stay_when_numbers_change_and_follow_their_part():
    point, other = FreePoint(run=OutlineRun.SPINE, at=0.5, x=1.0, y=2.0), FreePoint(run=OutlineRun.BUTT, at=0.3, y=-1.0)
    template = with_free_points(family("petty"), (point, other))
    longer = changed(template, "blade.length", template.blade.length + 20)
    assert free_of(longer) == (point, other)
    twice = scaled(template, ScaledPart.BLADE, template.blade.length * 1.1)
    assert twice.blade.free[0].x == pytest.approx(1.1) and twice.blade.free[0].y == pytest.approx(2.2)
    assert twice.handle.free == (other,)
    flat = scaled(template, ScaledPart.WHOLE, (template.blade.length + template.handle.length) * 1.1, heights=False)
    assert flat.blade.free[0].y == 2.0 and flat.handle.free[0].x == 0.0
    taken = with_part(family("slicer"), template, Taken.HANDLE)
    assert free_of(taken) == (other,)
    assert scaled_free((point,), 2.0, 3.0) == (replace(point, x=2.0, y=6.0),)


@pytest.mark.parametrize("name", some(family_ids(), 8))
def test_a_peg_put_where_it_is_changes_nothing_beside_free_points(name):
    own = blank_of(name, *(FreePoint(run=run, at=at, y=1.0) for run in OutlineRun for at in (0.25, 0.6)))
    for peg in pegs(own):
        if not peg.sets:
            continue
        found = moved(own, peg.name, peg.at, 1e-4)
        was, now = (flatten(shape(t, TOOLS).outline, 0.01) for t in (own.template, found.template))
        assert LineString(was).hausdorff_distance(LineString(now)) < 0.15, peg.name


@pytest.mark.parametrize("run", list(OutlineRun))
def test_a_point_added_to_a_pulled_curve_leaves_it_where_it_is(run):
    own = blank_of("drop-point-hunter", FreePoint(run=run, at=0.4, y=3.0))
    made, index = with_free_at(own, run, 0.5)
    assert free_of(made)[index].run is run
    was, now = (flatten(t.outline, 0.01) for t in (own, shape(made, TOOLS)))
    assert LineString(was).hausdorff_distance(LineString(now)) < 1.2  # of a pull of 3 mm
    again, there = with_free_at(shape(made, TOOLS), run, 0.5)
    assert (again, there) == (made, index)  # it is there already


@settings(max_examples=tries(75, 600), deadline=None)
@given(name=st.sampled_from(family_ids()), run=st.sampled_from(OutlineRun), at=st.floats(0, 1), y=st.floats(-60, 60))
def test_no_pull_makes_a_cliff(name, run, at, y):
    """A place is pulled by no more than a quarter of the curve's length between it and the nearer end of its segment."""
    point = FreePoint(run=run, at=at, y=y)
    bare = runs(blank_of(name))[run]
    (lies,) = places(bare, (point,), run).values()
    cut = pulled(bare, (replace(point, y=0.0),), run)
    beside = [segment_length(s) for s in cut if lies.bare == pytest.approx(s.start) or lies.bare == pytest.approx(s.end)]
    assert len(beside) == 2
    assert abs(lies.now[1] - lies.bare[1]) <= 0.25 * min(beside) + 0.01
    assert abs(lies.now[1] - lies.bare[1]) == pytest.approx(min(abs(y), 0.25 * min(beside)), abs=0.01)


def test_a_record_with_free_points_in_the_wrong_part_or_without_end_is_none():
    with pytest.raises(ValueError, match="wrong part"):
        replace(family("petty").blade, free=(FreePoint(run=OutlineRun.BUTT, at=0.5),))
    with pytest.raises(ValueError, match="at most"):
        replace(family("petty").handle, free=tuple(FreePoint(run=OutlineRun.BACK, at=i / 50) for i in range(MOST + 1)))
