"""Where holes are, as makers measure them: readings are checked against the outline cut by shapely."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Polygon

from workbook.formats.family import family, family_ids
from workbook.geometry.path import corners
from workbook.structs import replace
from workbook.template.hole_places import Across, Along, Datum, heads, point_at, reading, scale_heads, scale_reading
from workbook.template.model import HoleWish, Purpose, TangForm
from workbook.template.parameters import changed
from workbook.template.shape import shape

DATUMS = [Datum(along=along, across=across) for along in Along for across in Across]


def met(outline, x):
    """The lowest and highest place where an upright line meets an outline, by shapely."""
    cut = Polygon(corners(outline, 0.001)).intersection(LineString([(x, -500), (x, 500)]))
    return cut.bounds[1], cut.bounds[3]


@pytest.mark.parametrize("form", [TangForm.FULL, TangForm.HIDDEN])
def test_a_hole_reads_what_calipers_touch(form, tools):
    pin = HoleWish(purpose=Purpose.PIN, size=4.0, x=-50.0, y=1.0)
    blank = shape(replace(changed(family("petty"), "tang.form", form), holes=(pin,)), tools)
    butt, _low, point, _high = blank.extent()
    for hole in blank.holes:
        x, y = hole.centre
        low, high = met(blank.outline, x)
        across = {Across.SPINE: high - y, Across.CENTER: y - (low + high) / 2, Across.UNDERSIDE: y - low}
        along = {Along.BUTT: x - butt, Along.FRONT: -x, Along.POINT: point - x}
        for datum in DATUMS:
            assert reading(blank, hole.centre, datum) == pytest.approx((along[datum.along], across[datum.across]), abs=0.02)


@given(st.sampled_from(family_ids()), st.sampled_from(DATUMS), st.floats(0.02, 0.95), st.floats(-0.5, 0.5))
def test_what_reads_so_is_there(tools, name, datum, share, up):
    blank = shape(family(name), tools)
    here = (-share * blank.template.handle.length, up * blank.template.handle.palm)
    assert point_at(blank, reading(blank, here, datum), datum) == pytest.approx(here, abs=1e-9)


@pytest.mark.parametrize("across", Across)
def test_a_new_place_along_leaves_the_reading_across(across, tools):
    blank = shape(family("drop-point-hunter"), tools)
    datum = Datum(along=Along.FRONT, across=across)
    there = point_at(blank, (30.0, 6.0), datum)
    further = point_at(blank, (60.0, reading(blank, there, datum)[1]), datum)
    assert reading(blank, further, datum) == pytest.approx((60.0, 6.0))
    assert further[1] != pytest.approx(there[1], abs=0.01)  # its edge falls or rises between them


def test_a_scale_is_measured_by_itself(tools):
    t = family("petty")
    blank = shape(t, tools)
    hole = blank.holes[0].centre
    for across in Across:  # the tang is as large as the handle: both read the same across
        datum = Datum(along=Along.FRONT, across=across)
        assert scale_reading(t.handle, hole, datum) == pytest.approx(reading(blank, hole, datum))
        assert scale_reading(t.handle, hole, replace(datum, along=Along.POINT))[0] == -hole[0]  # a scale ends at its front
    assert scale_reading(t.handle, hole, Datum())[0] == hole[0] + t.handle.length


def test_the_words_say_from_what(tools):
    full, hidden = (shape(changed(family("petty"), "tang.form", form), tools) for form in (TangForm.FULL, TangForm.HIDDEN))
    assert heads(full, Datum()) == ("From butt", "From spine")
    assert heads(hidden, Datum()) == ("From tang's end", "From its upper edge")
    assert scale_heads(Datum()) == ("From handle's end", "From back")
    assert heads(full, Datum(along=Along.POINT, across=Across.CENTER)) == ("From tip", "Above center")
