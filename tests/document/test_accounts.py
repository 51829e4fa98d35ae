"""Payments, deliveries, invoices and sales: sums to the cent in any order, and nothing leaves the shop twice."""

from decimal import Decimal
from itertools import count

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.model.test_tonight import changed, demo
from workbook.document.accounts import delivered, for_sale, open_invoice, paid, payments_of, ready_for
from workbook.document.actions import accounts, orders
from workbook.document.document import EditError
from workbook.document.money_records import (
    DeliveryRecord,
    InvoiceLine,
    InvoiceRecord,
    PaymentKind,
    PaymentRecord,
    SaleRecord,
)
from workbook.document.shop_records import OrderLine, OrderRecord, PieceRecord
from workbook.model.accounts import invoiced, state_words
from workbook.shop.orders import Status
from workbook.structs import replace

CENTS = st.decimals(Decimal("0.01"), Decimal("9999.99"), places=2)
IDS = count(1)
DAY = "2026-12-01"


def shop(blades=4):
    """The sample with finished knives for the three of order 1's first line, and no second line."""
    document = demo()
    finished = [piece for piece in document.all(PieceRecord) if piece.batch == "autumn"][:blades]
    document = changed(document, *(replace(piece, line="line1") for piece in finished))
    records = {id_: record for id_, record in document.records.items() if id_ != "line2"}
    return type(document)(records)


def payment(amount, kind=PaymentKind.BALANCE, order="order1"):
    return PaymentRecord(id=f"p{next(IDS)}", place=0.0, order=order, date=DAY, amount=amount, kind=kind)


def bill(*lines, **more):
    lines = tuple(InvoiceLine(words=f"{n}", quantity=quantity, each=each) for n, (quantity, each) in enumerate(lines))
    return InvoiceRecord(id=f"i{next(IDS)}", place=0.0, number=1, date=DAY, order="order1", buyer="Lind", lines=lines, **more)


def delivery(*pieces):
    return DeliveryRecord(id=f"d{next(IDS)}", place=0.0, order="order1", date=DAY, pieces=tuple(piece.id for piece in pieces))


@given(st.lists(st.tuples(CENTS, st.sampled_from(PaymentKind), st.booleans()), max_size=12), st.randoms(use_true_random=False))
def test_payments_come_to_the_same_sum_in_any_order_refunds_and_those_taken_back_counted_off(entries, chance):
    made = [(payment(amount, kind), back) for amount, kind, back in entries]
    expected = sum((-p.amount if p.kind is PaymentKind.REFUND else p.amount for p, back in made if not back), Decimal(0))
    for _turn in range(2):
        chance.shuffle(made)
        document = demo()
        for each, _back in made:
            document = document.applied(accounts.pay(document, each))
        for each, back in made:
            if back:
                document = document.applied(accounts.take_payment_back(document, each.id, f"b{next(IDS)}", DAY))
        assert paid(document, "order1") == expected
        assert len(payments_of(document, "order1")) == len(made) + sum(back for _each, back in made)


def test_a_payment_is_taken_back_once():
    document = demo()
    document = document.applied(accounts.pay(document, replace(payment(Decimal(50)), id="x")))
    document = document.applied(accounts.take_payment_back(document, "x", "y", DAY))
    for wrong in ("x", "y"):
        with pytest.raises(EditError, match="cannot be taken back"):
            accounts.take_payment_back(document, wrong, "z", DAY)
    assert paid(document, "order1") == 0


@given(st.lists(st.tuples(st.integers(1, 40), CENTS), min_size=1, max_size=8), CENTS, CENTS, st.floats(0, 0.6))
def test_an_invoice_comes_to_its_parts_and_its_tax_is_that_of_the_whole_rounded_once(lines, discount, delivery_cost, tax):
    sums = invoiced(bill(*lines, discount=discount, delivery=delivery_cost, tax=tax))
    gross = sum(quantity * each for quantity, each in lines)
    net = gross - min(discount, gross) + delivery_cost
    assert sums.due == net + sums.tax
    assert abs(sums.tax - net * Decimal(repr(tax))) <= Decimal("0.005")
    assert sum(sums.tax_of_lines) == sums.tax


def test_invoices_are_numbered_without_a_gap_and_a_wrong_one_is_cancelled_by_another():
    document = shop()
    document = document.applied(accounts.invoice(document, bill((3, Decimal("290.00")))))
    first = open_invoice(document, "order1")
    assert first.number == 1
    with pytest.raises(EditError, match="has an invoice"):
        accounts.invoice(document, bill((3, Decimal("250.00"))))
    document = document.applied(accounts.cancel_invoice(document, first.id, "c1", DAY))
    assert open_invoice(document, "order1") is None
    with pytest.raises(EditError, match="cannot be cancelled"):
        accounts.cancel_invoice(document, first.id, "c2", DAY)
    document = document.applied(accounts.invoice(document, bill((3, Decimal("250.00")))))
    assert sorted(record.number for record in document.all(InvoiceRecord)) == [1, 2, 3]
    with pytest.raises(EditError, match="nothing in it"):
        accounts.invoice(demo(), bill())


