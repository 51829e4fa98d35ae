"""What is typed at the bench: blades in one line, minutes, readings."""

import pytest

from workbook.making.blade_line import BladesWish, blades_line
from workbook.making.cautions import caution_of
from workbook.making.entry import MeasuredAt
from workbook.making.minutes import minutes_in, minutes_words
from workbook.making.readings import reading_words, readings_in
from workbook.number_in import NumberError
from workbook.shop.charges import STAGES
from workbook.shop.entry import EntryError
from workbook.shop.labour import Stage, StageAsks

NAMES = [stage.name for stage in STAGES]


def line(text):
    return blades_line(text, ["Petty", "Paring"], ["52100", "O1"], NAMES)


@pytest.mark.parametrize(
    ("text", "wish"),
    [
        ("3 Petty of 52100 at hardening", BladesWish(quantity=3, template="Petty", steel="52100", stage="Harden and temper")),
        ("1 paring at Drill to 12", BladesWish(quantity=1, template="Paring", stage="Drill the tang", batch=12)),
        ("12 Petty in O1", BladesWish(quantity=12, template="Petty", steel="O1")),
        ("2 Petty at Grind after", BladesWish(quantity=2, template="Petty", stage="Grind after hardening")),
    ],
)
def test_blades_are_typed_in_one_line(text, wish):
    assert line(text) == wish


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("3 Petty at grind", "more than one stage has this name"),
        ("3 Petty at plating", "no stage has this name. The stages are Lay out and scribe"),
        ("3 Bowie", "no template has this name"),
        ("Petty", "Type a quantity and a template, e.g. "),
        ("3 Petty of 52100 for A. Moreno", "A blade gets its order later"),
    ],
)
def test_a_line_that_cannot_be_read_says_why(text, why):
    with pytest.raises(EntryError, match=why):
        line(text)


@pytest.mark.parametrize(
    ("text", "minutes"), [("95", 95), ("1:35", 95), ("1 h 35", 95), ("1.5 h", 90), ("95 min", 95), ("0", 0), ("2h5", 125)]
)
def test_minutes_are_typed_as_they_are_said(text, minutes):
    assert minutes_in(text, 600) == minutes


@pytest.mark.parametrize("text", ["", "an hour", "-5", "11:00", "601", "1:75"])
def test_other_minutes_are_refused(text):
    with pytest.raises(NumberError):
        minutes_in(text, 600)


def test_minutes_are_told_in_hours_from_two_on():
    assert [minutes_words(m) for m in (0, 95, 119.6, 125)] == ["0 min", "95 min", "2:00 h", "2:05 h"]


def test_readings_are_one_for_each_place():
    edge = readings_in("0.020 - 0.5mm", StageAsks.EDGE, "in")
    assert edge == (
        MeasuredAt(what="edge", where="heel", value=pytest.approx(0.508)),
        MeasuredAt(what="edge", where="point", value=0.5),
    )
    assert reading_words(edge[0], "in") == "edge, heel: 0.020 in"
    (hard,) = readings_in("61.5", StageAsks.HARDNESS, "mm")
    assert reading_words(hard, "mm") == "hardness: 61.5 HRC"


@pytest.mark.parametrize(
    ("text", "asks", "why"),
    [
        ("0.5 0.5", StageAsks.EDGE, "3 needed: heel, middle, tip"),
        ("- - -", StageAsks.EDGE, "no reading is given"),
        ("6", StageAsks.HARDNESS, "10"),
        ("half", StageAsks.BOW, "half"),
        ("0.5", StageAsks.NOTHING, "asks for no reading"),
    ],
)
def test_other_readings_are_refused(text, asks, why):
    with pytest.raises(ValueError, match=why):
        readings_in(text, asks, "mm")


@pytest.mark.parametrize(
    ("name", "word"),
    [("Grind before hardening", "belt"), ("Harden and temper", "never water"), ("Glue the handle", "Epoxy"), ("Oil it", "Rags")],
)
def test_a_stages_cautions_come_by_its_name(name, word):
    assert word in caution_of(Stage(name=name, set_up=0, minutes=0))
    assert caution_of(Stage(name="Lay out", set_up=0, minutes=0)) == ""
