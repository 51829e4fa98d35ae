"""A file and a session of every version ever released open as they were meant; there is a step from each to the next."""

import json
import shutil
import sqlite3
from decimal import Decimal
from pathlib import Path

import pytest

from tests.named import named
from tests.storage.conftest import told
from workbook.document.action import Action
from workbook.document.action_words import in_words
from workbook.document.fields import FIELDS
from workbook.document.making import blades_of
from workbook.document.making_records import BatchRecord, EntryRecord, LoadRecord, RecipeRecord
from workbook.document.money_records import (
    AfterKind,
    AfterRecord,
    ExpenseKind,
    ExpenseRecord,
    InvoiceRecord,
    PaymentKind,
    PaymentRecord,
    SaleRecord,
)
from workbook.document.orders import customer_of, cut_by_line, ledger_of, lines_of
from workbook.document.queries import job_of, layouts_kept, template_named
from workbook.document.records import AT_HAND, BarRecord, FamilyRecord, LayoutRecord, MaterialRecord, Revision, TemplateRecord
from workbook.document.shop_records import CustomerRecord, OrderRecord, PictureRecord, PieceRecord
from workbook.heat.load import Bath, Cover, CycleKind, FileTest, Straightened
from workbook.making.entry import EntryKind
from workbook.sheath.rules import SheathForm, SheathHand, SheathRules
from workbook.shop.hours import DaysOff, ShopDay, ShopHours
from workbook.shop.job import Quench
from workbook.shop.labour import StageAsks
from workbook.shop.ledger import Reason
from workbook.shop.materials import MaterialKind
from workbook.shop.orders import Status
from workbook.shop.pricing import PriceMethod
from workbook.storage.attachment import digest_in
from workbook.storage.backups import kept
from workbook.storage.file import read, written
from workbook.storage.migrations import STEPS, VERSION
from workbook.storage.opening import open_path, recover, restored
from workbook.storage.trouble import StorageTrouble
from workbook.storage.unsaved import sessions
from workbook.template.hole_places import Across, Along, Datum
from workbook.template.model import Fittings, FreePoint, Held, OutlineRun, Taper
from workbook.template.service import DxfVersion
from workbook.template.tools import Owned

DONE = {
    1: (4, 5),
    2: (9, 10),
    3: (13, 14),
    4: (15, 16),
    5: (19, 20),
    6: (20, 21),
    7: (22, 23),
    8: (25, 25),
    9: (27, 27),
    10: (28, 28),
    11: (31, 31),
    12: (40, 40),
    13: (43, 43),
    14: (44, 44),
    15: (56, 56),
    16: (59, 59),
}
LAST = {
    7: "Petty: Blade length 5 5/8 in",
    8: "Petty: Blade length 5 45/64 in",
    9: "Petty: Blade length 5 25/32 in",
    10: "Holes along from: the handle front",
    11: "Petty saved as the family House petty",
    12: "load 1: 2 blades of 52100 heat-treated",
    13: "own heat treatment of 52100 saved",
    14: "Dates and amounts as in: Austria",
    15: "Shop temperature: 18 °C",
    16: "Min. offcut width: 1 in",
}
LEFT_AT = {
    6: 143.5,
    7: 144.0,
    8: 146.0,
    9: 148.0,
    10: 150.0,
    11: 152.0,
    12: 154.0,
    13: 156.0,
    14: 157.0,
    15: 158.0,
    16: 159.0,
}  # mm, the blade
SAMPLES = Path(__file__).parents[1] / "samples"


def test_there_is_a_sample_of_every_version_and_a_step_from_each_to_the_next():
    assert [(SAMPLES / f"version-{n}.shopbook").is_file() for n in range(1, VERSION + 1)] == [True] * VERSION
    assert all((SAMPLES / f"version-{n}.session").is_file() for n in range(6, VERSION + 1))  # older sessions are made of files
    assert set(STEPS) <= set(range(1, VERSION))
    came = {row.since for table in FIELDS.values() for row in table}
    assert came - {0} | {n + 1 for n in STEPS} >= set(range(10, VERSION + 1)), "a version with which nothing came"


