"""The shipped tables: every row says where it comes from; words find rows."""

import pytest

from workbook.formats.look_up import celsius, fact_tables
from workbook.formats.tables import facts

OF_STEELS = ("Heat treatment of steels", "Hardness after tempering", "Composition of steels", "Names of steels")


def table(title):
    return next(t for t in fact_tables() if t.title == title)


@pytest.mark.parametrize("table", fact_tables(), ids=lambda table: table.title)
def test_every_row_has_its_source_and_how_sure_it_is(table):
    assert len(table.rows) > 5
    known = [table.heads.index(head) for head in ("source", "basis", "standard") if head in table.heads]
    sure = table.heads.index("sure, %") if "sure, %" in table.heads else None
    for row in table.rows:
        assert len(row) == len(table.heads)
        assert any(row[at] for at in known), row
        if sure is not None and row[sure - 1] != "no published data here":
            assert 50 <= float(row[sure]) <= 100, row


@pytest.mark.parametrize("table", fact_tables(), ids=lambda table: table.title)
def test_what_is_not_published_is_not_sure_either(table):
    for row in table.rows:
        if "basis" in table.heads and row[table.heads.index("basis")] == "no published data here":
            assert row[table.heads.index("sure, %")] == ""


def test_words_find_rows_in_any_column():
    tempering = table("Hardness after tempering")
    assert {row[0] for row in tempering.matching("o1 350")} == {"AISI O1"}
    assert len(tempering.matching("")) == len(tempering.rows)
    assert tempering.matching("unobtainium") == []


def test_heads_have_units():
    tempering = table("Hardness after tempering")
    assert tempering.heads[:3] == ("steel", "temper, °F", "temper, °C")


def test_what_can_hurt_has_its_caution():
    cautions = {t.title: t.caution for t in fact_tables()}
    assert "local rules" in cautions["Heat treatment of steels"]
    assert "check local law" in cautions["Limits for health and safety"]
    assert cautions["Woods"]


@pytest.mark.parametrize("title", OF_STEELS)
def test_every_row_of_a_table_of_steels_names_one_of_the_table_of_names(title):
    unknown = [row[0] for row in table(title).rows if not facts().steels.in_cell(row[0])]
    assert unknown == []


@pytest.mark.parametrize("title", (*OF_STEELS, "Densities"))
@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("1.3505", "52100"),
        ("W.-Nr. 1.3505", "52100"),
        ("100 Cr 6", "52100"),
        ("1.2379", "D2"),
        ("x153crmov12", "D2"),
        ("1.5634", "75Ni8"),
        ("UNS T31501", "O1"),
    ],
)
def test_any_name_of_a_steel_finds_its_rows_in_every_table(title, typed, name):
    found = {steel.name for row in table(title).matching(typed) for steel in facts().steels.in_cell(row[0])}
    assert found == {name}


def test_a_name_beside_other_words_finds_the_rows_of_both():
    rows = table("Hardness after tempering").matching("1.3505 350")
    assert [row[:2] for row in rows] == [("AISI 52100", "350")]


def test_a_near_steel_is_shown_with_the_names_but_not_found_for_it():
    assert {row[0] for row in table("Names of steels").matching("1.4112")} == {"440B", "X90CrMoV18"}
    assert {row[0] for row in table("Composition of steels").matching("1.4112")} == {"X90CrMoV18 (1.4112)"}


def test_no_name_stands_in_the_tables_with_a_word_that_is_none_of_it():
    assert not [row[0] for title in OF_STEELS for row in table(title).rows if row[0].endswith("extra")]


def test_degrees_celsius_stand_behind_fahrenheit_where_the_table_has_them_not():
    heads = table("Heat treatment of steels").heads
    for name in ("normalise", "anneal", "austenitise", "temper range"):
        assert heads.index(f"{name}, °C") == heads.index(f"{name}, °F") + 1
    assert table("Hardness after tempering").heads.count("temper, °C") == 1


@pytest.mark.parametrize(
    ("fahrenheit", "in_celsius"),
    [
        ("212", "100"),  # water boils
        ("1475-1550 (1500 aim)", "802-843 (816 aim)"),  # 5/9 of 1443, 1518 and 1468: 801.7, 843.3 and 815.6
        ("300-445 (2-4 h)", "149-229 (2-4 h)"),
        ("do not normalise", "do not normalise"),
        ("", ""),
    ],
)
def test_temperatures_turn_and_words_and_hours_stay(fahrenheit, in_celsius):
    assert celsius(fahrenheit) == in_celsius
