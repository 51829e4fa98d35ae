"""What leaves the shelf with a stage: a handle's and a sheath's materials, once a blade, never more than is there."""

from decimal import Decimal

import pytest

from workbook.document.actions.making import Typed, batch_of, enter, take_back, take_materials
from workbook.document.document import Document
from workbook.document.making import blades_of
from workbook.document.making_records import BatchRecord
from workbook.document.orders import ledger_of
from workbook.document.queries import job_of
from workbook.document.records import MaterialRecord, SettingsRecord, TemplateRecord
from workbook.document.shop_records import Movement, OrderLine, OrderRecord, PieceRecord
from workbook.formats.family import family
from workbook.making.entry import EntryKind, Logged
from workbook.model.buying import material_needs
from workbook.model.taking import handles_of, short_words, taking_at
from workbook.shop.charges import STAGES
from workbook.shop.ledger import Reason, balance
from workbook.shop.materials import Material, MaterialKind
from workbook.shop.orders import Status
from workbook.tasks.load import shaped

AT = "2026-11-30T20:00:00"
GLUE, SHAPE, SEW = "Glue the handle", "Shape the handle", "Sew the sheath"
MATERIALS = {
    "maple": Material(name="curly maple", kind=MaterialKind.HANDLE, per="pair", have=3.0),
    "horn": Material(name="horn", kind=MaterialKind.HANDLE, per="pair", have=2.0, knife=2.0),
    "glue": Material(name="glue", kind=MaterialKind.ADHESIVE, per="kit", have=5.0, knife=0.1),
    "belts": Material(name="belts", kind=MaterialKind.ABRASIVE, have=5.0, knife=0.5),
    "leather": Material(name="leather", kind=MaterialKind.SHEATH, per="piece", have=2.0, knife=0.25),
}


def shop(**changed):
    """Three blades of a line with maple scales and a sheath, one of the shop's own, all of one batch."""
    lines = {"l": ("maple", "leather", 3), "": ("", "", 1)}
    pieces = [
        PieceRecord(id=f"b{n}", place=float(n), serial=f"P{n}", of="t", name="Petty", revision=1, steel="1084", bar="", line=line,
                    batch="batch")
        for n, line in enumerate(line for line, (_handle, _sheath, count) in lines.items() for _ in range(count))
    ]  # fmt: skip
    records = [
        SettingsRecord(), TemplateRecord(id="t", place=0.0, family=family("petty")),
        *(MaterialRecord(id=key, place=0.0, material=changed.get(key, each)) for key, each in MATERIALS.items()),
        OrderRecord(id="o", place=0.0, number=1, status=Status.MAKING),
        OrderLine(id="l", place=0.0, of="t", steel="1084", quantity=3, order="o", handle="maple", sheath="leather"),
        BatchRecord(id="batch", place=0.0, number=1, stages=STAGES), *pieces,
    ]  # fmt: skip
    return Document({record.id: record for record in records})


def done(stage, *blades, kind=EntryKind.DONE):
    return Logged(kind=kind, date="2026-11-30", stage=stage, pieces=blades)


def taken(document, entry):
    return taking_at(document, shaped(job_of(document)), batch_of(document, "batch"), entry)


def entered(document, entry, name):
    """The document after an entry and what it takes, and the way back."""
    taking = taken(document, entry)
    after = document.applied(enter(document, "batch", entry, Typed(name, AT)))
    if not taking.amounts:
        return after
    ids = iter(f"{name}-{n}" for n in range(100))
    return after.applied(take_materials(after, taking.scales, taking.amounts, AT, lambda: next(ids)))


def have(document, key):
    return document.get(key, MaterialRecord).material.have


def test_the_handles_materials_go_where_handles_begin_and_each_blade_gets_a_marked_pair():
    after = entered(shop(), done(GLUE, "b0", "b1"), "first")
    assert (have(after, "maple"), have(after, "glue"), have(after, "leather")) == (1.0, 4.8, 2.0)
    assert have(after, "belts") == 5.0  # nobody counts belts by the blade
    assert [(piece.handle, piece.scales) for piece in blades_of(after, "batch")] == [
        ("maple", "C-1"), ("maple", "C-2"), ("", ""), ("", "")
    ]  # fmt: skip
    third = entered(after, done(GLUE, "b2"), "second")
    assert third.get("b2", PieceRecord).scales == "C-3"


