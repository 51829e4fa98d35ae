"""Each check fires on a template made to break it, and not on one that just keeps to it."""

from inspect import getmembers, isfunction, signature
from itertools import pairwise
from math import tan

import pytest

from tests.sentences import remedy_words
from workbook.formats.family import family, family_ids
from workbook.formats.tables import facts
from workbook.geometry.path import Arc, Line, Path, circle, polyline
from workbook.geometry.polygon import edge_distance
from workbook.problems import Severity
from workbook.structs import replace
from workbook.template import checks
from workbook.template.blade import BladeCurves, height_at
from workbook.template.contour import head_left, is_bare, thickness
from workbook.template.drills import Drill
from workbook.template.free_edits import with_free_points
from workbook.template.handle import middle as handle_middle
from workbook.template.holes import Hole
from workbook.template.model import FreePoint, HeelForm, HoleWish, OutlineRun, Purpose, TangForm
from workbook.template.parameters import changed
from workbook.template.remedies import remedy
from workbook.template.shape import Shape, shape
from workbook.template.tools import Tools, drills_for

PETTY = family("petty")
TOOLS = Tools(drills=drills_for(facts().drills, "in"))
PLATE = polyline([(-100.0, -20.0), (0.0, -20.0), (0.0, 20.0), (-100.0, 20.0)], closed=True)


def hole(x, y=0.0, diameter=5.0, purpose=Purpose.PIN, mark="P1"):
    return Hole(mark=mark, purpose=purpose, size=diameter, centre=(x, y), drill=Drill("d", diameter, "metric"), scale_drill=None)


def plate(*holes, **more):
    """A plate 100 x 40 mm without parameters."""
    return Shape(name="plate", outline=PLATE, holes=holes, thickness=2.0, **more)


def severities(check, blank, tools):
    return [problem.severity.value for problem in check(blank, tools)]


@pytest.mark.parametrize(
    ("room", "wanted"),
    [
        (10.1, []),
        (9.9, ["note"]),
        (7.6, ["note"]),
        (7.4, ["warn"]),
        (3.4, ["warn"]),
        (3.2, ["stop"]),
        (2.4, ["stop"]),
        (-5.0, ["stop"]),
    ],
)
def test_a_pin_wants_one_and_a_half_diameters_to_the_edge_and_likes_two(room, wanted, tools):
    """Ratios of AISC 360 table J3.4."""
    assert severities(checks.holes_near_edge, plate(hole(-50.0, 20.0 - room)), tools) == wanted


def test_an_epoxy_hole_carries_no_load(tools):
    assert severities(checks.holes_near_edge, plate(hole(-50.0, 17.0, purpose=Purpose.EPOXY)), tools) == []


@pytest.mark.parametrize(("web", "wanted"), [(3.2, []), (3.1, ["warn"]), (0.1, ["warn"]), (-0.1, ["stop"])])
def test_an_epoxy_hole_leaves_an_eighth_of_an_inch_to_the_edge(web, wanted, tools):
    blank = plate(hole(-50.0, 20.0 - 2.5 - web, purpose=Purpose.EPOXY))
    assert severities(checks.webs_at_edge, blank, tools) == wanted


@pytest.mark.parametrize(("apart", "wanted"), [(13.4, []), (13.3, ["warn"]), (5.1, ["warn"]), (4.9, ["stop"])])
def test_two_pins_want_two_and_two_thirds_diameters_between_them(apart, wanted, tools):
    """AISC 360 J3.3: 8/3 of 5 mm is 13.33 mm."""
    assert severities(checks.holes_near_each_other, plate(hole(-50.0), hole(-50.0 - apart)), tools) == wanted


@pytest.mark.parametrize(("web", "wanted"), [(3.2, []), (3.1, ["warn"]), (-0.1, ["stop"])])
def test_other_holes_want_the_web_between_them(web, wanted, tools):
    blank = plate(hole(-50.0), hole(-55.0 - web, purpose=Purpose.EPOXY))
    assert severities(checks.holes_near_each_other, blank, tools) == wanted


