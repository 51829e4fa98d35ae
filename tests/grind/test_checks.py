"""What the checks of a grind find, each made to happen; the shipped families have nothing to say."""

import numpy as np
import pytest

from tests.grind.test_stations import TOOLS, blank_of
from workbook.formats.family import family, family_ids
from workbook.geometry.path import flatten
from workbook.grind.checks import GroundFrom, check_grind
from workbook.grind.lines import grind_lines
from workbook.grind.stations import finished_spine
from workbook.structs import replace
from workbook.template.blade import height_at
from workbook.template.model import Bevel, HoleWish, Purpose
from workbook.template.shape import shape


def found(blank, **given):
    return {p.what: p for p in check_grind(blank, GroundFrom(**{"bar": blank.thickness, **given}))}


def only(problems, words):
    (problem,) = [p for what, p in problems.items() if words in what]
    return problem


@pytest.mark.parametrize("name", family_ids())
def test_the_shipped_families_have_nothing_to_say(name):
    assert found(blank_of(name)) == {}


def test_an_edge_angle_not_over_the_bevels_stops():
    """b <= theta: no facet can be cut. A Scandi bevel is its own edge."""
    steep = only(found(blank_of("drop-point-hunter", grind__height=12.0, grind__edge_angle=6.0)), "no edge can be sharpened")
    assert steep.severity == "stop"
    assert steep.is_ == 6.0
    assert steep.wanted > 6.0
    assert not any("sharpened" in what for what in found(blank_of("bushcraft")))


def test_an_edge_of_a_convex_bevel_is_steeper_than_its_chord():
    """Its tangent at the edge counts: a bulge of 0.8 mm on a bevel of 8 mm is over 17 degrees there, its chord 9."""
    blank = blank_of("skinner", grind__bevel=Bevel.CONVEX, grind__height=8.0, grind__bulge=0.8, grind__edge_angle=17.0)
    assert only(found(blank), "no edge can be sharpened").severity == "stop"


def test_a_facet_higher_than_its_bevel():
    blank = blank_of("bird-and-trout", grind__height=3.2, grind__edge_angle=17.5)
    high = only(found(blank), "facet is higher")
    assert high.is_ > high.wanted == pytest.approx(3.2)


def test_a_taper_that_leaves_the_spine_as_thin_as_the_edge():
    thin = only(found(blank_of("petty", blade__point_thickness=0.25)), "hardly thicker than the edge")
    assert thin.is_ < thin.wanted == pytest.approx(0.3)


def test_a_contour_without_room_for_scales():
    blank = blank_of(
        "bird-and-trout", blade__thickness=8.0, handle__thick_front=6.0, handle__thick_palm=6.0, handle__thick_butt=6.0,
        handle__edge_radius=3.0,
    )  # fmt: skip
    assert only(found(blank), "too little for the scales").is_ == 0


def test_a_hollow_thinner_than_its_edge_and_one_that_leaves_nothing():
    thin = only(found(blank_of("skinner", grind__height=21.0, grind__wheel=254.0)), "thinner than the edge")
    assert thin.severity == "warn"
    assert 0 < thin.is_ < thin.wanted == 0.25
    gone = only(found(blank_of("skinner", grind__height=28.0, grind__wheel=60.0)), "no steel is left")
    assert gone.severity == "stop"


def test_a_bulge_that_stands_proud_is_told_with_the_most_there_may_be():
    proud = only(found(blank_of("meat-cleaver", grind__bulge=2.0)), "proud of the flats")
    assert proud.wanted < 0.5


@pytest.mark.parametrize(("quench", "edge", "thin"), [("oil", 0.5, False), ("oil", 0.4, True), ("water", 0.5, True)])
def test_an_edge_too_thin_for_its_quench(quench, edge, thin):
    problems = found(blank_of("petty", grind__edge_before_hardening=edge), quench=quench)
    assert any("thin for a quench" in what for what in problems) == thin


def test_a_kitchen_edge_thick_behind_the_apex():
    """0.38 mm at the edge and 1.4 degrees a side is 0.43 mm 1 mm up; with twice the slope it passes 0.46."""
    assert found(blank_of("chefs", grind__edge_before_sharpening=0.38, grind__edge_angle=20.0)) == {}
    thick = only(
        found(blank_of("chefs", grind__edge_before_sharpening=0.39, grind__height=20.0, grind__edge_angle=20.0)), "thick"
    )
    assert thick.is_ == pytest.approx(0.39 + 2 * (2.6 - 0.39) / 40, abs=1e-3)


@pytest.mark.parametrize(("name", "angle", "word"), [("petty", 25.0, "high"), ("petty", 8.0, "low"), ("skinner", 35.0, "high")])
def test_an_edge_angle_out_of_the_range_for_the_use(name, angle, word):
    problem = only(found(blank_of(name, grind__edge_angle=angle)), f"edge angle is {word}")
    assert problem.severity == "note"
    assert problem.source


