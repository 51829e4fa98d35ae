"""The lists of the page Quote: orders, and the lines of one."""

from workbook.app.elements.record_table import RecordTable
from workbook.app.look import Look
from workbook.document.document import Document
from workbook.document.orders import customer_of, cut_by_line, lines_of
from workbook.document.records import TemplateRecord
from workbook.document.shop_records import OrderRecord
from workbook.model.accounts import order_state
from workbook.model.model import Model
from workbook.model.quoting import LineWork
from workbook.shop.money import priced
from workbook.texts import _

_ORDER_HEADS = (_("No."), _("For"), _("Knives"), _("Due"), "")
_LINE_HEADS = (
    _("Template"),
    _("Steel"),
    _("Handle"),
    _("Quantity"),
    _("Started"),
    _("Cut"),
    _("Cost each"),
    _("Price each"),
    _("Amount"),
    _("Margin"),
)


def order_table(look: Look) -> RecordTable:
    """An empty list of orders."""
    table = RecordTable(look, "orders", _("Orders"), _ORDER_HEADS)
    table.set_widths(look, {0: 38, 3: 92, 4: 78})
    return table


def line_table(look: Look) -> RecordTable:
    """An empty list of lines."""
    table = RecordTable(look, "lines", _("Lines of the order"), _LINE_HEADS, right=range(3, 10))
    table.set_widths(look, {1: 62, 3: 78, 4: 66, 5: 42, 6: 84, 7: 84, 8: 84, 9: 58})
    return table


def order_row(document: Document, model: Model, order: OrderRecord) -> tuple[str, ...]:
    """The cells of an order in the list."""
    customer = customer_of(document, order) or _("shop stock")
    return (
        str(order.number),
        customer,
        what_of(document, order.id),
        document.settings.local.short_day(order.wanted),
        order_state(document, model, order),
    )


def what_of(document: Document, order: str) -> str:
    """The order in short: "6 Petty, 4 Paring"."""
    parts = []
    for line in lines_of(document, order):
        record = document.records.get(line.of)
        parts += [f"{line.quantity} {record.template.name}"] if isinstance(record, TemplateRecord) else []
    return ", ".join(parts) or _("nothing yet")


def line_row(document: Document, work: LineWork) -> tuple[str, ...]:
    """The cells of a line of an order, with its prices."""
    money = document.settings.money
    handle = document.records.get(work.line.handle)
    name = getattr(getattr(handle, "material", None), "name", "-")
    cut = cut_by_line(document).get(work.line.id, 0)
    amounts = (work.one, work.price.amount, work.quote.amount)
    return (
        work.name,
        work.line.steel,
        name,
        str(work.line.quantity),
        str(work.batch.starts),
        str(cut) if cut else "-",
        *(priced(amount, money) for amount in amounts),
        f"{work.margin:.0%}",
    )