def test_finished_knives_are_delivered_once_and_the_order_follows_them():
    document = shop(4)
    order = document.get("order1", OrderRecord)
    ready = ready_for(document, "order1")
    assert len(ready) == 3, "the fourth of the batch was lost"
    assert state_words(document, order) == "ready"
    document = document.applied(accounts.deliver(document, delivery(ready[0])))
    assert (len(ready_for(document, "order1")), state_words(document, order)) == (2, "1 of 3 delivered")
    with pytest.raises(EditError, match="has left the shop"):
        accounts.deliver(document, delivery(ready[0]))
    document = document.applied(accounts.deliver(document, delivery(*ready[1:])))
    assert document.get("order1", OrderRecord).status is Status.DELIVERED
    assert state_words(document, document.get("order1", OrderRecord)) == "delivered"
    assert delivered(document) == {piece.id for piece in ready}


def test_what_is_not_finished_or_for_another_is_not_delivered():
    document = demo()
    raw = replace(document.get("s1", PieceRecord), line="line1")
    with pytest.raises(EditError, match="26-10 is not finished"):
        accounts.deliver(changed(document, raw), delivery(raw))
    with pytest.raises(EditError, match="26-10 is not for order 1"):
        accounts.deliver(document, delivery(raw))
    with pytest.raises(EditError, match="No knife of order 1 is ready"):
        accounts.deliver(document, delivery())
    with pytest.raises(EditError, match="is for an order"):
        accounts.sell(shop(), SaleRecord(id="x", place=0.0, piece="a1", date=DAY, price=Decimal(300)))
    with pytest.raises(EditError, match="is not finished"):
        accounts.sell(document, SaleRecord(id="x", place=0.0, piece="s1", date=DAY, price=Decimal(300)))


@pytest.mark.parametrize(
    ("pieces", "words"), [((), "accepted"), (("s1",), "in progress"), (("a1",), "1 of 3 ready"), (("a1", "a2", "a3"), "ready")]
)
def test_where_an_order_stands_follows_from_its_blades(pieces, words):
    document = shop(0)
    document = changed(document, *(replace(document.get(piece, PieceRecord), line="line1") for piece in pieces))
    assert state_words(document, document.get("order1", OrderRecord)) == words
    assert document.get("line1", OrderLine).quantity == 3


def test_a_finished_knife_is_offered_sold_and_may_come_back():
    document = demo()
    own = [piece.serial for piece in for_sale(document)]
    assert own == ["26-01", "26-02", "26-03", "26-05"]
    document = document.applied(accounts.offer(document, "a1", Decimal("310.00"), "show case"))
    assert document.get("a1", PieceRecord).price == Decimal("310.00")
    sale = SaleRecord(id="s", place=0.0, piece="a1", date=DAY, price=Decimal("310.00"), buyer="at the show")
    document = document.applied(accounts.sell(document, sale))
    assert "26-01" not in [piece.serial for piece in for_sale(document)]
    with pytest.raises(EditError, match="has left the shop"):
        accounts.sell(document, replace(sale, id="t"))
    document = document.applied(accounts.take_sale_back(document, "s", "u", DAY))
    assert [piece.serial for piece in for_sale(document)] == own
    with pytest.raises(EditError, match="cannot be taken back"):
        accounts.take_sale_back(document, "s", "v", DAY)


def test_an_order_that_is_only_talked_of_is_accepted_with_its_first_payment_and_a_refund_accepts_none():
    document = demo()
    assert document.get("order3", OrderRecord).status is Status.ASKED
    refund = document.applied(accounts.pay(document, payment(Decimal(1), PaymentKind.REFUND, "order3")))
    assert refund.get("order3", OrderRecord).status is Status.ASKED
    paid_for = document.applied(accounts.pay(document, payment(Decimal(1), PaymentKind.DEPOSIT, "order3")))
    assert paid_for.get("order3", OrderRecord).status is Status.AGREED


def test_a_quote_keeps_its_tax_and_deposit_when_the_shops_change():
    document = demo()
    charges = replace(document.settings.charges, tax=0.07, deposit=0.3)
    document = changed(document, replace(document.settings, charges=charges))
    document = document.applied(orders.quote(document, "order3", {"line4": Decimal(100)}, DAY, lambda: f"q{next(IDS)}"))
    document = changed(document, replace(document.settings, charges=replace(charges, tax=0.2, deposit=0.5)))
    order = document.get("order3", OrderRecord)
    assert (order.tax, order.deposit) == (0.07, 0.3)
