"""Holes one by one: what is changed changes, the others stay where they were."""

import itertools
from math import hypot

import pytest

from workbook.formats.family import family, family_ids
from workbook.formats.tables import facts
from workbook.geometry.polygon import polygon
from workbook.structs import replace
from workbook.template.checks import check
from workbook.template.hole_edits import (
    NoRoomError,
    copied,
    lightened,
    mirrored,
    spread,
    wishes_of,
    with_changed,
    with_hole,
    with_hole_at,
    without_hole,
)
from workbook.template.hole_places import Across, Along, Datum, reading
from workbook.template.holes import drilled_out
from workbook.template.model import Purpose, TangForm
from workbook.template.parameters import changed
from workbook.template.peg_moves import moved_to
from workbook.template.resizing import in_inches
from workbook.template.shape import loops, shape
from workbook.template.tools import Tools, drills_for


@pytest.mark.parametrize("name", family_ids())
def test_holes_one_by_one_are_where_the_patterns_put_them(name, tools):
    blank = shape(family(name), tools)
    for made in (with_changed(blank, "none"), without_hole(blank, "none")):
        assert [h.centre for h in shape(made, tools).holes] == [h.centre for h in blank.holes]


def test_one_more_lies_in_the_widest_room_on_the_middle_line(tools):
    blank = shape(family("petty"), tools)
    more = shape(with_hole(blank, Purpose.PIN, 3.2, 3.2), tools)
    (new,) = [h for h in more.holes if h.centre not in {o.centre for o in blank.holes}]
    others = [h.centre[0] for h in blank.holes]
    assert len(more.holes) == len(blank.holes) + 1
    assert min(abs(new.centre[0] - x) for x in others) > 4
    assert -blank.template.handle.length < new.centre[0] < 0


def test_one_less_and_one_changed(tools):
    blank = shape(family("petty"), tools)
    less = shape(without_hole(blank, "P1"), tools)
    assert [h.mark for h in less.holes] == ["B1", "E1", "E2", "B2"]
    changed = shape(with_changed(blank, "P1", purpose=Purpose.BOLT, size=6.0), tools)
    assert [h.mark for h in changed.holes] == ["B1", "E1", "B2", "E2", "B3"]
    moved = shape(with_changed(blank, "B1", x=blank.holes[-1].centre[0] - 3), tools)
    assert moved.holes[-1].centre[0] == blank.holes[-1].centre[0] - 3


@pytest.mark.parametrize("name", ["petty", "chefs", "drop-point-hunter", "santoku-type"])
def test_lightening_holes_leave_the_web_and_take_steel_away(name, tools):
    blank = shape(family(name), tools)
    web = 3.2
    light = shape(lightened(blank, 6.35, web), tools)
    assert [w for w in wishes_of(light) if w.purpose is not Purpose.EPOXY] == [
        w for w in wishes_of(blank) if w.purpose is not Purpose.EPOXY
    ]
    holes = sorted(light.holes, key=lambda h: h.centre[0])
    for left, right in itertools.pairwise(holes):
        assert right.centre[0] - left.centre[0] >= (left.size + right.size) / 2 + web - 1e-6

    def steel(of):
        outline, *inside = loops(of)
        return polygon(outline).area - sum(polygon(loop).area for loop in inside)

    bare = shape(lightened(blank, 200.0, web), tools)  # none that size has room
    assert not [h for h in bare.holes if h.purpose is Purpose.EPOXY]
    assert steel(light) < steel(bare)


def test_what_the_holes_take_out_is_their_area_times_the_steel_there(tools):
    base = family("petty")
    blank = shape(base, tools)
    _, *inside = loops(blank)
    flat = sum(polygon(loop).area for loop in inside) * base.blade.thickness
    assert drilled_out(base, blank.holes) == pytest.approx(flat, rel=0.006)  # the loops are polygons
    tapered = changed(changed(base, "tang.form", TangForm.TAPERED), "tang.butt_thickness", base.blade.thickness / 2)
    middle_hole = replace(blank.holes[0], centre=(-base.handle.length / 2, 0.0))
    assert drilled_out(tapered, [middle_hole]) == pytest.approx(0.75 * drilled_out(base, [middle_hole]))


def test_lightening_holes_make_way_for_one_that_carries_load(tools):
    blank = shape(lightened(shape(family("chefs"), tools), 6.0, 3.2), tools)
    more = shape(with_hole(blank, Purpose.BOLT, 5.0, 3.2), tools)
    (new,) = [h for h in more.holes if (h.purpose, h.size) == (Purpose.BOLT, 5.0)]
    for hole in (h for h in more.holes if h != new):
        off = hypot(hole.centre[0] - new.centre[0], hole.centre[1] - new.centre[1])
        assert off - hole.diameter / 2 - 2.5 >= 3.2 or hole.purpose is not Purpose.EPOXY
    epoxy = [sum(h.purpose is Purpose.EPOXY for h in own.holes) for own in (blank, more)]
    assert 0 < epoxy[1] < epoxy[0]
    assert {h.centre for h in blank.holes if h.purpose is not Purpose.EPOXY} <= {h.centre for h in more.holes}