@pytest.mark.parametrize("version", range(1, VERSION + 1))
def test_the_sample_of_a_version_opens_with_all_it_holds(version):
    body = read(SAMPLES / f"version-{version}.shopbook").body
    job = job_of(body.document)
    assert [t.name for t in job.templates] == ["Petty", "Santoku type", "Paring", "Fillet"]
    assert named(job, "Petty").blade.length == {
        7: 142.5,
        8: 145.0,
        9: 147.0,
        10: 147.0,
        11: 147.0,
        12: 147.0,
        13: 147.0,
        14: 147.0,
        15: 147.0,
        16: 147.0,
    }.get(version, 141.0)
    assert len(job.bars) == 5
    assert sum(wish.quantity for wish in job.make) == (13 if version >= 8 else 14)  # one more was cut then
    assert job.saw.band == 6.35
    assert len(list(body.document.all(Revision))) == (2 if version >= 8 else 1)
    assert told(body.steps[-1]) == LAST.get(version, "Fillet: blade length 7 1/4 in")
    assert (body.done, len(body.steps)) == DONE[version]


def undone(body):
    """The document at its oldest step, and again at its last."""
    document = body.document
    for step in reversed(body.steps[: body.done]):
        document = document.applied(step.undone(document))
    oldest = document
    for step in body.steps[: body.done]:
        document = document.applied(step.done_again(document))
    return oldest, document


@pytest.mark.parametrize("version", range(1, VERSION + 1))
def test_the_history_of_a_sample_can_be_undone_and_done_again_whole(version):
    body = read(SAMPLES / f"version-{version}.shopbook").body
    oldest, again = undone(body)
    assert again == body.document
    assert named(job_of(oldest), "Petty").blade.length == 139.7
    assert [t.name for t in job_of(oldest).templates] == ["Petty", "Santoku type", "Paring"]


OLD_SESSION = """PRAGMA journal_mode=WAL;
CREATE TABLE note(name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
CREATE TABLE record(id TEXT PRIMARY KEY, place INTEGER NOT NULL, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
CREATE TABLE step(number INTEGER PRIMARY KEY, words TEXT NOT NULL, at TEXT NOT NULL, changes TEXT NOT NULL) STRICT;
PRAGMA application_id=1397247824;
PRAGMA user_version=1;
"""


def old_session(folder, version):
    """The sample of a version as the session that its program made of it, with a change that never reached a file."""
    content = json.loads((SAMPLES / f"version-{version}.shopbook").read_bytes().split(b"\n")[1])
    folder.mkdir()
    file = folder / f"{'0' * 32}.session"
    with sqlite3.connect(file) as at:
        at.executescript(OLD_SESSION)
        rows = [(row["record"]["id"], n, json.dumps(row)) for n, row in enumerate(content["records"], 1)]
        at.executemany("INSERT INTO record VALUES(?,?,?)", rows)
        steps = [(n, words, moment, json.dumps(changes)) for n, (words, moment, changes) in enumerate(content["history"], 1)]
        at.executemany("INSERT INTO step VALUES(?,?,?,?)", steps)
        notes = {"done": content["done"], "changed": 3, "published": 2, "path": "/shop/shop.shopbook", "base": "abc"}
        at.executemany("INSERT INTO note VALUES(?,?)", [(name, str(value)) for name, value in notes.items()])
    at.close()
    return file


@pytest.mark.parametrize("version", range(1, 7))
def test_the_session_of_an_older_program_goes_on_and_a_copy_of_it_is_kept(version, tmp_path):
    file = old_session(tmp_path / "sessions", version)
    before = file.read_bytes()
    (left,) = sessions(tmp_path / "sessions")
    assert (left.name, left.path, left.saved) == ("Harbour kitchen run", Path("/shop/shop.shopbook"), False)
    assert file.read_bytes() == before, "looking changes nothing"
    session = recover(file)
    same = read(SAMPLES / f"version-{version}.shopbook").body
    assert session.document == same.document
    assert (session.done, len(session.steps), session.path) == (same.done, len(same.steps), Path("/shop/shop.shopbook"))
    while session.undo():
        pass
    assert named(job_of(session.document), "Petty").blade.length == 139.7
    session.close()
    assert [one.saved for one in sessions(tmp_path / "sessions")] == [False]
    (copy,) = kept(tmp_path / "backups")
    assert (copy.before_update, copy.file.read_bytes()) == (True, before)
    again = restored(tmp_path / "elsewhere", copy.file)
    assert (again.document, again.path) == (same.document, None)
    again.close()


