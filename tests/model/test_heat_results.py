"""What came of heat treatments: groups, medians of enough blades only, the published band, bows told apart."""

from statistics import median

import pytest

from workbook.document.document import Document
from workbook.document.making_records import EntryRecord, LoadRecord
from workbook.document.shop_records import PieceRecord
from workbook.formats.tables import facts
from workbook.heat.evening import minutes_to_temper
from workbook.heat.load import Bath, CycleKind, HeatCycle
from workbook.making.entry import EntryKind, Logged, MeasuredAt
from workbook.model.heat_results import ResultBy, ResultOf, group_words, grouped, heat_results, treated_steels
from workbook.structs import replace
from workbook.tasks.demo import demo_document


def with_records(document, *records):
    return Document({**document.records, **{record.id: record for record in records}})


@pytest.fixture
def read():
    """The demo with bars of two thicknesses, bows read after hardening, and a blade in a second, cooler load."""
    document = demo_document()
    pieces = [replace(document.get(f"a{n}", PieceRecord), thickness=2.5 if n < 4 else 3.0) for n in range(1, 6)]
    bows = [
        EntryRecord(
            id=f"bow{n}", place=900.0 + n, batch="autumn", at="2026-10-14T20:00:00",
            entry=Logged(
                kind=EntryKind.MEASURED, date="2026-10-14", stage="Straighten and correct", pieces=(f"a{n}",),
                readings=(MeasuredAt(what="bow", value=0.1 * n),),
            ),
        )
        for n in range(1, 6)
    ]  # fmt: skip
    first = document.get("load-autumn", LoadRecord)
    cooler = tuple(HeatCycle(kind=CycleKind.TEMPER, asked=at, minutes=120) for at in (150.0, 232.2))
    again = replace(first, id="again", place=2.0, number=2, pieces=("a5",), load=replace(first.load, cycles=cooler))
    return with_records(document, *pieces, *bows, again)


def test_blades_stand_by_their_hottest_temper_with_the_published_band(read):
    groups = grouped(facts(), heat_results(read, "52100"), ResultBy.TEMPER, ResultOf.HARDNESS, "in")
    assert [(group.words, sorted(group.values)) for group in groups] == [
        ("375 °F", [60.5, 61.0, 61.0, 61.5]), ("450 °F", [61.0])
    ]  # fmt: skip
    assert groups[0].median == median([60.5, 61.0, 61.0, 61.5])
    assert groups[1].median is None  # one blade says nothing
    rows = {row["temper_F"]: row for row in facts().rows("look_up/tempering") if "52100" in row["steel"]}
    low, high = groups[0].band
    around = [rows[at] for at in ("350", "400") if at in rows]
    assert min(float(row["HRC_lo"]) for row in around) <= low < high <= max(float(row["HRC_hi"]) for row in around)


def test_bows_stand_by_thickness(read):
    groups = grouped(facts(), heat_results(read, "52100"), ResultBy.THICKNESS, ResultOf.BOW, "mm")
    assert [(group.words, [round(value, 2) for value in group.values]) for group in groups] == [
        ("2.50 mm", [0.1, 0.2, 0.3]), ("3.00 mm", [0.4, 0.5])
    ]  # fmt: skip
    assert all(group.median is None and group.band is None for group in groups)
    assert group_words(groups[1], ResultOf.BOW, "mm") == "3.00 mm: 0.40, 0.50 mm"


def test_loads_and_recipes_tell_blades_apart(read):
    results = heat_results(read, "52100")
    by_load = grouped(facts(), results, ResultBy.LOAD, ResultOf.HARDNESS, "in")
    assert [(group.words, len(group.values)) for group in by_load] == [("load 1", 4), ("load 1+2", 1)]
    by_recipe = grouped(facts(), results, ResultBy.RECIPE, ResultOf.HARDNESS, "mm")
    assert {group.words for group in by_recipe} == {"829/191 °C, canola/rapeseed oil", "829/232 °C, canola/rapeseed oil"}


def test_blades_without_a_load_or_a_reading_are_left_out(read):
    assert treated_steels(read) == ["52100"]
    assert heat_results(read, "O1") == []
    without = heat_results(Document({key: each for key, each in read.records.items() if key != "bow1"}), "52100")
    (group, _other) = grouped(facts(), without, ResultBy.THICKNESS, ResultOf.BOW, "mm")
    assert [round(value, 2) for value in group.values] == [0.2, 0.3]


@pytest.mark.parametrize(("oven", "least"), [(True, 120 + 10 + 15 + 120), (False, 120 + 10 + 15 + 150 + 120)])
def test_an_evening_must_hold_the_first_temper(oven, least):
    heats = (
        HeatCycle(kind=CycleKind.HARDEN, asked=815.0, minutes=10), HeatCycle(kind=CycleKind.TEMPER, asked=200.0, minutes=120),
        HeatCycle(kind=CycleKind.TEMPER, asked=200.0, minutes=100),
    )  # fmt: skip
    assert minutes_to_temper(heats, 3, Bath(temper_oven=oven)) == least
    assert minutes_to_temper(heats[1:], 3, Bath()) == 0.0
