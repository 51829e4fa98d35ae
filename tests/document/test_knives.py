"""Finished knives: what was done to them since they left the shop, that they come back, pictures; brought from another book."""

from decimal import Decimal
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.document.test_accounts import DAY, bill, delivery, payment, shop
from tests.model.test_tonight import changed, demo
from workbook.document.accounts import after_of, delivered, for_sale, left_on, open_invoice, paid, pictures_of, sale_of
from workbook.document.actions import accounts, knives, making, merging
from workbook.document.document import EditError
from workbook.document.money_records import AfterKind, AfterRecord, DeliveryRecord, InvoiceRecord, PaymentRecord, SaleRecord
from workbook.document.other_book import ItemGroup, Resolution, items
from workbook.document.queries import template_named
from workbook.document.shop_records import OrderRecord, PictureRecord, PieceRecord
from workbook.structs import replace


def sale(piece="a2", id="sale", date=DAY, **more):  # noqa: A002
    return SaleRecord(id=id, place=0.0, piece=piece, date=date, price=Decimal("310.00"), **more)


def after(piece="a2", kind=AfterKind.REPAIRED, id="after", date=DAY, **more):  # noqa: A002
    return AfterRecord(id=id, place=0.0, piece=piece, date=date, kind=kind, **more)


def sold(document=None):
    document = document or demo()
    return document.applied(accounts.sell(document, sale()))


def test_only_a_knife_that_has_left_is_repaired():
    with pytest.raises(EditError, match="26-02 has not left the shop"):
        knives.after(demo(), after())
    document = sold()
    document = document.applied(knives.after(document, after(minutes=20.0, price=Decimal("15.00"), note="the tip")))
    (record,) = after_of(document, "a2")
    assert (record.minutes, record.price, record.note) == (20.0, Decimal("15.00"), "the tip")
    document = document.applied(knives.drop_after(document, "after"))
    assert not after_of(document, "a2")


def test_a_knife_that_came_back_is_for_sale_and_can_be_sold_again():
    document = sold()
    assert "a2" in delivered(document) and left_on(document, "a2") == DAY
    document = document.applied(knives.after(document, after(kind=AfterKind.RETURNED)))
    assert "a2" not in delivered(document) and left_on(document, "a2") == ""
    assert "a2" in [piece.id for piece in for_sale(document)]
    here = document.get("a2", PieceRecord)
    assert (here.price, here.kept_at) == (None, "came back")  # it is looked at before it is offered again
    document = document.applied(accounts.sell(document, sale(id="again", date="2026-12-24")))
    assert "a2" in delivered(document) and left_on(document, "a2") == "2026-12-24" and sale_of(document, "a2").id == "again"


def test_a_return_ends_its_own_sale_only():
    """Sold, came back, given to an order and delivered: the old sale is over, and cannot be taken back any more."""
    document = sold(shop(0))
    document = document.applied(knives.after(document, after(kind=AfterKind.RETURNED)))
    assert sale_of(document, "a2") is None
    document = document.applied(making.give_to(document, "a2", "line1"))
    document = document.applied(accounts.deliver(document, delivery(document.get("a2", PieceRecord))))
    assert sale_of(document, "a2") is None
    with pytest.raises(EditError, match="cannot be taken back"):
        accounts.take_sale_back(document, "sale", "back", DAY)
    with pytest.raises(EditError, match="has left the shop again"):
        knives.drop_after(document, "after")


def test_a_delivered_knife_that_comes_back_is_the_shops_and_its_return_can_be_removed():
    document = shop(3)
    document = document.applied(accounts.deliver(document, delivery(*(document.get(each, PieceRecord) for each in ("a1", "a2")))))
    with pytest.raises(EditError, match="refund"):
        knives.after(document, after("a1", AfterKind.RETURNED, price=Decimal(50)))
    document = document.applied(knives.after(document, after("a1", AfterKind.RETURNED)))
    assert document.get("a1", PieceRecord).line == "" and "a1" in [piece.id for piece in for_sale(document)]
    assert delivered(document) == {"a2"}
    document = document.applied(knives.drop_after(document, "after"))
    assert document.get("a1", PieceRecord).line == "line1" and delivered(document) == {"a1", "a2"}


