"""What came of heat treatments: groups, medians of enough blades only, the published band, bows told apart."""

from statistics import median

import pytest

from workbook.document.document import Document
from workbook.document.making import blades_of, untempered
from workbook.document.making_records import EntryRecord, LoadRecord
from workbook.document.queries import job_of
from workbook.document.shop_records import PieceRecord
from workbook.formats.tables import facts
from workbook.heat.evening import minutes_to_temper
from workbook.heat.load import Bath, CycleKind, HeatCycle, HeatLoad
from workbook.making.entry import EntryKind, Logged, MeasuredAt
from workbook.model.heat_results import ResultBy, ResultOf, group_words, grouped, heat_results, treated_steels
from workbook.model.heat_words import controller_words
from workbook.model.heating import NO_HEAT, HeatAsked, told_of
from workbook.structs import replace
from workbook.tasks.demo import demo_document
from workbook.tasks.load import shaped


def with_records(document, *records):
    return Document({**document.records, **{record.id: record for record in records}})


@pytest.fixture
def read():
    """The demo with bars of two thicknesses, bows read after hardening, and a blade in a second, cooler load."""
    document = demo_document()
    pieces = [replace(document.get(f"a{n}", PieceRecord), thickness=2.5 + n / 100 if n < 4 else 3.0) for n in range(1, 6)]
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
        ("about 2.50 mm", [0.1, 0.2, 0.3]), ("about 3.00 mm", [0.4, 0.5])
    ]  # fmt: skip
    assert all(group.median is None and group.band is None for group in groups)
    assert group_words(groups[1], ResultOf.BOW, "mm") == "about 3.00 mm: 0.40, 0.50 mm"


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
    cold = HeatCycle(kind=CycleKind.COLD, asked=-75.0, minutes=480)
    assert minutes_to_temper((heats[0], cold, *heats[1:]), 3, Bath(temper_oven=oven)) == least + 480


def load_of(*kinds, at=1, pieces=("a1",)):
    """A load of heats, those called "to come" not done yet."""
    cycles = tuple(
        HeatCycle(kind=CycleKind(kind.removesuffix(" to come")), asked=200.0, done=not kind.endswith(" to come"))
        for kind in kinds
    )
    return LoadRecord(
        id=f"load{at}", place=float(at), number=at, date="2026-11-30", steel="52100", pieces=pieces, load=HeatLoad(cycles=cycles)
    )


@pytest.mark.parametrize(
    ("loads", "red"),
    [
        ([("harden", "temper to come")], [1]),  # asked for is not done
        ([("harden", "temper")], []),
        ([("harden",), ("cold",)], [1]),
        ([("harden",), ("stress relief",)], [1]),
        ([("harden",), ("temper",)], []),
        ([("harden",), ("temper to come",)], [1]),
        ([("harden",), ("harden", "temper to come")], [2]),
        ([("normalise", "harden", "cold"), ("temper", "temper to come")], []),
        ([("temper",)], []),
    ],
)
def test_a_load_is_red_until_a_temper_was_done(loads, red):
    plain = Document({key: each for key, each in demo_document().records.items() if not isinstance(each, LoadRecord)})
    document = with_records(plain, *(load_of(*kinds, at=n) for n, kinds in enumerate(loads, 1)))
    assert [record.number for record in untempered(document)] == red


def test_a_blade_that_cracked_waits_for_no_temper():
    document = with_records(demo_document(), load_of("harden", at=9, pieces=("a4",)))  # it is scrapped in the sample
    assert untempered(document) == []
    assert [each.number for each in untempered(with_records(document, load_of("harden", at=9, pieces=("a4", "a5"))))] == [9]


@pytest.fixture(scope="module")
def winter():
    document = demo_document()
    return shaped(job_of(document)), document.settings.bath, blades_of(document, "winter")


def told_by(winter, *cycles, steel="O1", bath=None, **more):
    model, own, pieces = winter
    return told_of(model, own if bath is None else bath, steel, pieces, HeatAsked(cycles=cycles, **more))


def heat(kind, fahrenheit, minutes=0.0):
    return HeatCycle(kind=CycleKind(kind), asked=(fahrenheit - 32) / 1.8, minutes=minutes)


@pytest.mark.parametrize("fahrenheit", [1, 14, 60, 2199, 2400])
def test_no_typed_temperature_is_a_fault(winter, fahrenheit):
    told = told_by(winter, heat("harden", fahrenheit), heat("temper", 400, 120))
    assert (told.end is None) == (not 68 <= fahrenheit <= 2192)


def test_a_load_of_tempers_alone_is_told_nothing_of_hardening(winter):
    told = told_by(winter, heat("temper", 400, 120), hardens=False, bath=Bath())
    assert told.stops == ()
    assert told.longest is None
    assert told.band is not None
    assert NO_HEAT in told_by(winter, heat("temper", 400, 120)).stops


@pytest.mark.parametrize(
    ("steel", "fahrenheit", "said"),
    [
        ("O1", 540, ["is outside what is published", "lose toughness"]), ("O1", 400, []), ("W2", 575, ["lose toughness"]),
        ("5160", 283, ["is outside what is published"]), ("A2", 500, []),
    ],
)  # fmt: skip
def test_a_temper_is_warned_of_by_what_is_published(winter, steel, fahrenheit, said):
    notes = " ".join(told_by(winter, heat("temper", fahrenheit, 120), steel=steel, hardens=False).notes)
    for words in ("is outside what is published", "lose toughness"):
        assert (words in notes) == (words in said), notes


def test_a_thermometer_that_is_off_says_what_it_must_show(winter):
    notes = " ".join(told_by(winter, heat("harden", 1475), bath=replace(winter[1], offset=-5.0)).notes)
    assert "5 °C (9 °F) too low: at 802 °C (1475 °F) it shows 797 °C (1466 °F)" in notes


def test_a_controller_is_told_no_hold_that_nobody_typed():
    (words,) = controller_words((heat("harden", 1475), heat("cold", -100, 60), heat("temper", 400, 120)), "in")
    assert "harden at 1475 °F, hold as the steel's sheet says and until the last blade is out" in words
    assert "temper at 400 °F, hold 120 min" in words
    assert "cold" not in words
