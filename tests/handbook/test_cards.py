"""The cards of the handbook: nothing of the tables is lost or changed on the way to them, in either unit."""

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.formats.tables import facts, rows
from workbook.handbook.card import CardKind, evidence_of, number_of
from workbook.handbook.cards import card_named, cards, cards_of, matching
from workbook.handbook.degrees import celsius, fahrenheit, in_both, of_axis, shown, span

INCH, MM = cards(rows, "in"), cards(rows, "mm")


def section(card, head):
    return next(section for section in card.sections if section.head == head)


def told(card, head):
    return {fact.name: (fact.value, fact.beside) for fact in section(card, head).entries}


def test_every_row_has_one_card_and_both_units_have_the_same_cards():
    kinds = Counter(card.kind for card in INCH)
    wanted = {"look_up/steels": CardKind.STEEL, "look_up/woods": CardKind.WOOD, "drills": CardKind.DRILL,
              "look_up/pins_and_bolts": CardKind.PIN, "look_up/grits": CardKind.GRIT}  # fmt: skip
    assert kinds == {kind: len(rows(table)) for table, kind in wanted.items()}
    assert [card.key for card in INCH] == [card.key for card in MM]
    assert [key for key, times in Counter(card.key for card in INCH).items() if times > 1] == []
    for card in INCH:
        assert card.sections
        for each in card.sections:
            assert all(evidence.words().strip(". ") for evidence in each.evidence), (card.key, each.head)
            assert each.evidence, (card.key, each.head)  # nothing is told without where it comes from


@pytest.mark.parametrize("steel", facts().steels.all)
def test_a_steel_is_found_by_each_of_its_names(steel):
    for name in (steel.name, *steel.others):
        assert card_named(INCH, name).title == steel.name
        assert matching(INCH, name)[0].title == steel.name


def test_what_words_find_begins_with_the_thing_of_that_name():
    assert next(card.title for card in matching(INCH, "#30")) == "#30"
    assert next(card.title for card in matching(INCH, "P120")) == "P120"
    assert {card.kind for card in matching(INCH, "1/8")[:2]} == {CardKind.DRILL, CardKind.PIN}
    assert matching(INCH, "maple sugar")[0].title == "sugar (hard) maple"  # the words in any order
    assert card_named(INCH, "unobtainium") is None


def test_temperatures_are_those_of_the_source_in_both_units():
    """The source of O2 and of X46Cr13 prints °C: 790 to 820, and 980 to 1030. O1 (handbooks): 1450 to 1500 °F."""
    assert told(card_named(MM, "O2"), "Heat treatment")["Harden from"] == ("790–820 °C", "1454–1508 °F")
    assert told(card_named(MM, "1.4034"), "Heat treatment")["Harden from"] == ("980–1030 °C", "1796–1886 °F")
    first, beside = told(card_named(INCH, "O1"), "Heat treatment")["Harden from"]
    assert (first, beside) == ("1450–1500 °F (1475 aim)", "788–816 °C (802 aim)")
    harden = next(step for step in section(card_named(INCH, "O1"), "Heat treatment").heat if step.fast)
    assert (fahrenheit(harden.low), fahrenheit(harden.high)) == (pytest.approx(1450), pytest.approx(1500))


@given(low=st.integers(100, 2400), more=st.integers(0, 400))
def test_a_range_is_read_and_shown_again(low, more):
    there = span(f"about {low}-{low + more} (x)")
    assert (fahrenheit(there.low), fahrenheit(there.high)) == (pytest.approx(low), pytest.approx(low + more))
    assert shown(there.low, there.high, "in").startswith(f"{low}–{low + more}" if more else f"{low} ")
    assert of_axis(low, "in") == celsius(low)
    assert of_axis(low, "mm") == low


def test_a_cell_without_degrees_is_left_as_it_is():
    assert span("do not normalise") is None
    assert in_both("do not normalise", "in") == ("do not normalise", "")


def test_tempering_points_are_the_tables():
    """52100 tempered at 400 °F: 58.5 to 61 HRC (its row's sources)."""
    (series,) = section(card_named(INCH, "52100"), "Hardness after tempering").temper
    at = {round(fahrenheit(point.at)): (point.low, point.high) for point in series.points}
    assert at[400] == (58.5, 61.0)
    two = section(card_named(INCH, "1080"), "Hardness after tempering").temper
    assert [each.name for each in two] == ["AISI 1075/1080", "AISI 1080 (measured)"]
    for each in (each for card in cards_of(CardKind.STEEL, rows, "in") for part in card.sections for each in part.temper):
        assert all(point.low <= point.high for point in each.points)
        assert [point.at for point in each.points] == sorted(point.at for point in each.points)


def test_the_density_of_carbon_steel_is_the_handbooks_in_both_units():
    """Steel handbooks: 490 lb/ft³, 0.2836 lb/in³."""
    assert told(card_named(INCH, "1084"), "Density")["Density"] == ("0.2836 lb/in³", "7.85 g/cm³")


def test_a_scale_moves_as_the_exact_formula_has_it():
    """Wood Handbook, ch. 13: change = width x (M2 - M1) / (3000/S - 30 + M1), S the shrinkage in %; the coefficient is its
    approximation for 6 to 14 % moisture. Species whose coefficients are of a group differ by up to 10 %.
    """
    tried = 0
    for row in rows("look_up/woods"):
        coefficient, shrinkage = number_of(row["C_T_per_pctMC"]), number_of(row["shrink_tangential_pct"])
        if coefficient is None or shrinkage is None or row["common"] == "mesquite":  # its two come from tables that disagree
            continue
        words = told(card_named(MM, row["common"]), "Movement")["A flat-sawn scale 32.0 mm wide, from 8 to 12% moisture"][0]
        exact = 32.0 * 4 / (3000 / shrinkage - 30 + 8)
        assert float(words.split()[2]) == pytest.approx(exact, rel=0.1, abs=0.02), row["common"]
        tried += 1
    assert tried > 15


def test_drills_grits_and_pins_tell_the_tables_values():
    """#30: 0.1285 in (ASME B94.11M); P120 is nearest to CAMI 120, P1000 to CAMI 500 (size charts)."""
    assert told(card_named(INCH, "#30"), "Size")["Diameter"] == ("0.1285 in", "3.264 mm")
    assert "1/8 solid pin" in told(card_named(INCH, "#30"), "Clearance for")
    assert told(card_named(MM, "#30"), "Size")["Diameter"] == ("3.264 mm", "0.1285 in")
    near = told(card_named(INCH, "P120"), "Nearest in other systems")
    assert near["CAMI / ANSI B74.18"][0] == "120"
    finishes = told(card_named(INCH, "P120"), "Finish it leaves")
    assert finishes["EN 10088-2 2J brushed/dull polished"][0] == "Ra 0.2–1.0 µm"


@pytest.mark.parametrize(
    ("basis", "words"),
    [
        ("source_seen", "Read in the source, almost certain (98%)."),
        ("secondary_seen x2", "Two copies that agree, almost certain (98%)."),
        ("from_memory", "From memory, almost certain (98%)."),
        ("common practice, no source", "Common practice, no source, almost certain (98%)."),
    ],
)
def test_evidence_is_told_in_words(basis, words):
    assert evidence_of({"source": "", "basis": basis, "sure_pct": "98"}).words() == words
    assert "doubtful (58%)" in evidence_of({"source": "A page.", "basis": basis, "sure_pct": "58"}).words()
