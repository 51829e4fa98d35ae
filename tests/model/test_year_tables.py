"""A year for the accountant: its tables against sums made otherwise, on a shop in which everything happens."""

from decimal import Decimal
from functools import cache
from io import BytesIO

import openpyxl
import pytest

from tests.document.test_accounts import shop
from tests.model.test_tonight import demo
from workbook.document.actions import accounts, knives, ledger, making, orders
from workbook.document.actions.ledger import Stamp
from workbook.document.money_records import (
    AfterKind,
    AfterRecord,
    DeliveryRecord,
    ExpenseKind,
    ExpenseRecord,
    InvoiceLine,
    InvoiceRecord,
    PaymentKind,
    PaymentRecord,
    SaleRecord,
)
from workbook.document.queries import job_of
from workbook.document.records import BarRecord, MaterialRecord
from workbook.document.shop_records import OrderRecord
from workbook.model.accounts import order_state, owing
from workbook.model.year import year_tables, years
from workbook.problems import JobError
from workbook.shop.job import PricePer
from workbook.shop.ledger import Reason
from workbook.shop.orders import Status
from workbook.structs import replace
from workbook.tasks.exports.year_tables import year_book, year_files
from workbook.tasks.load import shaped

TODAY = "2027-02-01"


def money(text):
    return Decimal(text)


@cache
def book():
    """A shop with a paid and delivered order, a cancelled invoice, a sale on commission and one taken back, repairs, expenses."""
    document = shop(3)

    def do(action, **of):
        nonlocal document
        document = document.applied(action(document, **of))

    def pay(id_, amount, date, kind=PaymentKind.BALANCE):
        record = PaymentRecord(id=id_, place=0.0, order="order1", date=date, amount=money(amount), kind=kind)
        do(accounts.pay, payment=record)

    pay("yp1", "300.00", "2026-11-05", PaymentKind.DEPOSIT)
    pay("yp2", "33.33", "2026-11-06")
    do(accounts.take_payment_back, wrong="yp2", id="yp3", date="2026-11-07")
    pay("yp4", "500.10", "2026-12-20")
    pay("yp5", "20.00", "2027-01-03", PaymentKind.REFUND)
    lines = (InvoiceLine(words="Petty", quantity=3, each=money("266.67")),)
    wrong = InvoiceRecord(
        id="yi1", place=0.0, number=1, date="2026-12-01", order="order1", buyer="Galley\nquay", lines=lines, tax=0.2
    )
    do(accounts.invoice, record=wrong)
    do(accounts.cancel_invoice, id="yi1", new="yi2", date="2026-12-02")
    do(accounts.invoice, record=replace(wrong, id="yi3", tax=0.07, delivery=money("9.99"), date="2026-12-02"))
    sent = DeliveryRecord(id="yd1", place=0.0, order="order1", date="2026-12-20", pieces=("a1", "a2"))
    do(accounts.deliver, delivery=sent)
    do(making.give_to, blade="a3", line="")
    sale = SaleRecord(
        id="ys1", place=0.0, piece="a3", date="2026-12-12", price=money("265.55"), tax=0.07, kept=0.15, buyer="Okafor"
    )
    do(accounts.sell, sale=sale)
    do(accounts.take_sale_back, wrong="ys1", id="ys2", date="2026-12-13")
    do(accounts.sell, sale=replace(sale, id="ys3", date="2026-12-14", price=money("280.01")))
    mended = AfterRecord(
        id="yx1", place=0.0, piece="a3", date="2026-12-29", kind=AfterKind.REPAIRED, minutes=25.0, price=money("40.00")
    )
    do(knives.after, record=mended)
    spent = [("ye1", "2025-12-31", "9.00", ExpenseKind.TOOLS), ("ye2", "2026-01-01", "64.55", ExpenseKind.STEEL),
             ("ye3", "2026-12-31", "12.45", ExpenseKind.STEEL), ("ye4", "2026-03-03", "88.00", ExpenseKind.OTHER)]  # fmt: skip
    records = [ExpenseRecord(id=i, place=1.0 + n, date=d, amount=money(a), kind=k) for n, (i, d, a, k) in enumerate(spent)]
    do(accounts.spend, records=records)
    return document


@cache
def tables(year="2026", today=TODAY):
    document = book()
    return {table.name: table for table in year_tables(document, shaped(job_of(document)), year, today)}


def column(name, head, year="2026"):
    table = tables(year)[name]
    (at,) = (n for n, each in enumerate(table.columns) if each.head.split(",")[0] == head)
    return [row[at] for row in table.rows]


def summary(words, year="2026"):
    return next(row[1] for row in tables(year)["Summary"].rows if row[0].startswith(words))


def test_the_years_are_those_of_which_something_was_entered():
    assert years(book()) == ["2027", "2026", "2025"]