def test_a_hole_past_the_scale_front_is_told(tools):
    wishes = (HoleWish(purpose=Purpose.PIN, size=4.0, x=-1.5, y=0.0), HoleWish(purpose=Purpose.PIN, size=4.0, x=-40.0, y=0.0))
    blank = shape(replace(PETTY, holes=wishes), tools)
    (problem,) = checks.holes_ahead_of_scales(blank, tools)
    assert "P1 reaches past the scale front" in problem.what
    assert list(checks.holes_ahead_of_scales(plate(hole(1.0)), tools)) == []


def test_an_outline_that_crosses_itself_stops_and_is_told_nothing_else(tools):
    bow = polyline([(0.0, 0.0), (50.0, 50.0), (50.0, 0.0), (0.0, 50.0)], closed=True)
    blank = Shape(name="bow", outline=bow, holes=(hole(-500.0),), thickness=2.0)
    (problem,) = checks.check(blank, tools)
    assert (problem.severity, problem.template, problem.at) == ("stop", "bow", pytest.approx((25.0, 25.0)))
    assert list(checks.crossing_outline(plate(), tools)) == []


@pytest.mark.parametrize("value", [19.0, 451.0])
def test_a_parameter_outside_its_range_stops(value, tools):
    blank = shape(changed(PETTY, "blade.length", value), tools)
    (problem,) = [p for p in checks.parameters_in_range(blank, tools) if "Blade length" in p.what]
    assert problem.severity == "stop"
    assert problem.is_ == value
    assert problem.wanted == pytest.approx(20.0 if value < 20 else 450.0)


def test_a_parameter_that_does_not_apply_is_not_judged(tools):
    blank = shape(changed(PETTY, "tang.web", 99.0), tools)
    assert list(checks.parameters_in_range(blank, tools)) == []


def cornered(radius):
    """An L with an inside corner of a radius; 0 for a sharp one."""
    inside = (Arc((-40.0 + radius, 0.0), (-40.0, radius), -(2**0.5) + 1),) if radius else ()
    end = (-40.0 + radius, 0.0) if radius else (-40.0, 0.0)
    begin = (-40.0, radius) if radius else (-40.0, 0.0)
    outline = (
        Line((-80.0, -20.0), (0.0, -20.0)),
        Line((0.0, -20.0), (0.0, 0.0)),
        Line((0.0, 0.0), end),
        *inside,
        Line(begin, (-40.0, 40.0)),
        Line((-40.0, 40.0), (-80.0, 40.0)),
        Line((-80.0, 40.0), (-80.0, -20.0)),
    )
    return Shape(name="L", outline=Path(outline), holes=(), thickness=2.0)


@pytest.mark.parametrize(("radius", "count"), [(0.0, 1), (1.4, 1), (1.5, 0), (10.0, 0)])
def test_an_inside_corner_tighter_than_the_smallest_file_is_told(radius, count, tools):
    found = list(checks.inside_corners(cornered(radius), tools))
    assert len(found) == count
    assert all(problem.is_ == pytest.approx(radius, abs=1e-6) for problem in found)


def test_a_dropped_heel_that_does_not_stand_below_the_handle_stops(tools):
    low = changed(PETTY, "blade.height", PETTY.handle.front + 0.5)
    assert severities(checks.heel_drop, shape(low, tools), tools) == ["stop"]
    assert severities(checks.heel_drop, shape(changed(low, "heel.form", HeelForm.PLAIN), tools), tools) == []
    assert severities(checks.heel_drop, shape(changed(PETTY, "blade.height", PETTY.handle.front + 1.5), tools), tools) == []


@pytest.mark.parametrize(("path", "value"), [("point.spine_slope", 2.0), ("point.edge_slope", 2.0)])
def test_a_slope_no_smooth_curve_can_have_is_noted(path, value, tools):
    assert severities(checks.slopes_at_point, shape(changed(PETTY, path, value), tools), tools) == ["note"]
    assert severities(checks.slopes_at_point, shape(PETTY, tools), tools) == []


