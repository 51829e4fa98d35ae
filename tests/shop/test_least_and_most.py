"""What a shop may well have none of, or all of: nothing, and the whole, are fair answers; less than nothing is not."""

import pytest

from workbook.limits import JudgedBy
from workbook.shop.charges import Charges
from workbook.shop.fields import FIELDS
from workbook.shop.job import Rules, Saw
from workbook.shop.labour import Stage
from workbook.shop.pricing import Pricing
from workbook.structs import replace

SOUND = JudgedBy(FIELDS, {}).is_sound
NONE_OF = [
    *(
        (Saw(), key)
        for key in ("kerf", "clean_up", "bar_end", "bar_edge", "sawn_edge", "sheared_edge", "tilt", "tightest_radius")
    ),
    *((Rules(), key) for key in ("keep_offcut", "under", "over", "tang_clearance", "smallest_radius", "web", "soak")),
    (Rules(), "hand_breadth"),
    (Pricing(), "share"),
    *((Charges(), key) for key in ("overhead", "allowance", "tax", "deposit")),
    *((Stage(name="grind", set_up=1.0, minutes=1.0), key) for key in ("set_up", "minutes")),
]


@pytest.mark.parametrize(("whole", "key"), NONE_OF, ids=[f"{type(whole).__name__}.{key}" for whole, key in NONE_OF])
def test_nothing_is_a_fair_answer_and_less_than_nothing_is_not(whole, key):
    """A hair above nothing too; 1 mm, 1 degree or 1 % below it is refused."""
    for fair in (0.0, 0.004):
        assert SOUND(replace(whole, **{key: fair}))
    assert not SOUND(replace(whole, **{key: -0.01 if "share" in key else -1.0}))


@pytest.mark.parametrize(("key", "most"), [("tax", 0.6), ("deposit", 1.0), ("learning", 1.0), ("allowance", 1.0)])
def test_shares_go_as_far_as_they_are_said_to(key, most):
    assert SOUND(replace(Charges(), **{key: most}))
    assert not SOUND(replace(Charges(), **{key: most + 0.01}))


def test_an_offer_stands_for_a_day_to_two_years():
    assert [SOUND(replace(Charges(), valid=days)) for days in (0, 1, 730, 731)] == [False, True, True, False]