def test_payments_are_those_of_the_year_and_what_was_wrong_counts_off():
    assert column("Payments", "Amount") == [money("300.00"), money("33.33"), money("-33.33"), money("500.10")]
    assert summary("Payments") == money("800.10") and summary("Payments", "2027") == money("-20.00")


def test_an_orders_row_has_what_was_invoiced_and_paid():
    (number,) = column("Orders", "Order")
    assert number == "1" and column("Orders", "Invoice") == ["3"]
    # 3 x 266.67 + 9.99 = 810.00; 7 % are 56.70
    assert column("Orders", "Before tax") == [money("810.00")] and column("Orders", "Tax") == [money("56.70")]
    assert column("Orders", "Total due") == [money("866.70")]
    assert column("Orders", "Paid in the year") == [money("800.10")] and column("Orders", "Paid in all") == [money("780.10")]
    assert column("Orders", "Balance") == [money("86.60")]
    assert column("Orders", "Knives") == [3] and column("Orders", "Delivered") == [2]


def test_a_cancelled_invoice_and_what_cancels_it_come_to_nothing():
    # 800.01 and 20 % of it, 160.002
    assert column("Invoices", "Total") == [money("960.01"), money("-960.01"), money("866.70")]
    assert column("Invoices", "Cancels invoice") == ["", "1", ""] and column("Invoices", "Customer")[0] == "Galley"


def test_a_sale_comes_in_with_its_tax_less_its_commission_and_one_taken_back_counts_off():
    # 265.55: tax 18.5885, commission 39.8325; 280.01: tax 19.6007, commission 42.0015
    assert column("Sales", "Tax") == [money("18.59"), money("-18.59"), money("19.60")]
    assert column("Sales", "Commission") == [money("39.83"), money("-39.83"), money("42.00")]
    assert column("Sales", "Comes in") == [money("244.31"), money("-244.31"), money("257.61")]
    assert summary("Knives sold") == money("257.61")
    assert summary("Tax in") == money("56.70") + money("19.60")


def test_expenses_are_by_kind_and_the_sum_of_the_year_is_theirs():
    assert column("Expenses", "Amount") == [money("64.55"), money("88.00"), money("12.45")]
    assert summary("Spent: steel") == money("-77.00") and summary("Spent: other") == money("-88.00")
    assert summary("Work on knives") == money("40.00")
    assert summary("Money in") == money("800.10") + money("257.61") + money("40.00") - money("165.00")


def test_a_knifes_cost_is_the_sum_of_its_parts_and_lost_blades_are_there():
    table = tables()["Knives"]
    assert column("Knives", "Serial") == ["26-01", "26-02", "26-03", "26-04", "26-05"]
    assert column("Knives", "Left the shop")[:3] == ["2026-12-20", "2026-12-20", "2026-12-14"]
    assert [bool(lost) for lost in column("Knives", "Lost")] == [False, False, False, True, False]
    at = [n for n, each in enumerate(table.columns) if each.summed]
    for row in table.rows:
        *parts, whole = (row[n] for n in at)
        assert sum(parts) == whole > 0


def test_stock_at_cost_is_what_was_in_the_shop_on_that_day():
    then, now = (tables(year)["Stock"] for year in ("2026", "2027"))
    for table in (then, now):
        for row in table.rows:
            assert row[4] == pytest.approx(Decimal(str(row[2])) * row[3], abs=Decimal("0.01"))
    assert {row[-1] for row in then.rows} == {"2026-12-31"} and {row[-1] for row in now.rows} == {TODAY}
    knives_then = {row[1].split()[0] for row in then.rows if row[0] == "finished knife"}
    assert knives_then == {"26-05"}  # two were delivered, one sold, one lost
    assert summary("Stock at cost") == sum(row[4] for row in then.rows)


def test_bars_and_materials_are_counted_back_to_the_end_of_the_year():
    document = book()
    kind = next(iter(document.all(MaterialRecord)))
    later = document.applied(
        ledger.moved(document, of=kind.id, why=Reason.USED, by=Decimal(-2), stamp=Stamp("m1", "2027-01-10T10:00:00"))
    )
    found = {}
    for year in ("2026", "2027"):
        stock = next(t for t in year_tables(later, shaped(job_of(later)), year, TODAY) if t.name == "Stock")
        found[year] = next(row[2] for row in stock.rows if row[1] == kind.material.name)
    assert found["2026"] == kind.material.have and found["2027"] == kind.material.have - 2