def test_a_stick_tang_wants_a_radius_at_its_shoulder_and_to_be_shorter_than_its_handle(tools):
    puukko = family("puukko-type")
    sharp, long = changed(puukko, "tang.shoulder_radius", 0.5), changed(puukko, "tang.length", puukko.handle.length - 2)
    assert severities(checks.tang_shoulder, shape(puukko, tools), tools) == []
    assert severities(checks.tang_shoulder, shape(sharp, tools), tools) == ["warn"]
    assert severities(checks.tang_shoulder, shape(long, tools), tools) == ["stop"]
    assert severities(checks.tang_shoulder, shape(changed(sharp, "tang.form", TangForm.FULL), tools), tools) == []


def test_a_shoulder_radius_with_no_room_beside_the_tang_stops(tools):
    puukko = changed(family("puukko-type"), "tang.width", 18.0)
    assert "stop" in [p.severity.value for p in checks.check(shape(changed(puukko, "tang.shoulder_radius", 5.0), tools), tools)]


def test_a_lanyard_tube_on_a_kitchen_knife_is_noted(tools):
    wish = HoleWish(purpose=Purpose.LANYARD, size=4.0, x=-100.0, y=0.0)
    assert severities(checks.food_trap, shape(replace(PETTY, holes=(wish,)), tools), tools) == ["note"]
    assert severities(checks.food_trap, shape(family("skinner"), tools), tools) == []


@pytest.mark.parametrize(("web", "wanted"), [(3.3, []), (2.9, ["warn"]), (-1.0, ["stop"])])
def test_an_opening_leaves_its_web(web, wanted, tools):
    blank = plate(openings=(circle((-50.0, 10.0 - web), 10.0),))
    assert severities(checks.openings_inside, blank, tools) == wanted


def test_a_hole_wider_than_any_drill_stops(tools):
    largest = max(d.diameter for d in tools.drills)
    for size, wanted in ((largest - 0.2, []), (largest, ["stop"]), (largest + 0.1, ["stop"])):
        tube = HoleWish(purpose=Purpose.LANYARD, size=size, x=-60.0, y=0.0)
        assert severities(checks.drill_sizes, shape(replace(PETTY, holes=(tube,)), tools), tools) == wanted


def test_a_handle_too_short_for_a_hand_is_noted(tools):
    """ANSUR II: hand breadth of the 5th percentile of women 72 mm, and 10 mm beside it."""
    assert severities(checks.handle_for_a_hand, shape(changed(PETTY, "handle.length", 81.0), tools), tools) == ["note"]
    assert severities(checks.handle_for_a_hand, shape(changed(PETTY, "handle.length", 83.0), tools), tools) == []


def test_problems_come_worst_first_and_name_their_template(tools):
    wishes = [HoleWish(purpose=Purpose.PIN, size=4.0, x=x, y=y) for x, y in ((-1.0, 0.0), (-30.0, 40.0), (-60.0, 4.0))]
    found = checks.check(shape(replace(PETTY, name="Mine", holes=tuple(wishes)), tools), tools)
    order = ["stop", "warn", "note"]
    ranks = [order.index(p.severity.value) for p in found]
    assert ranks == sorted(ranks)
    assert {0, 1} <= set(ranks)
    assert {p.template for p in found} == {"Mine"}
    assert all(p.source for p in found)


def test_every_check_of_the_module_is_asked():
    written = {f for _, f in getmembers(checks, isfunction) if list(signature(f).parameters) == ["blank", "tools"]}
    assert written - {checks.check, checks.crossing_outline} == set(checks.CHECKS)


def test_a_tang_without_holes_is_noticed_before_it_is_hard(tools):
    bare = shape(replace(family("petty"), holes=()), tools)
    assert [p.what for p in checks.check(bare, tools)] == ["the tang has no hole. Drill before hardening"]
    assert not [p for p in checks.check(shape(replace(family("puukko-type"), holes=()), tools), tools) if "no hole" in p.what]


def test_the_hand_the_knife_is_for_decides_how_long_its_handle_is_to_be(tools):
    blank = shape(changed(family("petty"), "handle.length", 100.0), tools)
    assert not [p for p in checks.check(blank, tools) if "short" in p.what]
    (problem,) = [p for p in checks.check(blank, replace(tools, hand_breadth=96.0)) if "short" in p.what]
    assert (problem.severity, problem.wanted) == ("warn", 106.0)