def test_a_line_that_comes_to_lie_over_the_spine():
    over = only(found(blank_of("drop-point-hunter", grind__height=27.5, grind__face_allowance=0.5)), "past the spine")
    assert over.is_ > over.wanted == pytest.approx(28.0)


def test_a_plunge_behind_the_scale_front():
    behind = only(found(blank_of("drop-point-hunter", heel__ahead=4.0, heel__plunge_rake=30.0)), "behind the scale front")
    assert behind.is_ < 0 == behind.wanted


def test_a_hole_in_the_bevel():
    template = replace(family("petty"), holes=(HoleWish(purpose=Purpose.PIN, size=3.0, x=30.0, y=0.0),))
    assert only(found(shape(template, TOOLS)), "lies in the bevel").at == (30.0, 0.0)


def test_a_single_bevel_whose_back_takes_the_edge():
    blank = blank_of("steak", grind__bevel=Bevel.SINGLE, grind__edge_before_hardening=0.25, grind__edge_before_sharpening=0.2)
    back = only(found(blank), "more than the edge has")
    assert back.wanted == pytest.approx(0.2 + blank.template.grind.face_allowance)


def test_a_hollow_from_a_wheel_that_is_not_owned():
    blank = blank_of("skinner", grind__bevel=Bevel.HOLLOW, grind__wheel=203.2)
    assert not any("contact wheel" in what for what in found(blank))  # none was named
    assert not any("contact wheel" in what for what in found(blank, wheels=(254.0, 203.0)))
    missing = only(found(blank, wheels=(254.0, 355.6)), "contact wheel")
    assert (missing.severity, missing.is_, missing.wanted) == ("note", 203.2, 254.0)


def test_a_swedge_that_takes_nothing():
    """No steel stands over what it is to leave."""
    swedge = {"grind__swedge": 50.0, "grind__swedge_height": 6.0}
    blank = blank_of("petty", **swedge, grind__swedge_spine=9.0)
    assert only(found(blank), "the swedge removes nothing").is_ == 9.0
    fine = blank_of("petty", **swedge, grind__swedge_spine=0.5)
    assert not any("swedge" in what for what in found(fine))


def test_a_swedge_that_takes_nothing_is_told_at_the_spine_where_it_begins():
    """Of 40 stations along the blade the first that lies on the swedge; wanted is the spine there at its thickest."""
    blank = blank_of("petty", grind__swedge=50.0, grind__swedge_spine=9.0)
    problem = only(found(blank), "the swedge removes nothing")
    x, y = problem.at
    begins = blank.template.blade.length - 50.0
    assert begins < x <= begins + blank.template.blade.length / 39
    assert y == pytest.approx(height_at(blank.curves.spine, x), abs=0.02)
    assert problem.wanted == pytest.approx(float(finished_spine(blank.template, np.array([x]), blank.thickness)[0]))


@pytest.mark.parametrize(("beyond", "count"), [(0.1, 1), (-0.1, 0)])
def test_a_hole_is_in_the_bevel_from_the_hindmost_place_of_the_plunge_on(beyond, count):
    """Its rim, half of its drill's diameter ahead of its middle, beyond the plunge or short of it."""
    begin = float(flatten(grind_lines(blank_of("petty"), blank_of("petty").thickness).plunge)[:, 0].min())
    wish = HoleWish(purpose=Purpose.PIN, size=3.0, x=0.0, y=0.0)
    half = shape(replace(family("petty"), holes=(wish,)), TOOLS).holes[0].diameter / 2
    blank = shape(replace(family("petty"), holes=(replace(wish, x=begin + beyond - half),)), TOOLS)
    problems = [p for what, p in found(blank).items() if "lies in the bevel" in what]
    assert [(p.is_, p.wanted) for p in problems] == [(pytest.approx(begin + beyond), pytest.approx(begin))] * count


def test_a_hole_past_the_plunge_is_nothing_on_an_outline_from_a_file():
    assert found(replace(blank_of("petty"), template=None)) == {}


@pytest.mark.parametrize(("angle", "wanted", "says"), [(9.9, 10.0, "low"), (20.1, 20.0, "high")])
def test_an_edge_angle_goes_to_the_nearer_end_of_its_range(angle, wanted, says):
    problem = only(found(blank_of("petty", grind__edge_angle=angle)), f"edge angle is {says} for kitchen use")
    assert (problem.is_, problem.wanted) == (angle, wanted)
    assert ("ISO 8442-9" in problem.source) == (says == "high")


@pytest.mark.parametrize(("quench", "wanted"), [("oil", 0.5), ("water", 1.0)])
def test_how_thick_an_edge_is_to_be_goes_by_its_quench(quench, wanted):
    problem = only(found(blank_of("petty", grind__edge_before_hardening=0.4), quench=quench), "thin for a quench")
    assert problem.wanted == wanted
    assert f"in {quench}" in problem.what
