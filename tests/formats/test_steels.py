"""The table of steels: any standard name in any spelling finds its row, and nothing else does."""

import re

import pytest

from workbook.formats.tables import facts

NAMES = [(name, steel.name) for steel in facts().steels.all for name in (steel.name, *steel.others)]
ASKED = [
    "1050", "1055", "1060", "1065", "1070", "1074", "1075", "1080", "1084", "1095", "5160", "52100", "O1", "O2", "A2", "D2",
    "W1", "W2", "L6", "S7", "M2", "440A", "440B", "440C", "420", "X50CrMoV15", "X46Cr13", "X65Cr13", "X90CrMoV18", "C75S",
    "C100S", "51CrV4", "115CrV3", "80CrV2", "75Ni8", "8670", "6150",
]  # fmt: skip


@pytest.mark.parametrize("name", ASKED)
def test_the_steels_knives_are_made_of_are_there(name):
    assert facts().steels.named(name).name == name


@pytest.mark.parametrize(("name", "wanted"), NAMES)
def test_each_name_finds_its_row_in_any_spelling(name, wanted):
    apart = re.sub(r"(?<=\d)(?=[A-Za-z])|(?<=[A-Za-z])(?=\d)", " ", name)  # "100 Cr 6"
    for spelling in (name, f"  {name} ", name.lower(), name.upper(), apart):
        assert facts().steels.named(spelling).name == wanted, spelling


def test_no_two_steels_share_a_name():
    for steel in facts().steels.all:
        assert {facts().steels.named(name) for name in (steel.name, *steel.others)} == {steel}


@pytest.mark.parametrize(
    "text", ["W.-Nr. 1.3505", "W.Nr. 1.3505", "w nr 1.3505", "Werkstoffnummer 1.3505", "1.3505", "EN 100Cr6", "DIN EN 100 Cr 6"]
)
def test_whose_name_it_is_may_stand_before_it(text):
    found = [facts().steels.named(name) for name in (text, "AISI 52100", "SAE52100", "UNS G52986")]
    assert len(set(found)) == 1 and found[0] is not None


@pytest.mark.parametrize(
    "text", ["", " ", "AISI", "AISI 52100 extra", "D2 extra", "52100 1084", "1.350", "1.35055", "2", "my own heat", "steel", "E"]
)
def test_an_unknown_name_or_one_with_more_words_finds_nothing(text):
    assert facts().steels.named(text) is None


@pytest.mark.parametrize("near", ["1.1545", "C105U", "1.4109", "1.2714", "X20Cr13", "1.2355", "95MnWCr5"])
def test_what_is_only_near_a_steel_is_not_that_steel(near):
    assert any(near in steel.near for steel in facts().steels.all)
    assert facts().steels.named(near) is None


def test_steels_near_each_other_are_two():
    for one, other in [("6150", "51CrV4"), ("1095", "C100S"), ("440B", "X90CrMoV18"), ("1074", "C75S"), ("80CrV2", "75Cr1")]:
        assert facts().steels.named(one) != facts().steels.named(other)
        assert other in facts().steels.named(one).near


def test_a_cell_of_a_table_names_its_steels_before_the_brackets():
    assert [steel.name for steel in facts().steels.in_cell("AISI 1075/1080 (measured 0.74 C)")] == ["1075", "1080"]
    assert [steel.name for steel in facts().steels.in_cell("75Cr1 (analogue for 80CrV2)")] == ["75Cr1"]
    assert facts().steels.in_cell("carbon steel (handbook)") == ()


def test_the_groups_are_these():
    assert {steel.group for steel in facts().steels.all} == {
        "plain carbon",
        "low alloy",
        "cold-work tool",
        "high speed",
        "stainless",
    }


def test_the_two_tables_of_densities_agree():
    of_names = {steel.name: steel.density for steel in facts().steels.all}
    both = {name: (of_names[name], density) for name, density in facts().densities.items() if name in of_names}
    assert len(both) > 10
    assert all(one == other for one, other in both.values()), both


@pytest.mark.parametrize(("name", "density"), [("1.2379", 7.7), ("AISI 52100", 7.81), ("100 Cr 6", 7.81), ("M2", 8.14)])
def test_a_steel_weighs_the_same_by_each_of_its_names(name, density):
    assert facts().density(name) == facts().known_density(name) == density


@pytest.mark.parametrize("name", ["8670", "D2 extra", "my own heat", "1.2210", ""])
def test_where_no_table_has_a_density_carbon_steels_is_assumed_and_not_said_to_be_known(name):
    assert facts().known_density(name) is None
    assert facts().density(name) == 7.85


def test_what_only_the_table_of_densities_has_is_known_too():
    assert facts().known_density("AISI 304") == facts().density("304") == 8.0


@pytest.mark.parametrize(
    ("name", "word"), [("1.2379", "air"), ("O2", "oil"), ("1.2842", "oil"), ("W2", "water"), ("T30102", "air"), ("1.3505", "oil")]
)
def test_a_quench_is_found_by_any_name(name, word):
    assert facts().quench_words(name).replace("still/forced ", "").replace("agitated ", "").startswith(word)


@pytest.mark.parametrize("name", ["D2 extra", "8670", "1.2210", "my own heat", ""])
def test_a_steel_without_a_row_or_without_data_has_no_quench(name):
    assert facts().quench_words(name) == ""
