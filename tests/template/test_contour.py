"""The contour of the scales, bolt heads in it, and hands beside it."""

import csv
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.sentences import remedy_words
from workbook.formats.family import family, family_ids
from workbook.formats.tables import facts
from workbook.geometry.polygon import edge_distance, polygon
from workbook.paths import resource
from workbook.template.checks import check
from workbook.template.contour import STATIONS, fall, floor_left, girth, head_left, section, station, thickness
from workbook.template.fittings import scale_wanted
from workbook.template.hand import fit
from workbook.template.handle import room
from workbook.template.hole_edits import with_changed
from workbook.template.parameters import changed
from workbook.template.remedies import remedy
from workbook.template.shape import shape


@pytest.mark.parametrize("name", family_ids())
def test_the_section_is_a_rectangle_with_rounded_edges(name):
    """Area w h - (4 - pi) r^2; perimeter 2 (w + h) - (8 - 2 pi) r: plane geometry."""
    handle = family(name).handle
    for place in STATIONS:
        x = station(handle, place)
        w, h = thickness(handle, x), room(handle, x)
        r = min(handle.edge_radius, w / 2, h / 2)
        shape_ = polygon(section(handle, x), 0.0005)
        assert shape_.is_valid
        assert shape_.exterior.is_ccw
        assert shape_.area == pytest.approx(w * h - (4 - pi) * r**2, rel=1e-4)
        assert girth(handle, x) == pytest.approx(shape_.length, rel=1e-4)


@given(palm=st.floats(6, 45), front=st.floats(6, 45), butt=st.floats(6, 45))
def test_the_thickness_passes_its_three_places(palm, front, butt):
    t = family("petty")
    for key, value in (("thick_palm", palm), ("thick_front", front), ("thick_butt", butt)):
        t = changed(t, f"handle.{key}", value)
    handle = t.handle
    low, high = 0.5 * min(palm, front, butt), 1.5 * max(palm, front, butt)
    assert thickness(handle, 0.0) == pytest.approx(min(max(front, low), high))
    assert thickness(handle, -handle.palm_at * handle.length) == pytest.approx(palm)
    assert thickness(handle, -handle.length) == pytest.approx(butt)
    assert scale_wanted(t, t.blade.thickness) >= (max(palm, front, butt) - t.blade.thickness) / 2 - 1e-6


def test_the_face_falls_along_the_rounding():
    """A quarter circle: nothing beyond r from the edge, r at it, r (1 - sqrt 3 / 2) half-way."""
    handle = family("petty").handle
    r = handle.edge_radius
    assert [fall(handle, d, -50.0) for d in (r + 1, r, 0.0)] == pytest.approx([0.0, 0.0, r])
    assert fall(handle, r / 2, -50.0) == pytest.approx(r * (1 - 3**0.5 / 2))


def test_a_head_near_the_edge_breaks_out_and_is_mended(tools):
    blank = shape(family("petty"), tools)
    near = shape(with_changed(blank, "B1", y=-6.5), tools)
    (problem,) = [p for p in check(near, tools) if "head" in p.what]
    assert problem.at == near.holes[0].centre
    assert problem.is_ < problem.wanted
    to_edge = edge_distance(near.outline, near.holes[0].centre)
    assert problem.is_ == pytest.approx(head_left(near.template.handle, to_edge, near.holes[0].centre[0]))
    deep = shape(changed(family("petty"), "handle.head_height", 8.9), tools)
    assert {p.severity for p in check(deep, tools) if "counterbore" in p.what} <= {"warn", "stop"}
    assert [p for p in check(deep, tools) if "counterbore" in p.what]


def test_a_bolt_that_is_screwed_home_before_it_clamps_is_told_and_mended(tools):
    """Between the shoulders: steel and both floors, which is the handle's thickness less both heads."""
    blank = shape(changed(family("petty"), "handle.shoulders", 12.5), tools)
    found = [p for p in check(blank, tools) if "screwed home" in p.what]
    assert found
    for problem in found:
        hole = next(h for h in blank.holes if h.centre == problem.at)
        floor = floor_left(blank.template.handle, blank.thickness, hole.centre[0])
        assert problem.is_ == pytest.approx(blank.thickness + 2 * floor)
        assert (problem.wanted, problem.severity) == (12.5, "warn")
    mended = remedy(blank, found[0], tools)
    assert remedy_words(mended) == "thicker handle"
    assert not [p for p in check(shape(mended.template, tools), tools) if p.what == found[0].what]
    assert not [p for p in check(shape(family("petty"), tools), tools) if "screwed home" in p.what]  # where it is not known


def test_shares_of_hands_are_those_of_the_survey():
    """ANSUR II percentiles of hand breadth as published (resources/data/hands.csv), and rising between them."""
    with resource("data", "hands.csv").open(encoding="utf-8", newline="") as file:
        rows = {row["sex"]: row for row in csv.DictReader(file) if row["measure"] == "handbreadth"}
    for own, sex in zip(facts().hands, ("male", "female"), strict=True):
        for column, share in (("p5", 0.05), ("p25", 0.25), ("p50", 0.50), ("p75", 0.75), ("p95", 0.95)):
            assert own.share_under(float(rows[sex][column])) == pytest.approx(share)
        rising = [own.share_under(breadth) for breadth in range(50, 120)]
        assert rising == sorted(rising)
        assert (rising[0], rising[-1]) == (0.0, 1.0)


def test_a_longer_handle_fits_more_hands():
    shares = [fit(changed(family("petty"), "handle.length", length).handle, facts().hands).shares for length in (85, 95, 110)]
    assert [s[0][1] for s in shares] == sorted(s[0][1] for s in shares)
    assert shares[-1][0][1] > 0.99
    assert shares[0][1][1] > shares[0][0][1]  # at the same length more of the women's hands