@pytest.mark.parametrize("version", range(6, VERSION + 1))
def test_the_session_that_a_program_left_opens_with_all_it_holds(version, tmp_path):
    (tmp_path / "sessions").mkdir()
    file = tmp_path / "sessions" / f"{'1' * 32}.session"
    shutil.copy(SAMPLES / f"version-{version}.session", file)
    session = recover(file)
    assert named(job_of(session.document), "Petty").blade.length == LEFT_AT[version]
    assert session.document.settings.name == "Harbour kitchen run"
    assert len(list(session.document.all(PictureRecord))) == (version > 6)
    assert all(session.attachment(picture.picture) for picture in session.document.all(PictureRecord))
    if version == 6:
        assert told(session.redo()) == "name Moved on"
        assert session.document.settings.name == "Moved on"
    while session.undo():
        pass
    assert named(job_of(session.document), "Petty").blade.length == 139.7
    session.close()


def test_a_session_of_an_older_program_is_not_touched_where_no_copy_can_be_kept(tmp_path, monkeypatch):
    file = old_session(tmp_path / "sessions", 6)
    before = file.read_bytes()

    def full(*_, **__):
        raise StorageTrouble("the disk is full.")

    monkeypatch.setattr("workbook.storage.backups.replace_whole", full)
    with pytest.raises(StorageTrouble, match="the disk is full"):
        recover(file)
    assert file.read_bytes() == before
    monkeypatch.undo()
    recover(file).close()


def test_a_file_of_an_older_version_is_copied_before_it_is_worked_on(tmp_path):
    file = tmp_path / "shop.shopbook"
    shutil.copy(SAMPLES / "version-3.shopbook", file)
    for _ in range(2):  # the second time the copy is there
        open_path(tmp_path / "sessions", file).close()
        (copy,) = kept(tmp_path / "backups")
        assert (copy.before_update, copy.file.read_bytes()) == (True, file.read_bytes())


def test_version_7_holds_a_picture_once_and_its_steps_hold_what_changed():
    body = read(SAMPLES / "version-7.shopbook").body
    (picture,) = body.document.all(PictureRecord)
    assert body.attachments[digest_in(picture.picture)].kind == "image/png"
    assert (SAMPLES / "version-7.shopbook").read_bytes().count(b"\x89PNG") == 1
    told_later, said_then = body.steps[-1].action, body.steps[-3].action
    assert told_later == Action("template.parameter", {"template": "Petty", "parameter": "blade.length", "value": 143.0})
    assert in_words(told_later, "mm") == "Petty: Blade length 143.0 mm"
    assert in_words(said_then, "mm") == "Petty: blade length 5 39/64 in"
    assert json.loads(body.steps[-1].changes) == [["id1", [[["family", "blade", "length"], 142.5, 143.0]]]]
    assert len((SAMPLES / "version-7.shopbook").read_bytes()) < len((SAMPLES / "version-6.shopbook").read_bytes()) / 2


def test_version_8_holds_the_bar_that_was_chosen_and_the_one_that_a_blank_was_cut_from():
    document = read(SAMPLES / "version-8.shopbook").body.document
    petty = template_named(document, "Petty")
    bar = document.get(petty.bar, BarRecord)
    assert (petty.ground_from, bar.bar.name) == ("bar", "52100 5/64 x 2 1/2 x 36")
    piece = next(piece for piece in document.all(PieceRecord) if piece.serial == "Z1")
    assert (piece.of_bar, piece.thickness, piece.width) == (bar.id, 1.984375, pytest.approx(63.627))
    assert (piece.measured.thickness, piece.measured.middle, piece.measured.far) == (1.9685, 1.99, 2.01)


def test_version_9_holds_the_batch_an_order_is_made_in():
    (order,) = read(SAMPLES / "version-9.shopbook").body.document.all(OrderRecord)
    (before,) = read(SAMPLES / "version-8.shopbook").body.document.all(OrderRecord)
    assert (order.batch, before.batch) == ("spring", "")


def test_version_10_holds_what_holes_are_measured_from():
    datums = [read(SAMPLES / f"version-{n}.shopbook").body.document.settings.rules.datum for n in (9, 10)]
    assert datums == [Datum(), Datum(along=Along.FRONT, across=Across.CENTER)]