@given(st.lists(st.sampled_from(("sell", "back", "return")), max_size=12))
def test_a_knife_is_here_or_gone_whatever_happens_to_it(moves):
    document, here = demo(), True
    for n, move in enumerate(moves):
        try:
            if move == "sell":
                document = document.applied(accounts.sell(document, sale(id=f"s{n}")))
                here = False
            elif move == "back":
                latest = sale_of(document, "a2")
                if latest is None or here:
                    continue
                document = document.applied(accounts.take_sale_back(document, latest.id, f"b{n}", DAY))
                here = True
            else:
                document = document.applied(knives.after(document, after(kind=AfterKind.RETURNED, id=f"r{n}")))
                here = True
        except EditError:
            assert (move == "sell") is not here
        assert ("a2" in delivered(document)) is not here
        assert bool(left_on(document, "a2")) is not here


def test_pictures_of_a_knife_are_added_and_removed():
    document = demo()
    for n in range(2):
        picture = PictureRecord(id=f"photo{n}", place=0.0, of="a1", picture="attachment:" + f"{n}" * 64, at=f"{DAY}T10:00:00")
        document = document.applied(knives.add_picture(document, picture))
    assert [each.id for each in pictures_of(document, "a1")] == ["photo0", "photo1"] and not pictures_of(document, "a2")
    document = document.applied(knives.drop_picture(document, "photo0"))
    assert [each.id for each in pictures_of(document, "a1")] == ["photo1"]


def test_a_note_for_the_next_time_stays_with_the_template():
    document = demo()
    petty = template_named(document, "Petty")
    document = document.applied(knives.note_next_time(document, petty.id, "  Leave the heel longer. "))
    assert template_named(document, "Petty").next_time == "Leave the heel longer."
    assert template_named(document, "Petty").template == petty.template


@cache
def other_shop():
    """An order that was paid, invoiced and delivered, and a knife of the shop's own that was sold and came back."""
    document = shop(3)
    document = changed(document, replace(document.settings, sample=False))  # of which only templates are brought
    document = document.applied(accounts.pay(document, replace(payment(Decimal("120.00")), id="paid1")))
    document = document.applied(accounts.pay(document, replace(payment(Decimal("5.00")), id="paid2")))
    document = document.applied(accounts.take_payment_back(document, "paid2", "paid3", DAY))
    document = document.applied(accounts.invoice(document, replace(bill((3, Decimal("400.00"))), id="bill1")))
    document = document.applied(accounts.deliver(document, delivery(*(document.get(each, PieceRecord) for each in ("a1", "a2")))))
    document = document.applied(making.give_to(document, "a3", ""))
    document = document.applied(accounts.sell(document, sale("a3")))
    return document.applied(knives.after(document, after("a3", AfterKind.RETURNED)))


def empty_here():
    """The same shop before any order and any blade."""
    gone = (OrderRecord, PieceRecord)
    document = demo()
    return type(document)({id_: record for id_, record in document.records.items() if not isinstance(record, gone)})


def brought(mine, theirs):
    numbers = iter(range(1000))
    chosen = items(mine, theirs)
    choices = {item.key: Resolution.BESIDE if item.here is None else Resolution.KEEP for item in chosen}
    return mine.applied(merging.bring_from(mine, theirs, chosen, choices, f"{DAY}T12:00:00", lambda: f"new{next(numbers)}"))


