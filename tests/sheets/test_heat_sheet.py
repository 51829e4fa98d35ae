"""The heat-treatment sheet: every blade once, cautions first, what was asked and read as it was kept, the rest to write in."""

import pytest

from tests.sheets.test_bench_card import boxes
from tests.sheets.test_packing import texts
from tests.sheets.test_traveller_sheet import overlap, run_on
from workbook.document.actions.making import Typed, enter
from workbook.document.making import blades_of
from workbook.document.making_records import LoadRecord
from workbook.document.queries import job_of
from workbook.geometry.drawing import Curve
from workbook.geometry.path import flatten
from workbook.heat.load import Bath, CycleKind
from workbook.making.entry import EntryKind, Logged, MeasuredAt
from workbook.problems import JobError
from workbook.sheets.heat_sheet import HEAT_SERIAL, HeatedBlade, HeatLine, HeatSheet, heat_drafts
from workbook.structs import replace
from workbook.tasks.demo import demo_document
from workbook.tasks.exports import Wanted, exported, proposed
from workbook.tasks.exports.heat import heat_sheets_of
from workbook.tasks.load import shaped
from workbook.tasks.sheets import run_of

KNOWN = ("What is known of it, in a line." + " And another." * 10,) * 4


def sheet(blades, *, words="Drop-point hunter, The Slipway galley and its sister on the other quay"):
    return HeatSheet(
        title="Load 7, O1", under="2026-11-30", purpose="purpose", caution="A caution of many words." + " And more." * 16,
        stops=("The tank is too shallow for these blades." + " So it is." * 6,), words=KNOWN,
        steps=tuple(HeatLine(name=f"temper {n}", asked="375 °F", minutes="120", read="") for n in range(4)),
        quench=tuple((f"Head {n}", "canola/rapeseed oil") for n in range(6)),
        read=tuple((f"Read {n}", "hot off the quench") for n in range(6)),
        blades=tuple(
            HeatedBlade(serial=f"T{n}", words=words, mass="112", before="0.25", after="", hardness="") for n in range(blades)
        ),
        bow_unit="mm", result="; ".join(["It came out well, all of it"] * 20),
    )  # fmt: skip


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("blades", [1, 8, 12, 40])
def test_every_blade_once_large_enough_and_nothing_over_anything_or_beyond_the_page(paper, blades):
    run = run_on(paper)
    pages = list(heat_drafts(run, sheet(blades)))
    words = [mark for page in pages for mark in texts([page])]
    assert min(mark.size for mark in words) >= 9
    assert [mark.text for mark in words if mark.size == HEAT_SERIAL and mark.text.startswith("T")] == [
        f"T{n}" for n in range(blades)
    ]
    assert HEAT_SERIAL >= 16
    assert " ".join(mark.text for mark in words).count("It came out well,") == 20
    for page in pages:
        placed = list(boxes(page.marks))
        for n, (*a, words) in enumerate(placed):
            assert run.margin - 0.1 <= a[0] < a[2] <= page.width - run.margin + 0.1
            assert a[1] >= run.margin + 3.0  # the foot stands under it
            for *b, other in placed[n + 1 :]:
                assert not overlap(a, b), (words, other)
        lines = [flatten(mark.path) for mark in page.marks if isinstance(mark, Curve)]
        levels = sorted({round(line[0, 1], 3) for line in lines if line[0, 1] == line[-1, 1]})
        assert all(low >= run.margin + 3.0 for low in levels)


def test_a_row_grows_with_its_words():
    def levels(words):
        (page,) = heat_drafts(run_on("a4"), sheet(1, words=words))
        return {round(mark.at[1], 1) for mark in page.marks if getattr(mark, "text", "") == "T0"}

    assert max(levels("short")) > max(levels("a very long name, and whose it is, in many words " * 3))


def wanted(document, batch, unit="in"):
    model = shaped(job_of(document))
    run = replace(run_of(model.job, "letter", ""), unit=unit)
    return Wanted(model=model, run=run, keys=(), document=document, batch=batch)


def test_a_load_stands_as_it_was_kept():
    (made,) = heat_sheets_of(wanted(demo_document(), "autumn"))
    fahrenheit = [f"{round(celsius * 9 / 5 + 32)} °F" for celsius in (829.4, 190.6, 190.6, 832.2, 190.6, 193.3)]
    assert [step.asked for step in made.steps] + [step.read for step in made.steps] == fahrenheit
    assert [step.minutes for step in made.steps] == ["10", "120", "120"]
    assert [value for _head, value in made.quench] == ["coating", "canola/rapeseed oil", "125 °F", "150 °F", "125 °F", "140 °F"]
    assert [(blade.serial, blade.hardness) for blade in made.blades] == [
        ("26-01", "61"), ("26-02", "61.5"), ("26-03", "61"), ("26-04", "60.5"), ("26-05", "61")
    ]  # fmt: skip
    assert made.stops == ()
    assert "begin earlier" in made.result
    metric = next(heat_sheets_of(wanted(demo_document(), "autumn", "mm")))
    assert [step.asked for step in metric.steps] == ["829 °C", "191 °C", "191 °C"]