def test_version_11_holds_a_family_of_the_makers_own_fittings_and_the_shops_contact():
    document = read(SAMPLES / "version-11.shopbook").body.document
    (own,) = document.all(FamilyRecord)
    petty = template_named(document, "Petty")
    assert own.template.fittings == Fittings(liner=0.8)
    assert document.settings.contact == "0123 456"
    assert (own.template.name, own.template.blade, petty.own_family) == ("House petty", petty.family.blade, own.id)


def test_version_12_holds_how_sheaths_are_made_and_what_one_is_made_of():
    document, before = (read(SAMPLES / f"version-{n}.shopbook").body.document for n in (12, 11))
    own = document.settings.sheath
    assert (own.form, own.leather, own.hand) == (SheathForm.FLAT, 2.8, SheathHand.LEFT)
    assert before.settings.sheath == SheathRules()
    line, older = (lines_of(each, next(each.all(OrderRecord)).id)[0] for each in (document, before))
    assert (document.get(line.sheath, MaterialRecord).material.kind, older.sheath) == (MaterialKind.SHEATH, "")


def test_version_12_holds_a_batch_what_was_entered_about_its_blades_and_how_they_were_hardened():
    document = read(SAMPLES / "version-12.shopbook").body.document
    (batch,) = document.all(BatchRecord)
    assert (batch.number, batch.name, batch.note) == (2, "before the workbook", "ground last winter")  # the first is what was cut
    assert [stage.asks for stage in batch.stages if stage.hold] == [StageAsks.EDGE, StageAsks.HARDNESS]
    first, second = blades_of(document, batch.id)
    assert (first.serial, second.serial, first.first, first.bar) == ("P12", "P13", "Harden and temper", "")
    measured, lost = (record.entry for record in document.all(EntryRecord))
    assert [(each.what, each.where, each.value) for each in measured.readings] == [
        ("edge", "heel", 0.6), ("edge", "middle", 0.55), ("edge", "point", 0.5)
    ]  # fmt: skip
    assert (lost.kind, lost.pieces, lost.minutes, lost.reason, lost.who) == (EntryKind.SCRAP, (second.id,), 12.5, "cracked", "me")
    (load,) = document.all(LoadRecord)
    assert (load.pieces, load.steel, load.load.cover, load.load.after) == ((first.id, second.id), "52100", Cover.COATING, 61.0)
    assert [(each.kind, each.asked, each.read) for each in load.load.cycles] == [
        (CycleKind.HARDEN, 802.0, 805.0), (CycleKind.TEMPER, 205.0, None)
    ]  # fmt: skip
    assert document.settings.bath == Bath(
        oil="canola/rapeseed oil", litres=8.0, depth=350.0, start=54.0, ceiling=200.0, temper_oven=True
    )


def test_version_13_holds_what_was_read_of_a_load_and_a_makers_own_way_with_a_steel():
    document, before = (read(SAMPLES / f"version-{n}.shopbook").body.document for n in (13, 12))
    (load,), (older,) = ([record.load for record in each.all(LoadRecord)] for each in (document, before))
    assert (load.furnace, load.quenched, load.seconds, load.as_quenched, load.until_temper) == (
        "gas forge",
        "21:40",
        2.5,
        63.5,
        40,
    )
    assert (load.file, load.straightened) == (FileTest.BITES, Straightened.IN_TEMPER)
    assert [cycle.done for cycle in load.cycles] == [True, False]
    assert [cycle.done for cycle in older.cycles] == [True, True]  # all that was logged then was done
    assert (older.furnace, older.quenched, older.seconds, older.file) == ("", "", None, FileTest.NOT_TRIED)
    (own,) = document.all(RecipeRecord)
    assert (own.steel, own.recipe.cover, own.recipe.source, own.recipe.date) == (
        "52100", Cover.ATMOSPHERE, "five coupons", "2026-11-29"
    )  # fmt: skip
    assert [(each.kind, each.asked, each.minutes) for each in own.recipe.cycles] == [
        (CycleKind.NORMALISE, 870.0, 9.0), (CycleKind.HARDEN, 815.0, 11.0), (CycleKind.COLD, -78.0, 60.0),
        (CycleKind.TEMPER, 200.0, 100.0),
    ]  # fmt: skip
    bath = document.settings.bath
    assert (bath.furnace, bath.filled, bath.offset, bath.litres) == ("kiln two", "2026-03-01", -4.5, 8.0)