def test_the_spreadsheet_and_the_csv_say_the_same_to_the_cent():
    document = book()
    files = year_files(document, shaped(job_of(document)), "2026", TODAY)
    sheets = openpyxl.load_workbook(BytesIO(files["2026.xlsx"]), data_only=True)
    assert sheets.sheetnames == list(tables())
    for table in tables().values():
        rows = list(sheets[table.name].values)
        assert rows[0] == tuple(each.head for each in table.columns)
        summed = [n for n, each in enumerate(table.columns) if each.summed]
        for n in summed:
            if table.rows:
                assert round(sum(row[n] for row in rows[1 : 1 + len(table.rows)]), 2) == pytest.approx(rows[-1][n], abs=0.001)
                assert Decimal(str(rows[-1][n])) == table.total(n)
        name = next((name for name in files if name == f"2026-{table.name.casefold().replace(' ', '-')}.csv"), "")
        assert bool(name) is bool(table.rows)
        if name:
            assert len(files[name].decode().splitlines()) == 1 + len(table.rows)
    assert year_book(document, shaped(job_of(document)), "2026", TODAY) == files["2026.xlsx"]


def test_a_knife_that_came_back_takes_off_what_was_paid_back():
    document = book()
    back = AfterRecord(id="yx2", place=0.0, piece="a3", date="2027-01-20", kind=AfterKind.RETURNED, price=money("299.61"))
    document = document.applied(knives.after(document, back))
    found = {table.name: table for table in year_tables(document, shaped(job_of(document)), "2027", TODAY)}
    assert found["After the sale"].rows[-1][5] == money("-299.61")
    assert next(row[1] for row in found["Summary"].rows if row[0].startswith("Money in")) == money("-20.00") - money("299.61")
    # 299.61 is 280.01 and 7 % of it, 19.60
    assert next(row[1] for row in found["Summary"].rows if row[0].startswith("Tax in")) == money("-19.60")


def test_a_declined_order_owes_nothing_and_its_refund_is_told():
    document = demo()
    for id_, kind in (("y1", PaymentKind.DEPOSIT), ("y2", PaymentKind.REFUND)):
        record = PaymentRecord(id=id_, place=0.0, order="order1", date="2026-11-05", amount=money("100.00"), kind=kind)
        document = document.applied(accounts.pay(document, record))
    document = document.applied(orders.set_status(document, "order1", Status.DECLINED))
    table = next(t for t in year_tables(document, shaped(job_of(document)), "2026", TODAY) if t.name == "Orders")
    heads = [column.head.split(",")[0] for column in table.columns]
    ((number, *_rest),) = table.rows
    told = dict(zip(heads, table.rows[0], strict=True))
    assert number == "1" and (told["Total due"], told["Paid in all"], told["Balance"]) == (0, 0, 0)


def test_a_bar_counts_at_the_price_of_its_length_or_weight():
    document = demo()
    bar = next(iter(document.all(BarRecord)))
    prices = {PricePer.FOOT: bar.bar.length / 304.8 * 9, PricePer.METRE: bar.bar.length / 1000 * 9}
    for per, expected in prices.items():
        other = replace(bar, bar=replace(bar.bar, per=per, price=money("9.00"), have=2))
        found = year_tables(type(document)({**document.records, bar.id: other}), shaped(job_of(document)), "2026", TODAY)
        row = next(row for row in next(t for t in found if t.name == "Stock").rows if row[1] == bar.bar.name)
        assert row[2] == 2 and float(row[3]) == pytest.approx(expected, abs=0.005) and row[4] == 2 * row[3]


def test_a_year_in_which_only_a_knife_was_sharpened_is_one():
    document = book()
    record = AfterRecord(id="yx3", place=0.0, piece="a3", date="2028-05-05", price=money("45.00"))
    assert years(document.applied(knives.after(document, record)))[0] == "2028"


def test_a_year_of_which_nothing_was_entered_is_refused_with_those_there_are():
    document = book()
    with pytest.raises(JobError, match=r"2019.*2027, 2026, 2025"):
        year_files(document, shaped(job_of(document)), "2019", TODAY)


def test_what_is_owed_for_knives_that_left_the_shop_is_told_by_order():
    document = book()
    model = shaped(job_of(document))
    assert owing(document, model) == []  # two of three are delivered
    document = document.applied(orders.set_status(document, "order1", Status.DELIVERED))
    # 866.70 less 780.10, see above
    assert [(order.number, due) for order, due in owing(document, model)] == [(1, money("86.60"))]
    order = document.get("order1", OrderRecord)
    assert order_state(document, model, order) == "not paid"
    rest = PaymentRecord(id="y9", place=0.0, order="order1", date="2027-02-01", amount=money("86.60"))
    settled = document.applied(accounts.pay(document, rest))
    assert owing(settled, model) == []
    assert order_state(settled, model, settled.get("order1", OrderRecord)) == "paid"
    assert order_state(demo(), model, demo().get("order2", OrderRecord)) == "quoted"
    assert owing(demo(), shaped(job_of(demo()))) == []