def test_what_is_still_to_be_hardened_gets_boxes_and_the_published_aim():
    (made,) = heat_sheets_of(wanted(demo_document(), "winter"))
    assert [(step.asked, step.read) for step in made.steps] == [("1475 °F", ""), ("", ""), ("", "")]  # O1's aim; no temper's
    assert made.stops == ()
    assert any(words.startswith("AISI O1: harden 1450–1500 °F") for words in made.words)
    assert {blade.serial for blade in made.blades} == {piece.serial for piece in blades_of(demo_document(), "winter")}
    document = demo_document()
    plain = type(document)({key: each for key, each in document.records.items() if key != "recipe-52100"})
    (other,) = heat_sheets_of(wanted(plain, "santoku"))
    assert [step.asked for step in other.steps] == ["", "", ""]  # 52100 has a range, and no one aim


def test_a_makers_own_way_is_asked_for_with_its_source_and_the_steps_for_a_controller():
    (made,) = heat_sheets_of(wanted(demo_document(), "santoku"))
    assert [(step.name, step.asked, step.minutes) for step in made.steps] == [
        ("normalize", "1650 °F", "10"), ("harden", "1525 °F", "12"), ("temper 1", "385 °F", "120"), ("temper 2", "385 °F", "120")
    ]  # fmt: skip
    assert made.words[0].startswith("Your recipe of Oct 14, 2026: normalize 1650 °F, 10 min; harden 1525 °F")
    assert "Source: three coupons" in made.words[0]
    assert "harden at 1525 °F, hold 12 min and until the last blade is out; temper at 385 °F, hold 120 min" in made.words[-1]
    assert dict(made.quench)["Decarb protection"] == "coating"


def test_a_shallow_tank_stops_it_even_without_a_temperature():
    document = demo_document()
    settings = replace(document.settings, bath=Bath(oil="canola/rapeseed oil", litres=10.0, depth=150.0))
    shallow = type(document)({**document.records, settings.id: settings})
    for batch in ("winter", "santoku"):
        (made,) = heat_sheets_of(wanted(shallow, batch))
        assert (["Too shallow" in why for why in made.stops] == [True]) is (batch == "santoku"), made.stops


def test_bow_before_and_after_hardening_are_told_apart():
    document = demo_document()
    for n, (stage, value) in enumerate((("Grind before hardening", 0.2), ("Straighten and correct", 0.4))):
        read = (MeasuredAt(what="bow", value=value),)
        entry = Logged(kind=EntryKind.MEASURED, date="2026-10-12", stage=stage, pieces=("a1",), readings=read)
        document = document.applied(enter(document, "autumn", entry, Typed(f"bow{n}", "2026-10-12T20:00:00")))
    (made,) = heat_sheets_of(wanted(document, "autumn", "mm"))
    assert (made.blades[0].before, made.blades[0].after) == ("0.20", "0.40")
    assert (made.blades[1].before, made.blades[1].after) == ("", "")


def test_a_batch_that_needs_none_is_refused_and_the_file_is_named_after_it():
    document = demo_document()
    without = type(document)({key: record for key, record in document.records.items() if key != "load-autumn"})
    with pytest.raises(JobError, match="no blade of the batch is still to be hardened"):
        exported(wanted(without, "autumn"), ["heat"])
    asked = wanted(document, "autumn")
    assert proposed(asked, "heat") == next(iter(exported(asked, ["heat"]))) == "heat-autumn-run.pdf"


def test_a_load_that_waits_for_its_temper_says_so_on_paper():
    document = demo_document()
    record = document.get("load-autumn", LoadRecord)
    cycles = tuple(replace(cycle, done=cycle.kind is CycleKind.HARDEN) for cycle in record.load.cycles)
    waiting = replace(record, load=replace(record.load, cycles=cycles))
    made, kept = (
        next(heat_sheets_of(wanted(type(document)({**document.records, each.id: each}), "autumn"))) for each in (waiting, record)
    )
    assert made.stops == ("Quenched and not tempered. As quenched, steel can shatter. Temper it now.",)
    assert [step.name for step in made.steps] == ["harden", "temper 1 (to come)", "temper 2 (to come)"]
    assert kept.stops == ()
    assert [step.name for step in kept.steps] == ["harden", "temper 1", "temper 2"]
    assert dict(kept.read) == {
        "Time of quench": "20:40", "Furnace to quench, s": "3", "File test": "skates", "HRC as quenched": "",
        "Straightened": "hot off the quench", "Wait before temper, min": "35",
    }  # fmt: skip


def test_a_blade_that_is_held_is_marked_on_the_sheet_to_fill_in():
    (made,) = heat_sheets_of(wanted(demo_document(), "winter"))
    assert [blade.words.endswith("(held, not measured)") for blade in made.blades] == [False, False, True, True]
    assert all(value == "" for _head, value in made.read)