def free(name, **pull):
    return shape(with_free_points(family(name), [FreePoint(**pull)]), TOOLS)


def found(check_one, blank, tools):
    (problem,) = list(check_one(blank, tools))
    return problem


def test_a_blade_pulled_almost_in_two_is_told_and_mended(tools):
    points = [
        FreePoint(run=OutlineRun.EDGE, at=at, y=y) for at, y in ((0.25, 4.0), (0.4, 7.0), (0.5, 9.0), (0.6, 11.0), (0.7, 13.5))
    ]
    high = [FreePoint(run=OutlineRun.SPINE, at=at, y=-8.0) for at in (0.3, 0.5)]
    blank = shape(with_free_points(family("wharncliffe-utility"), [*points, *high]), TOOLS)
    problem = found(checks.blade_waist, blank, tools)
    x = problem.at[0]
    assert problem.is_ == pytest.approx(height_at(blank.curves.spine, x) - height_at(blank.curves.edge, x), abs=1e-6)
    assert problem.is_ < problem.wanted
    assert remedy_words(remedy(blank, problem, tools)) == "spine and edge without control points"


def test_an_edge_that_bows_in_is_told_with_its_depth(tools):
    """A straight edge pulled in by 2 mm: so far from the line its ends rest on."""
    blank = free("wharncliffe-utility", run=OutlineRun.EDGE, at=0.5, y=2.0)
    problem = found(checks.hollow_edge, blank, tools)
    assert problem.severity is Severity.NOTE
    assert problem.is_ == pytest.approx(2.0, abs=0.05)
    assert not list(checks.hollow_edge(free("wharncliffe-utility", run=OutlineRun.EDGE, at=0.5, y=-2.0), tools))


@pytest.mark.parametrize("name", family_ids())
def test_scales_are_as_thick_as_the_contour_takes(name, tools):
    """What is left of the handle's thickness beside the steel, half on each side, where it is thickest."""
    template = changed(family(name), "handle.scale_thickness", 1.0)
    blank = shape(template, tools)
    if blank.grip is not None or is_bare(template.handle):
        assert not list(checks.scales_for_contour(blank, tools))
        return
    problem = found(checks.scales_for_contour, blank, tools)
    along = [thickness(template.handle, -x * template.handle.length / 200) for x in range(201)]
    assert problem.wanted == pytest.approx((max(along) - template.blade.thickness) / 2, abs=0.05)
    assert not list(checks.scales_for_contour(shape(remedy(blank, problem, tools).template, tools), tools))


@pytest.mark.parametrize(
    ("path", "value"), [("blade.spine_straight", 0.01), ("handle.edge_radius", 30.0), ("handle.waist_at", 0.5)]
)
def test_a_number_out_of_its_range_goes_to_its_limit(path, value, tools):
    blank = shape(changed(family("petty"), path, value), tools)
    problem = next(p for p in checks.parameters_in_range(blank, tools) if p.cause == f"range of {path}")
    mended = remedy(blank, problem, tools)
    assert mended is not None and remedy_words(mended).endswith("to its limit")
    assert not [p for p in checks.parameters_in_range(shape(mended.template, tools), tools) if p.cause == problem.cause]


def blade(spine, edge=((0.0, 0.0), (100.0, 0.0))):
    """A blade between straight lines through these places, with no more to it."""
    edge_, spine_ = (
        tuple(Line(a, b) for a, b in pairwise(places)) for places in (edge, sorted(spine, key=lambda at: at[0], reverse=True))
    )
    curves = BladeCurves(edge=edge_, spine=spine_, heel=edge[0], point=edge[-1])
    return Shape(name="blade", outline=PLATE, holes=(), thickness=2.0, curves=curves)


