"""How a knife is to be cared for: by what its steel is made of, and its handle."""

import pytest

from workbook.formats.tables import facts
from workbook.shop.care import HANDLE_CARE, STEEL_CARE, USE, Care, HandleKind, Rusting, handle_kind, rusting

KNOWN = {
    "AISI 440C": Rusting.STAINLESS,
    "X50CrMoV15": Rusting.STAINLESS,
    "D2": Rusting.SLOW,  # 11 to 13 % of chromium, but 1.4 to 1.6 % of carbon (ASTM A681)
    "A2": Rusting.RUSTS,  # 4.75 to 5.5 % of chromium
    "52100": Rusting.RUSTS,
    "O1": Rusting.RUSTS,
    "an own steel": Rusting.UNKNOWN,
}


@pytest.mark.parametrize(("steel", "expected"), KNOWN.items())
def test_a_steel_is_stainless_by_its_chromium_and_carbon(steel, expected):
    """EN 10088-1 and ISO 15510: at least 10.5 % of chromium, at most 1.2 % of carbon."""
    assert rusting(steel, facts().steels, facts().rows("look_up/composition")) is expected


def test_the_limits_of_the_definition_are_those_of_the_standard():
    def steel(chromium, carbon):
        rows = [{"steel": "AISI 1084", "Cr": chromium, "C": carbon}]
        return rusting("1084", facts().steels, rows)

    assert steel("10.5-12.0", ".90-1.20") is Rusting.STAINLESS
    assert steel("10.4-14.0", ".90-1.20") is Rusting.RUSTS  # the least counts
    assert steel("10.5-12.0", ".90-1.21") is Rusting.SLOW  # the most counts
    assert steel("18.0 max", ".5") is Rusting.RUSTS  # it may have none
    assert steel("", ".90") is Rusting.RUSTS


HANDLES = {
    "desert ironwood": HandleKind.WOOD, "stabilized maple scales": HandleKind.STABILIZED, "bog oak": HandleKind.WOOD,
    "hornbeam": HandleKind.WOOD, "buffalo horn": HandleKind.HORN, "camel bones": HandleKind.HORN, "ash": HandleKind.WOOD,
    "green linen laminate": HandleKind.LAMINATE, "NEMA G-10 sheet": HandleKind.LAMINATE, "stacked leather": HandleKind.LEATHER,
    "brass": HandleKind.METAL, "something else": HandleKind.OTHER, "": HandleKind.OTHER,
}  # fmt: skip


@pytest.mark.parametrize(("name", "expected"), HANDLES.items())
def test_a_handle_is_known_by_the_words_of_its_name(name, expected):
    assert handle_kind(name) is expected


def test_every_knife_is_told_its_steel_its_handle_and_what_it_is_not_for():
    for steel in Rusting:
        for handle in HandleKind:
            lines = Care(steel, handle).lines
            assert lines[:2] == (STEEL_CARE[steel], HANDLE_CARE[handle]) and lines[2:] == USE
    assert any("dishwasher" in line for line in USE) and any("children" in line for line in USE)
