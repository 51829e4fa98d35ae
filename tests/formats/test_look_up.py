"""The shipped tables: every row says where it comes from; words find rows."""

import pytest

from workbook.formats.look_up import fact_tables


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
    tempering = next(t for t in fact_tables() if t.title == "Hardness after tempering")
    assert {row[0] for row in tempering.matching("o1 350")} == {"AISI O1"}
    assert len(tempering.matching("")) == len(tempering.rows)
    assert tempering.matching("unobtainium") == []


def test_heads_have_units():
    tempering = next(t for t in fact_tables() if t.title == "Hardness after tempering")
    assert tempering.heads[:3] == ("steel", "temper, °F", "temper, °C")


def test_what_can_hurt_has_its_caution():
    cautions = {t.title: t.caution for t in fact_tables()}
    assert "local rules" in cautions["Heat treatment of steels"]
    assert "check local law" in cautions["Limits for health and safety"]
    assert cautions["Woods"]