@pytest.mark.parametrize("stage", [SHAPE, "Hand finish", "Sharpen"])
def test_other_stages_take_nothing(stage):
    assert taken(shop(), done(stage, "b0")).amounts == {}


@pytest.mark.parametrize("kind", [EntryKind.SET_UP, EntryKind.REWORK, EntryKind.SCRAP, EntryKind.NOTE])
def test_what_is_not_done_takes_nothing(kind):
    assert taken(shop(), done(GLUE, "b0", kind=kind)).amounts == {}


def test_a_blade_takes_once_whatever_is_entered_again():
    document = entered(shop(), done(GLUE, "b0"), "first")
    document = document.applied(take_back(document, "first", "2026-11-30", Typed("back", AT)))
    assert taken(document, done(GLUE, "b0")).amounts == {}
    document = entered(document, done(SEW, "b0", "b1"), "sewn")
    assert have(document, "leather") == 1.5
    assert taken(document, done(SEW, "b0")).amounts == {}
    assert taken(document, done(SEW, "b0", "b2")).amounts == {"leather": Decimal("0.25")}


def test_a_blade_of_the_shops_own_takes_what_it_is_given_by_hand():
    document = shop()
    assert taken(document, done(GLUE, "b3")).amounts == {}
    taking = handles_of(document, shaped(job_of(document)), [(document.get("b3", PieceRecord), "horn")])
    assert taking.amounts == {"horn": Decimal("2.0"), "glue": Decimal("0.1")}
    ids = iter("xyz")
    after = document.applied(take_materials(document, taking.scales, taking.amounts, AT, lambda: next(ids)))
    assert (have(after, "horn"), after.get("b3", PieceRecord).scales) == (0.0, "H-1")
    assert taken(after, done(GLUE, "b3")).amounts == {}


def test_more_than_is_there_is_said_and_the_shelf_never_goes_below_nothing():
    few = shop(maple=Material(name="curly maple", kind=MaterialKind.HANDLE, per="pair", have=1.0))
    words = short_words(few, taken(few, done(GLUE, "b0", "b1")))
    assert words == "Not everything was on hand: curly maple: 2 needed, 1 on hand. What was on hand is booked."
    after = entered(few, done(GLUE, "b0", "b1"), "first")
    assert have(after, "maple") == 0.0
    assert short_words(shop(), taken(shop(), done(GLUE, "b0"))) == ""


def test_the_ledger_tells_it_and_undo_brings_it_back():
    document, entry = shop(), done(GLUE, "b0", "b1")
    taking = taken(document, entry)
    ids = iter("xyz")
    edit = take_materials(document, taking.scales, taking.amounts, AT, lambda: next(ids))
    after = document.applied(edit)
    moves = list(after.all(Movement))
    assert [(move.of, move.why, move.by) for move in moves] == [
        ("maple", Reason.USED, Decimal(-2)), ("glue", Reason.USED, Decimal("-0.2"))
    ]  # fmt: skip
    assert len({move.place for move in moves}) == 2
    for key in ("maple", "glue"):
        assert float(balance(ledger_of(after, key))) == have(after, key)
    assert after.applied(edit.inverse) == document


def test_what_is_to_buy_counts_only_blades_that_have_not_taken_it():
    def needed(document):
        line = document.get("l", OrderLine)
        return {need.what: need.needed for need in material_needs(document, shaped(job_of(document)), [line])}

    before, after = needed(shop()), needed(entered(shop(), done(GLUE, "b0", "b1"), "first"))
    assert (before["curly maple"], after["curly maple"]) == (3.0, 1.0)
    assert (round(before["glue"], 6), round(after["glue"], 6)) == (0.3, 0.1)
    assert before["belts"] == after["belts"]
    sewn = needed(entered(shop(), done(SEW, "b0"), "sewn"))
    assert (before["leather"], sewn["leather"]) == (0.75, 0.5)