def test_a_waist_is_lower_than_three_fifths_of_what_comes_further_on(tools):
    """30 high at the heel, 10 at the waist half-way, 20 further on: 0.6 x 20 = 12 is wanted. 12.1 at the waist will do."""
    spine = [(0.0, 30.0), (40.0, 30.0), (50.0, 10.0), (60.0, 20.0), (90.0, 20.0), (100.0, 0.0)]
    problem = found(checks.blade_waist, blade(spine), tools)
    assert problem.wanted == pytest.approx(12.0)
    assert problem.is_ == pytest.approx(10.0, abs=1.6)  # at the nearest of its 64 stations, 1.6 mm apart
    x, y = problem.at
    assert problem.is_ == pytest.approx(10 + (x - 50 if x > 50 else 2 * (50 - x)))
    assert y == pytest.approx(problem.is_ / 2)
    assert not list(checks.blade_waist(blade([*spine[:2], (50.0, 12.1), *spine[3:]]), tools))


@pytest.mark.parametrize(("begins", "count"), [(55.0, 1), (61.5, 0)])
def test_a_blade_keeps_a_third_of_its_height_over_three_fifths_of_its_length(begins, count, tools):
    """0.35 x 30 = 10.5 mm; from some place on it is 10.2 high."""
    spine = [(0.0, 30.0), (begins - 1, 11.0), (begins, 10.2), (99.0, 10.2), (100.0, 0.0)]
    problems = list(checks.blade_waist(blade(spine), tools))
    assert [problem.wanted for problem in problems] == pytest.approx([10.5] * count)


@pytest.mark.parametrize(("turn", "count"), [(0.09, 0), (0.105, 1)])
def test_a_turn_inwards_of_a_tenth_of_a_radian_is_a_corner(turn, count, tools):
    """The upper edge of a plate dips in its middle and rises again; each half turns by half of it."""
    dip = 50 * tan(turn / 2)
    outline = polyline([(-100.0, -20.0), (0.0, -20.0), (0.0, 20.0), (-50.0, 20.0 - dip), (-100.0, 20.0)], closed=True)
    blank = Shape(name="dip", outline=outline, holes=(), thickness=2.0)
    assert [p.is_ for p in checks.inside_corners(blank, tools)] == [0.0] * count
    assert [p.at for p in checks.inside_corners(blank, tools)] == [(-50.0, 20.0 - dip)] * count


@pytest.mark.parametrize(("shorter", "count"), [(2.9, 1), (3.1, 0)])
def test_a_stick_tang_is_three_millimetres_shorter_than_its_handle(shorter, count, tools):
    puukko = family("puukko-type")
    long = changed(puukko, "tang.length", puukko.handle.length - shorter)
    problems = list(checks.tang_shoulder(shape(long, tools), tools))
    assert [p.wanted for p in problems] == pytest.approx([puukko.handle.length - 3] * count)


@pytest.mark.parametrize("beside", [0.1, 2.0])
def test_a_shoulders_radius_has_the_room_beside_the_tang_but_for_a_fifth_of_a_millimetre(beside, tools):
    puukko = changed(family("puukko-type"), "tang.shoulder_radius", 3.0)
    wide = changed(puukko, "tang.width", puukko.handle.front - 2 * beside)
    (problem,) = (p for p in checks.tang_shoulder(shape(wide, tools), tools) if "no room" in p.what)
    assert problem.wanted == pytest.approx(max(beside - 0.2, 0.0))


@pytest.mark.parametrize(("left", "wanted"), [(0.85, "warn"), (0.75, "stop")])
def test_a_hole_leaves_a_thirty_second_of_an_inch_of_steel(left, wanted, tools):
    """0.8 mm, to the tenth."""
    assert severities(checks.holes_near_edge, plate(hole(-50.0, 20.0 - 2.5 - left)), tools) == [wanted]


def test_what_is_said_of_holes_has_its_numbers(tools):
    """By hand: 4 mm apart along and 3 mm across are 5; 2 mm past the front less half of 5; 5.4 for 5.0 asked for."""
    a, b = hole(-50.0, 2.0, diameter=3.0), hole(-54.0, -1.0, diameter=3.0, mark="P2")
    near = found(checks.holes_near_each_other, plate(a, b), tools)
    assert (near.is_, near.wanted, near.at) == (pytest.approx(5.0), pytest.approx(8.0), (-50.0, 2.0))
    ahead = shape(replace(PETTY, holes=(HoleWish(purpose=Purpose.PIN, size=4.0, x=-1.5, y=0.0),)), tools)
    past = found(checks.holes_ahead_of_scales, ahead, tools)
    assert (past.is_, past.wanted) == (pytest.approx(1.5 - ahead.holes[0].diameter / 2), 0.0)
    wide = replace(hole(-50.0, diameter=5.4, purpose=Purpose.EPOXY), size=5.0)
    assert found(checks.drill_sizes, plate(wide), tools).is_ == 5.4
    assert not list(checks.drill_sizes(plate(replace(wide, size=5.2)), tools))