def test_a_shop_book_of_version_15_has_hours_and_equipment_and_older_ones_the_usual_ones():
    settings, before = (read(SAMPLES / f"version-{n}.shopbook").body.document.settings for n in (15, 14))
    assert settings.hours.days[3:6] == (ShopDay(begin=19 * 60, end=20 * 60 + 30), ShopDay(), ShopDay(begin=9 * 60, end=17 * 60))
    assert settings.hours.off == (DaysOff(first="2026-12-24", last="2027-01-02"),)
    assert before.hours == ShopHours()
    assert (settings.shop_heat, before.shop_heat, settings.glue_least) == (18.0, 20.0, 13.0)
    assert [(stage.equipment, stage.at_once, stage.cures) for stage in settings.charges.stages if stage.equipment] == [
        ("clamps", 6, True),
    ]
    assert not any(stage.equipment or stage.cures for stage in before.charges.stages)


def test_a_shop_book_of_version_16_has_the_saws_feed_what_offcuts_lack_and_their_least_width_and_older_ones_the_usual_ones():
    now, old = (read(SAMPLES / f"version-{n}.shopbook").body.document for n in (16, 15))
    settings, before = now.settings, old.settings
    assert [(b.bar.corner_length, b.bar.corner_width) for b in now.all(BarRecord) if b.bar.lacks_corner] == [(120.0, 20.0)]
    assert not any(b.bar.lacks_corner for b in old.all(BarRecord))
    assert (settings.saw.feed, settings.rules.keep_width) == (76.2, 25.4)
    assert (before.saw.feed, before.rules.keep_width) == (50.8, pytest.approx(19.05))


def test_a_shop_book_of_version_15_has_accounts():
    document = read(SAMPLES / "version-15.shopbook").body.document
    (payment,), (bill,), (spent,) = (list(document.all(kind)) for kind in (PaymentRecord, InvoiceRecord, ExpenseRecord))
    assert (payment.amount, payment.kind, payment.note) == (Decimal("120.00"), PaymentKind.DEPOSIT, "by card")
    assert (bill.number, bill.tax, bill.delivery) == (1, 0.07, Decimal("12.00"))
    assert (bill.lines[0].each, bill.lines[0].details) == (Decimal("310.50"), "O1, maple")
    assert (spent.kind, spent.receipt) == (ExpenseKind.TOOLS, "7714")
    assert next((piece.price, piece.kept_at) for piece in document.all(PieceRecord)) == (Decimal("310.00"), "show case")


def test_a_shop_book_of_version_15_has_what_came_after_a_sale():
    document = read(SAMPLES / "version-15.shopbook").body.document
    (sold,), (after,) = (list(document.all(kind)) for kind in (SaleRecord, AfterRecord))
    assert (sold.price, sold.tax, sold.kept, sold.buyer) == (Decimal("305.00"), 0.07, 0.3, "a visitor")
    assert (after.kind, after.minutes, after.price, after.note) == (
        AfterKind.REPAIRED,
        25.0,
        Decimal("20.00"),
        "a chip at the tip",
    )
    assert "Leave the heel longer." in {record.next_time for record in document.all(TemplateRecord)}


def test_a_shop_book_of_version_14_has_a_region_and_older_ones_write_as_is_usual():
    document, before = (read(SAMPLES / f"version-{n}.shopbook").body.document for n in (14, 13))
    assert (document.settings.region, before.settings.region) == ("de-AT", "en-US")
    assert job_of(document).region == "de-AT"


def test_version_2_holds_materials_tools_layouts_and_settings():
    document = read(SAMPLES / "version-2.shopbook").body.document
    assert [record.material.name for record in document.all(MaterialRecord)] == ["curly maple", "brass pin 1/4"]
    assert document.tools.owned == Owned(wheels=(254.0, 50.8), files=(6.35,), drills=("number", "fraction"))
    (layout,) = document.all(LayoutRecord)
    assert [(bar.bar in document.records, len(bar.pieces)) for bar in layout.bars] == [(True, 2)]
    assert (layout.name, layout.steel, layout.bars[0].pieces[0].pinned) == ("Layout 1", Decimal("31.00"), True)
    settings = document.settings
    assert (settings.paper, settings.printer.x, settings.steps.mm, settings.prices.shipping) == (
        "a4",
        99.7,
        0.25,
        Decimal("4.50"),
    )


