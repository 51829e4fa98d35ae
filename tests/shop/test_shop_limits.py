"""What fields may hold, and what a new workbook counts by, typed once more: work that is stored lies within the first, and a
limit that moves shuts it out or lets in what nothing was tried with; the second is added up by hand.
"""

from math import prod

import pytest

from workbook.fields import Kind
from workbook.shop.charges import STAGES, Charges, Outside
from workbook.shop.fields import DEPOSIT, FIELDS, TAX
from workbook.shop.job import Bar, Make, Measured, Rules, Saw
from workbook.shop.labour import Stage, stages_of
from workbook.shop.materials import Material
from workbook.shop.pricing import Pricing

METRE = 1000
LIMITS = {
    Saw: {
        "kerf": (0, 20), "clean_up": (0, 20), "bar_end": (0, 100), "bar_edge": (0, 100), "sawn_edge": (0, 100),
        "sheared_edge": (0, 100), "tilt": (0, 15), "band": (0.2, 60), "tightest_radius": (0, METRE),
        "feed": (1, 5 * METRE),
    },
    Rules: {
        "keep_offcut": (0, 5 * METRE), "keep_width": (0, METRE),
        "under": (0, 5), "over": (0, 10), "tang_clearance": (0, 3), "smallest_radius": (0, 50),
        "web": (0, 50), "hand_breadth": (0, 150), "heat": (600, 1300), "soak": (0, 600),
    },
    Measured: {
        "thickness": (0.1, 100), "middle": (0.1, 100), "far": (0.1, 100), "bow": (0, 100), "width": (1, 2.5 * METRE),
        "length": (5, 15 * METRE),
    },
    Bar: {
        "thickness": (0.2, 60), "width": (3, 1.5 * METRE), "length": (10, 10 * METRE), "have": (0, 100_000), "slant": (0, METRE),
        "corner_length": (0, 10 * METRE), "corner_width": (0, 1.5 * METRE),
    },
    Make: {"quantity": (1, 2000)},
    Material: {
        "have": (0, 1e6), "low": (0, 1e6), "knife": (0, 1000), "size": (0, 200), "width": (0, 3 * METRE),
        "length": (0, 10 * METRE),
    },
    Stage: {"set_up": (0, 10_000), "minutes": (0, 10_000), "good": (0.1, 1), "wait": (0, 100_000), "at_once": (0, 10_000)},
    Pricing: {"share": (0, 5)},
    Charges: {
        "overhead": (0, 4), "allowance": (0, 1), "learning": (0.5, 1), "stages": None, "outside": None,
        "confidence": (0.5, 0.999), "tax": (0, 0.6), "deposit": (0, 1), "valid": (1, 730),
    },
}  # fmt: skip


@pytest.mark.parametrize("kind", LIMITS, ids=lambda kind: kind.__name__)
def test_numbers_may_be_what_they_always_might(kind):
    rows = {row.key: row for row in FIELDS[kind]}
    for key, limits in LIMITS[kind].items():
        if limits is None:
            assert rows[key].entries == 100  # stages, and services, in a list
        else:
            assert (rows[key].low, rows[key].high) == limits, key
    numbers = {row.key for row in FIELDS[kind] if row.high and row.kind is not Kind.MONEY}
    assert numbers == {key for key, limits in LIMITS[kind].items() if limits}


def test_amounts_may_be_nothing_but_not_less():
    amounts = [row for kind in (Bar, Material, Outside, Charges) for row in FIELDS[kind] if row.kind is Kind.MONEY]
    assert len(amounts) == 8
    assert {row.low for row in amounts} == {0}
    assert (TAX, DEPOSIT) == ((0, 0.6), (0, 1))


def test_a_new_workbooks_stages_take_seven_hours_a_knife_and_lose_seven_of_a_hundred():
    """4 + 18 + 6 + 22 + 8 + 20 + 30 + 50 + 30 + 110 + 60 + 30 + 15 minutes, a sheath 60; 0.96 x 0.97.

    Makers' own logs, in a batch where they tell of one: 650 minutes for a knife by itself, 180 less in a batch of twelve (common
    practice, no source). What a shop adds by correcting is its own.
    """
    usual = stages_of(STAGES, handled=True, sheathed=False)
    assert sum(stage.minutes for stage in usual) == 6 * 60 + 43
    assert sum(stage.minutes for stage in STAGES) == 6 * 60 + 43 + 60
    assert sum(stage.set_up for stage in usual) == 9 * 10 + 45 + 20 + 2 * 5
    assert prod(stage.good for stage in STAGES) == pytest.approx(0.9312)
    bare = [stage.name for stage in stages_of(STAGES, handled=False, sheathed=False)]
    assert len(usual) - len(bare) == 3
    assert not any("handle" in name for name in bare)