def test_an_opening_is_told_in_its_middle(tools):
    """A circle of radius 10 about (-50, 8) leaves 2 mm of a plate that ends at 20."""
    problem = found(checks.openings_inside, plate(openings=(circle((-50.0, 8.0), 10.0),)), tools)
    assert problem.at == pytest.approx((-50.0, 8.0), abs=0.01)
    assert problem.is_ == pytest.approx(2.0, abs=0.01)


def test_a_bolt_in_a_hidden_tang_has_no_head_on_a_scale(tools):
    bolt = HoleWish(purpose=Purpose.BOLT, size=6.0, x=-30.0, y=0.0)
    low = {"handle.thick_front": 7.0, "handle.thick_palm": 7.0, "handle.thick_butt": 7.0}
    for name, count in (("petty", 1), ("puukko-type", 0)):
        template = replace(family(name), holes=(bolt,))
        for path, value in low.items():
            template = changed(template, path, value)
        assert bool(list(checks.bolt_heads(shape(template, tools), tools))) == count
    assert list(checks.bolt_heads(plate(hole(-50.0, purpose=Purpose.BOLT)), tools)) == []


def contoured(thick, head_height, shoulders=1.0):
    """A petty whose handle is equally thick everywhere, on a bar of 2 mm, with one bolt in its middle."""
    template = changed(PETTY, "blade.thickness", 2.0)
    for part in ("front", "palm", "butt"):
        template = changed(template, f"handle.thick_{part}", thick)
    template = changed(changed(template, "handle.head_height", head_height), "handle.shoulders", shoulders)
    x = -0.5 * template.handle.length
    y = handle_middle(template.handle, x)
    return shape(replace(template, holes=(HoleWish(purpose=Purpose.BOLT, size=6.0, x=x, y=y),)), TOOLS)


@pytest.mark.parametrize(("floor", "severity"), [(1.6, []), (1.45, ["warn"]), (-0.1, ["stop"])])
def test_under_a_counterbore_a_millimetre_and_a_half_of_scale_is_left(floor, severity, tools):
    """A scale is (16 - 2) / 2 = 7 mm thick; the counterbore takes the rest."""
    said = [p for p in checks.bolt_heads(contoured(16.0, 7.0 - floor), tools) if "counterbore" in p.what]
    assert [p.severity.value for p in said] == severity
    assert [(p.is_, p.wanted) for p in said] == [(pytest.approx(floor), 1.5)] * len(severity)


@pytest.mark.parametrize(("shoulders", "count"), [(5.9, 0), (6.1, 1)])
def test_a_bolt_clamps_what_its_counterbores_leave(shoulders, count, tools):
    """16 mm less twice 5 are 6 mm between the heads."""
    said = [p for p in checks.bolt_heads(contoured(16.0, 5.0, shoulders), tools) if "screwed home" in p.what]
    assert [(p.is_, p.wanted) for p in said] == [(pytest.approx(6.0), shoulders)] * count


@pytest.mark.parametrize(
    ("wall", "words"), [(-2.5, "lies outside"), (2.4, "breaks out"), (3.2, "almost no steel"), (7.4, "1.5 d")]
)
def test_a_pin_near_the_edge_is_told_with_its_room_and_what_it_wants(wall, words, tools):
    """A pin of 5 mm wants one and a half of that."""
    problem = found(checks.holes_near_edge, plate(hole(-50.0, 20.0 - wall)), tools)
    assert words in problem.what
    assert (problem.is_, problem.wanted, problem.at) == (pytest.approx(wall), 7.5, (-50.0, pytest.approx(20.0 - wall)))