def test_version_3_holds_readings_of_a_bar_tools_heat_and_a_grind():
    document = read(SAMPLES / "version-3.shopbook").body.document
    measured = next(bar.measured for bar in job_of(document).bars if bar.measured.anything)
    assert (measured.middle, measured.far, measured.bow) == (1.99, 2.01, 0.4)
    owned = document.tools.owned
    assert (owned.angle_step, owned.stone, owned.projection, owned.jig_offset) == (0.5, 200.0, 139.0, 12.0)
    rules = document.settings.rules
    assert (rules.quench, rules.heat, rules.soak) == (Quench.OIL, 801.7, 15.0)
    petty = named(job_of(document), "Petty")
    assert (petty.grind.held, petty.grind.taper, petty.grind.swedge) == (Held.ANGLE, Taper.AFTER, 50.0)
    assert petty.handle.fasteners == "nickel silver"


def test_version_4_holds_a_gauges_steps_printers_and_services():
    document = read(SAMPLES / "version-4.shopbook").body.document
    assert document.tools.owned.gauge_step == 0.02
    settings = document.settings
    assert (settings.paper, settings.printer.name, settings.printer.x, settings.printer.margin) == ("a3", "office", 99.7, 5.0)
    assert [(printer.name, printer.y, printer.roll) for printer in settings.printers] == [("plotter", 100.3, 610.0)]
    jet = settings.service
    assert (jet.name, jet.version, jet.kerf, jet.tabs, jet.tab) == ("jet", DxfVersion.R12, 0.9, 3, 1.2)
    assert job_of(document).service == jet
    assert [service.name for service in settings.services] == ["laser"]


def test_version_5_holds_customers_orders_movements_pieces_and_rates():
    document = read(SAMPLES / "version-5.shopbook").body.document
    (customer,), (order,) = document.all(CustomerRecord), document.all(OrderRecord)
    assert (customer.name, customer.hand_breadth, customer_of(document, order)) == ("A. Moreno", 82.0, "A. Moreno")
    assert (order.status, order.wanted, order.discount, order.tax) == (Status.QUOTED, "2027-01-15", Decimal("5.00"), 0.05)
    (line,) = lines_of(document, order.id)
    assert (line.options[0].words, line.pricing.way, line.starts, line.agreed) == (
        "sheath",
        PriceMethod.TARGET,
        4,
        Decimal("165.00"),
    )
    bar = next(document.all(BarRecord))
    assert (bar.bar.heat, bar.bar.slant, bar.spoken[0].count) == ("H 7", 3.0, 1)
    assert [(entry.why, entry.by) for entry in ledger_of(document, bar.id)][-1] == (Reason.BOUGHT, 1)
    assert next(document.all(MaterialRecord)).material.knife == 0.5
    (piece,) = document.all(PieceRecord)
    assert (piece.serial, piece.line, cut_by_line(document)) == ("T1", line.id, {line.id: 1})
    charges = document.settings.charges
    assert (charges.hour, charges.stages[0].good, charges.outside[0].piece) == (Decimal("27.50"), 0.9, Decimal("2.10"))
    assert AT_HAND in document.records
    assert sorted(layout.cut[:4] for layout in layouts_kept(document)) == ["", "2026"]


def test_version_6_holds_free_points_and_what_a_bolt_clamps():
    template = named(job_of(read(SAMPLES / "version-6.shopbook").body.document), "Petty")
    assert template.blade.free == (FreePoint(run=OutlineRun.EDGE, at=0.4, x=0.5, y=-1.25),)
    assert template.handle.free == (FreePoint(run=OutlineRun.BUTT, at=0.25, y=1.0),)
    assert template.handle.shoulders == 9.0


def test_todays_sample_is_written_as_it_is():
    """A change of the format that is not a new version would show here."""
    sample = SAMPLES / f"version-{VERSION}.shopbook"
    assert written(read(sample).body) == sample.read_bytes()