@pytest.mark.parametrize("name", family_ids())
@pytest.mark.parametrize(("unit", "size"), [("in", 6.35), ("mm", 6.0)])
def test_lightening_says_nothing_of_thin_webs(name, unit, size):
    tools = Tools(drills=drills_for(facts().drills, unit))
    blank = shape(in_inches(family(name)) if unit == "in" else family(name), tools)
    assert not check(shape(lightened(blank, size, tools.web), tools), tools)


def test_a_full_tang_says_that_it_has_no_room(tools):
    blank = shape(family("petty"), tools)
    with pytest.raises(NoRoomError, match="no room"):
        for _ in range(40):
            blank = shape(with_hole(blank, Purpose.PIN, 3.2, 3.2), tools)
    assert 4 < len(blank.holes) < 20
    assert not [p for p in check(blank, tools) if "run into" in p.what]


DATUMS = [Datum(along=along, across=across) for along in Along for across in Across]


def across(blank, mark, datum):
    """How far across the knife one of its holes is."""
    return next(reading(blank, hole.centre, datum)[1] for hole in blank.holes if hole.mark == mark)


@pytest.mark.parametrize("datum", DATUMS)
def test_a_copy_lies_beside_its_hole_with_the_web_between(datum, tools):
    blank = shape(family("drop-point-hunter"), tools)
    hole = blank.holes[0]
    template, point = copied(blank, hole.mark, datum, 4.0)
    after = shape(template, tools)
    assert len(after.holes) == len(blank.holes) + 1
    (new,) = [h for h in after.holes if h.centre == point]
    assert (new.purpose, new.size) == (hole.purpose, hole.size)
    assert abs(point[0] - hole.centre[0]) == pytest.approx(hole.diameter + 4.0)
    assert reading(blank, point, datum)[1] == pytest.approx(reading(blank, hole.centre, datum)[1])


def test_a_copy_of_the_last_hole_lies_in_front_of_it(tools):
    blank = shape(with_hole_at(shape(family("petty"), tools), Purpose.PIN, 3.0, (-family("petty").handle.length + 6, 0.0)), tools)
    last = blank.holes[-1]
    assert copied(blank, last.mark, Datum(), 3.0)[1][0] > last.centre[0]


def test_a_mirrored_hole_is_as_far_from_the_other_end(tools):
    template = family("drop-point-hunter")
    blank = shape(with_hole_at(shape(template, tools), Purpose.PIN, 3.0, (-20.0, 2.0)), tools)
    mark = next(h.mark for h in blank.holes if h.centre == (-20.0, 2.0))
    datum = Datum(across=Across.UNDERSIDE)
    _made, point = mirrored(blank, mark, datum)
    assert point[0] + template.handle.length == pytest.approx(20.0)
    assert reading(blank, point, datum)[1] == pytest.approx(across(blank, mark, datum))


def test_spread_holes_are_evenly_apart_and_the_others_stay(tools):
    blank = shape(family("petty"), tools)
    for x in (-30.0, -34.0, -70.0):
        blank = shape(with_hole_at(blank, Purpose.PIN, 3.0, (x, 1.0)), tools)
    datum = Datum(across=Across.CENTER)
    after = shape(spread(blank, Purpose.PIN, datum), tools)
    pins = [h.centre[0] for h in after.holes if h.purpose is Purpose.PIN]
    gaps = [a - b for a, b in itertools.pairwise(pins)]
    assert len(pins) == 4 and gaps == pytest.approx([gaps[0]] * 3)
    before = [h for h in blank.holes if h.purpose is Purpose.PIN]
    assert (pins[0], pins[-1]) == pytest.approx((before[0].centre[0], before[-1].centre[0]))
    for mark in ("P1", "P2", "P3", "P4"):
        assert across(after, mark, datum) == pytest.approx(across(blank, mark, datum))
    others = [[h.centre for h in of.holes if h.purpose is not Purpose.PIN] for of in (blank, after)]
    assert others[0] == others[1]


def test_one_hole_spread_stays_where_it_is(tools):
    blank = shape(family("petty"), tools)
    (pin,) = [h for h in blank.holes if h.purpose is Purpose.PIN]
    after = shape(spread(blank, Purpose.PIN, Datum()), tools)
    assert next(h.centre for h in after.holes if h.purpose is Purpose.PIN) == pytest.approx(pin.centre)


def test_a_typed_place_behind_another_hole_leaves_that_one_alone(tools):
    blank = shape(family("bird-and-trout"), tools)
    first, second = (hole for hole in blank.holes if hole.purpose is Purpose.PIN)
    place = (second.centre[0] - 8.0, second.centre[1])
    result = moved_to(blank, first.mark, place, tools)
    pins = [hole.centre for hole in shape(result.template, tools).holes if hole.purpose is Purpose.PIN]
    assert pins == [second.centre, pytest.approx(place, abs=0.01)]
    assert result.peg == second.mark  # it is called so now
