"""What a knife takes besides steel, counted by hand: two pins of 4 mm and a bolt of 6 mm, scales of 6 mm on a bar of 2 mm."""

import pytest

from workbook.formats.family import family
from workbook.formats.tables import facts
from workbook.shop.materials import Material, MaterialKind
from workbook.shop.needs import Missing, uses
from workbook.structs import replace
from workbook.template.model import Fittings, HoleWish, Purpose
from workbook.template.parameters import changed
from workbook.template.shape import shape
from workbook.template.tools import Tools

WISHES = (
    HoleWish(purpose=Purpose.PIN, size=4.0, x=-20.0, y=0.0),
    HoleWish(purpose=Purpose.PIN, size=4.0, x=-90.0, y=0.0),
    HoleWish(purpose=Purpose.BOLT, size=6.0, x=-50.0, y=0.0),
    HoleWish(purpose=Purpose.EPOXY, size=5.0, x=-65.0, y=0.0),
)
PIN = Material(name="pins", kind=MaterialKind.PIN, size=4.0, have=1.0)
BOLT = Material(name="bolts", kind=MaterialKind.BOLT, size=6.0, have=1.0)
MAPLE = Material(name="maple", kind=MaterialKind.HANDLE, knife=0.0)


@pytest.fixture
def blank(tools):
    template = changed(changed(family("petty"), "blade.thickness", 2.0), "handle.scale_thickness", 6.0)
    return shape(replace(template, holes=WISHES), tools)


def amounts(found):
    return {use.material.name: use.amount for use in found}


def test_pins_and_bolts_are_counted_by_the_holes_and_the_scales_by_the_knife(blank):
    found, missing = uses(blank, MAPLE, [PIN, BOLT])
    assert amounts(found) == {"maple": 1.0, "pins": 2.0, "bolts": 1.0}
    assert missing == ()
    assert [use.why for use in found] == ["handle", "2 in the tang", "1 in the tang"]


def test_of_a_handle_material_a_knife_takes_what_is_said_and_of_none_that_is_chosen_nothing(blank):
    assert amounts(uses(blank, replace(MAPLE, knife=2.0), [PIN, BOLT])[0])["maple"] == 2.0
    assert set(amounts(uses(blank, None, [MAPLE, PIN, BOLT])[0])) == {"pins", "bolts"}


def test_a_rod_is_cut_as_long_as_the_handle_is_thick_and_three_millimetres_more_on_either_side(blank):
    """Two scales of 6, a bar of 2, twice 3: 20 mm for one, 40 for two, of a rod of 300."""
    found, _ = uses(blank, None, [replace(PIN, length=300.0), BOLT])
    assert amounts(found) == {"pins": pytest.approx(40 / 300), "bolts": 1.0}


@pytest.mark.parametrize(("size", "fits"), [(4.05, True), (3.95, True), (4.063, False), (3.937, False)])
def test_a_pin_fits_within_six_hundredths(blank, size, fits):
    found, missing = uses(blank, None, [replace(PIN, size=size), BOLT])
    assert ("pins" in amounts(found)) is fits
    assert missing == (() if fits else (Missing(kind=MaterialKind.PIN, size=4.0, count=2),))


def test_what_lies_there_goes_before_what_does_not_and_the_first_before_others(blank):
    gone, first, second = (replace(PIN, name=name, have=have) for name, have in (("gone", 0.0), ("first", 0.5), ("second", 9.0)))
    assert set(amounts(uses(blank, None, [gone, first, second, BOLT])[0])) == {"first", "bolts"}
    assert set(amounts(uses(blank, None, [gone, BOLT])[0])) == {"gone", "bolts"}


def test_what_is_used_up_is_counted_and_belts_on_every_blank_started(blank):
    """Of what has a place of its own in a knife nothing more is used up, whatever is said of it."""
    belts = Material(name="belts", kind=MaterialKind.ABRASIVE, knife=0.2)
    glue = Material(name="glue", kind=MaterialKind.ADHESIVE, knife=0.1)
    oil = Material(name="oil", kind=MaterialKind.OTHER)
    found, _ = uses(blank, None, [replace(PIN, knife=5.0), BOLT, belts, glue, oil, MAPLE])
    assert amounts(found) == {"pins": 2.0, "bolts": 1.0, "belts": 0.2, "glue": 0.1}
    assert [use.material.name for use in found if use.of_starts] == ["belts"]


def test_fittings_take_a_share_of_a_sheet_or_a_pair_and_are_told_where_none_lies_there(blank):
    """Guard 4 x 40 x 16 of a bar 4 x 40 x 320: a twentieth. Liners without sizes: one pair."""
    template = replace(blank.template, fittings=Fittings(guard=4.0, guard_height=40.0, guard_width=16.0, bolster=10.0, liner=0.8))
    fitted = shape(template, Tools(drills=facts().drills))
    bar = Material(name="brass guard bar", kind=MaterialKind.GUARD, size=4.0, width=40.0, length=320.0)
    sheet = Material(name="red vulcanised fibre", kind=MaterialKind.LINER, size=0.8, per="pair")
    found, missing = uses(fitted, MAPLE, [bar, sheet, PIN, BOLT])
    assert (amounts(found)["brass guard bar"], amounts(found)["red vulcanised fibre"]) == (pytest.approx(1 / 20), 1.0)
    assert [(each.kind, each.size, each.count) for each in missing] == [(MaterialKind.BOLSTER, 6.35, 2)]
    thinner = uses(fitted, MAPLE, [bar, replace(sheet, size=0.5), PIN, BOLT])[1]
    assert MaterialKind.LINER in {each.kind for each in thinner}
    other = uses(fitted, MAPLE, [replace(bar, name="G10 guard bar"), sheet, PIN, BOLT])[1]
    assert MaterialKind.GUARD in {each.kind for each in other}  # the template says brass
    strip = uses(fitted, MAPLE, [replace(bar, width=0.0), sheet, PIN, BOLT])[0]
    assert amounts(strip)["brass guard bar"] == pytest.approx(40.0 / 320.0)