def test_money_and_deliveries_come_with_their_order_and_knives():
    document = brought(empty_here(), other_shop())
    (order,) = (each for each in document.all(OrderRecord) if each.number == 1)
    assert paid(document, order.id) == Decimal("120.00") and len(list(document.all(PaymentRecord))) == 3
    assert open_invoice(document, order.id).number == 1
    (sent,) = document.all(DeliveryRecord)
    assert {document.get(piece, PieceRecord).serial for piece in sent.pieces} == {"26-01", "26-02"}
    assert {document.get(piece, PieceRecord).serial for piece in delivered(document)} == {"26-01", "26-02"}
    assert sorted(document.get(each.piece, PieceRecord).serial for each in document.all(SaleRecord)) == ["26-03"]
    again = brought(document, other_shop())
    for kind in (PaymentRecord, DeliveryRecord, InvoiceRecord, SaleRecord, AfterRecord):
        assert len(list(again.all(kind))) == len(list(document.all(kind)))


def cancelled():
    """The same after its invoice was cancelled and sent anew, and one knife of the order came back."""
    document = other_shop()
    document = document.applied(accounts.cancel_invoice(document, "bill1", "bill2", DAY))
    document = document.applied(accounts.invoice(document, replace(bill((3, Decimal("390.00"))), id="bill3")))
    document = document.applied(accounts.pay(document, replace(payment(Decimal("33.00")), id="paid4")))
    return document.applied(knives.after(document, after("a1", AfterKind.RETURNED, id="back1")))


def test_what_was_entered_in_another_copy_of_the_book_comes_with_its_accounts():
    mine, theirs = other_shop(), cancelled()
    found = items(mine, theirs)
    assert [item.group for item in found if not item.same] == [ItemGroup.PIECES, ItemGroup.ACCOUNTS]  # a1 lies elsewhere
    document = brought(mine, theirs)
    assert open_invoice(document, "order1").id == "bill3" and paid(document, "order1") == Decimal("153.00")
    assert delivered(document) == {"a2"} == delivered(theirs)
    assert document.get("a1", PieceRecord).line == "" and "a1" in [piece.id for piece in for_sale(document)]
    assert all(item.same for item in items(document, theirs) if item.group is ItemGroup.ACCOUNTS)


def test_a_knife_that_came_back_in_another_copy_and_was_sold_again_is_sold_here_too():
    mine = sold(changed(demo(), replace(demo().settings, sample=False)))
    theirs = mine.applied(knives.after(mine, after(kind=AfterKind.RETURNED)))
    theirs = theirs.applied(accounts.sell(theirs, sale(id="again", date="2026-12-24")))
    document = brought(mine, theirs)
    assert sale_of(document, "a2").id == "again" and left_on(document, "a2") == "2026-12-24"


def test_an_invoice_comes_with_what_cancels_it_or_not_at_all():
    mine = changed(empty_here(), OrderRecord(id="mine", place=1.0, number=77))
    for number, id_ in ((1, "own1"), (2, "own2")):
        own = replace(bill((1, Decimal("90.00"))), id=id_, order="mine")
        mine = changed(mine, replace(own, number=number, place=float(number)))
    mine = type(mine)({id_: record for id_, record in mine.records.items() if id_ != "own1"})  # 2 is taken, 1 is free
    document = brought(mine, cancelled())
    (order,) = (each for each in document.all(OrderRecord) if each.number == 1)
    assert sorted(each.number for each in document.all(InvoiceRecord)) == [2, 3]
    assert open_invoice(document, order.id).id == "bill3"


def test_an_invoice_whose_number_is_taken_stays_in_the_other_book():
    mine = empty_here()
    mine = changed(mine, OrderRecord(id="mine", place=1.0, number=77))
    own = replace(bill((1, Decimal("90.00"))), id="own", order="mine")
    mine = mine.applied(accounts.invoice(mine, own))
    document = brought(mine, other_shop())
    assert [each.id for each in document.all(InvoiceRecord)] == ["own"]
    (order,) = (each for each in document.all(OrderRecord) if each.number == 1)
    assert paid(document, order.id) == Decimal("120.00") and open_invoice(document, order.id) is None
