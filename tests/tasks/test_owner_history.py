"""What a knife's owner is told: nothing of an owner before, no private note, and sizes only of the knife as it was cut."""

from decimal import Decimal

from tests.model.test_tonight import changed, demo
from workbook.document.actions import accounts, knives
from workbook.document.money_records import AfterKind, AfterRecord, SaleRecord
from workbook.document.queries import job_of, template_named
from workbook.document.shop_records import PieceRecord
from workbook.structs import replace
from workbook.tasks.exports.knives import TELL_WORDS, owner_sheet
from workbook.tasks.load import shaped
from workbook.template.parameters import changed as with_parameter


def twice_sold():
    """A knife sold to one, sharpened, come back with a note, and sold to another."""
    document = demo()
    for action in (
        lambda d: accounts.sell(d, sale("first", "Anna", "2026-11-10")),
        lambda d: knives.after(d, after("a", "2026-11-12", AfterKind.SHARPENED)),
        lambda d: knives.after(d, after("b", "2026-11-15", AfterKind.RETURNED, note="he pried with it")),
        lambda d: accounts.sell(d, sale("second", "Ben", "2026-11-20")),
        lambda d: knives.after(d, after("c", "2026-11-25", AfterKind.REPAIRED, note="the tip")),
    ):
        document = document.applied(action(document))
    return document


def sale(id_, buyer, date):
    return SaleRecord(id=id_, place=0.0, piece="a2", date=date, price=Decimal(300), buyer=buyer)


def after(id_, date, kind, note=""):
    return AfterRecord(id=id_, place=0.0, piece="a2", date=date, kind=kind, note=note)


def told(document):
    sheet = owner_sheet(document, shaped(job_of(document)), document.get("a2", PieceRecord), tuple(TELL_WORDS))
    return sheet, dict(sheet.parts)


def test_the_second_owner_reads_of_his_own_knife():
    sheet, parts = told(twice_sold())
    assert sheet.letter.customer == "Ben"
    assert parts["Since then"] == (("Left the shop", "November 20, 2026"), ("Repaired", "November 25, 2026"))
    words = str(sheet.parts)
    assert "Anna" not in words and "pried" not in words and "Returned" not in words and "the tip" not in words


def test_sizes_and_picture_are_those_of_the_revision_it_was_cut_as():
    document = twice_sold()
    sheet, parts = told(document)
    assert sheet.knife is not None and dict(parts["The knife"])["Sizes"].replace("\u2009", " ").startswith("blade 5 1⁄2")
    record = template_named(document, "Petty")
    longer = with_parameter(record.family, "blade.length", record.family.blade.length + 30.0)
    other = changed(document, replace(record, family=longer), replace(document.get("a2", PieceRecord), revision=9))
    sheet, parts = told(other)
    assert sheet.knife is None and "Sizes" not in dict(parts["The knife"])