def test_what_else_is_told_of_a_hole_has_its_numbers(tools):
    """By hand: two diameters of 5 mm; 3.1 mm of steel left to the edge, to the next hole, to an opening; 8/3 of 5 mm."""
    epoxy = {"purpose": Purpose.EPOXY}
    told = [
        (checks.holes_near_edge, plate(hole(-50.0, 10.1)), 9.9, 10.0),
        (checks.webs_at_edge, plate(hole(-50.0, 20.0 - 2.5 - 3.1, **epoxy)), 3.1, tools.web),
        (checks.holes_near_each_other, plate(hole(-50.0), hole(-55.0 - 3.1, **epoxy)), 3.1, tools.web),
        (checks.holes_near_each_other, plate(hole(-50.0), hole(-63.3)), 13.3, 40 / 3),
        (checks.holes_near_each_other, plate(hole(-50.0), hole(-54.0)), 0.0, tools.web),
        (checks.openings_inside, plate(hole(-34.4), openings=(circle((-50.0, 0.0), 10.0),)), 3.1, tools.web),
    ]
    for check, blank, is_, wanted in told:
        problem = found(check, blank, tools)
        assert (problem.is_, problem.wanted) == (pytest.approx(is_, abs=0.01), pytest.approx(wanted))
        assert problem.at == blank.holes[0].centre


@pytest.mark.parametrize(("web", "wanted"), [(3.2, []), (3.1, ["warn"]), (-0.1, ["stop"])])
def test_a_hole_leaves_its_web_to_an_opening(web, wanted, tools):
    blank = plate(hole(-37.5 + web), openings=(circle((-50.0, 0.0), 10.0),))
    assert severities(checks.openings_inside, blank, tools) == wanted


def test_a_hole_too_wide_for_the_drills_is_told_with_what_it_wants(tools):
    """A thousandth of an inch over the pin."""
    largest = max(d.diameter for d in tools.drills)
    tube = HoleWish(purpose=Purpose.LANYARD, size=largest + 0.1, x=-60.0, y=0.0)
    problem = found(checks.drill_sizes, shape(replace(PETTY, holes=(tube,)), tools), tools)
    assert (problem.is_, problem.wanted) == (pytest.approx(largest), pytest.approx(largest + 0.1 + 0.0254))


def test_an_epoxy_hole_may_be_three_tenths_off_its_drill(tools):
    for off, count in ((0.29, 0), (0.31, 1), (-0.31, 1)):
        made = replace(hole(-50.0, diameter=5.0 + off, purpose=Purpose.EPOXY), size=5.0)
        assert len(list(checks.drill_sizes(plate(made), tools))) == count


def test_a_tang_too_long_for_its_handle_is_told_at_its_end(tools):
    puukko = family("puukko-type")
    long = changed(puukko, "tang.length", puukko.handle.length - 2)
    problem = found(checks.tang_shoulder, shape(long, tools), tools)
    assert (problem.at, problem.is_, problem.wanted) == (
        (-long.tang.length, 0.0),
        long.tang.length,
        pytest.approx(puukko.handle.length - 3),
    )


def test_a_tang_without_holes_is_told_in_its_middle(tools):
    problem = found(checks.holes_forgotten, replace(shape(PETTY, tools), holes=()), tools)
    assert problem.at == (-PETTY.handle.length / 2, 0.0)


@pytest.mark.parametrize(("left", "severity"), [(0.85, []), (0.75, ["note"]), (0.05, ["note"]), (-0.05, ["warn"])])
def test_a_bolts_head_is_told_when_little_of_it_is_left_on_the_rounded_scale(left, severity, tools):
    """What a head of 3 mm leaves, and as much more or less as the head is higher or lower."""
    at_three = contoured(16.0, 3.0)
    t, bolt = at_three.template, at_three.holes[0]
    leaves = head_left(t.handle, edge_distance(at_three.outline, bolt.centre), bolt.centre[0])
    said = [p for p in checks.bolt_heads(contoured(16.0, 3.0 + left - leaves), tools) if "head" in p.cause]
    assert [p.severity.value for p in said] == severity
    assert [(p.is_, p.wanted) for p in said] == [(pytest.approx(left), 0.8)] * len(severity)
