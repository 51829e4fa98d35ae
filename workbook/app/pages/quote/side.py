"""Beside an order: its customer, date, terms and totals; the line chosen, field by field."""

import re
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from workbook.app.elements.basics import Lettered, button, label, named, row, scrolled, surface, tool
from workbook.app.elements.entry import Troubles
from workbook.app.elements.form import ChoiceItem, Form, TextItem
from workbook.app.elements.items import form_items, item
from workbook.app.elements.look_up_button import look_up_button
from workbook.app.elements.working import Figure, OpenedFigure, in_money
from workbook.app.named_things import material_name, titles_of
from workbook.app.pages.quote.promise import PromiseRow
from workbook.app.workspace import Workspace
from workbook.document.actions import templates
from workbook.document.document import Document
from workbook.document.fields import row_of
from workbook.document.records import BarRecord, MaterialRecord, TemplateRecord
from workbook.document.shop_records import CustomerRecord, OrderLine, OrderRecord
from workbook.model.quoting import OrderWork, pricing_of
from workbook.number_in import NumberError, parse_amount, written
from workbook.shop.materials import MaterialKind
from workbook.shop.money import NOTHING, cents, priced
from workbook.shop.pricing import MOST_MARGIN, PriceMethod, Pricing
from workbook.shop.quote import Option
from workbook.structs import replace
from workbook.texts import _, labelled

_WAYS = ((None, _("shop default")), *row_of(Pricing, "way").options)
ORDER_ITEMS = (
    item(OrderRecord, "customer"),
    *form_items(CustomerRecord),
    *form_items(OrderRecord, leave=("customer",)),
)
LINE_ITEMS = (
    item(OrderLine, "of"),
    ChoiceItem("steel", row_of(OrderLine, "steel").label),
    item(OrderLine, "handle"),
    item(OrderLine, "sheath"),
    item(OrderLine, "quantity"),
    item(OrderLine, "starts"),
    item(TemplateRecord, "minutes"),
    item(Pricing, "way", options=_WAYS, words=_("Pricing")),
    item(Pricing, "share"),
    item(Pricing, "target"),
    TextItem("options", _("Extras"), most=200, empty=True, look_at=lambda text: options_of(text)),
    item(OrderLine, "note"),
)
_OF_CUSTOMER = ("name", "contact", "hand_breadth")
_COSTING = _("costing")  # typed between a price and what it costs; the example below has the same word
_WITH_COST = re.compile(rf"(.*\S)\s+{re.escape(_COSTING)}\s+(\S+)", re.IGNORECASE)
_COST_WORD = re.compile(rf"\b{re.escape(_COSTING)}\b", re.IGNORECASE)
_WANTED = _("type words and a price, e.g. sheath 25.00 costing 9; engraving 10")
_ROWS = (
    _("Subtotal"),
    _("Discount"),
    _("Shipping"),
    _("Tax"),
    _("Deposit"),
    _("Balance"),
    _("Cost to you"),
    _("Margin, markup"),
)


class QuoteSide(QWidget):
    """The panel. `order_changed` and `line_changed` carry the new record and the name of the field changed."""

    order_changed = Signal(object, str)
    line_changed = Signal(object, str)
    customer_changed = Signal(str, object)  # the field and its value
    trouble = Signal(str)

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        look = workspace.look
        self._workspace = workspace
        self._work: OrderWork | None = None
        self._line: OrderLine | None = None
        self.order_form = Form(look, ORDER_ITEMS, workspace.unit)
        self.line_form = Form(look, LINE_ITEMS, workspace.unit)
        self.due = Figure(look, "due", _("due"))
        self.rows = [Lettered(look, "", 9.75, anchor="end") for _row in _ROWS]
        self.promise = PromiseRow(workspace)
        self.promise.date_wanted.connect(lambda date: self._order_entered("wanted", date))
        self.copy_button = button(look, "copy-quote", _("Copy as text"))
        self.print_button = button(look, "print-quote", _("Print quote"), "print", main=True)
        self.order_form.entered.connect(self._order_entered)
        self.line_form.entered.connect(self._line_entered)
        self._troubles = Troubles()
        for form in (self.order_form, self.line_form):
            form.keep_in(workspace)
            form.trouble.connect(self._troubles.of("order" if form is self.order_form else "line", self.trouble.emit))
        self._build()

    def _build(self) -> None:
        look = self._workspace.look
        inner = named(QWidget(), "inner")
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, 8, 0, 8)
        column.setSpacing(3)
        column.addLayout(row(self.due, None))
        for name, value in zip(_ROWS, self.rows, strict=True):
            column.addLayout(row(label(look, name), value))
        column.addSpacing(look.px(8))
        self._line_head = Lettered(look, _("Line"), 9.75, bold=True)
        self._look_up = look_up_button(look, self._named, self._workspace.look_up_wanted.emit)
        column.addLayout(row(self._line_head, self._look_up))
        column.addWidget(self.line_form)
        column.addSpacing(look.px(8))
        self._order_head = Lettered(look, _("Order"), 9.75, bold=True)
        self.blades_button = tool(look, "blades-of-order", _("Blades"), "right")
        self.account_button = tool(look, "account-of-order", _("Account…"))
        self.blades_button.clicked.connect(self._find_blades)
        column.addLayout(row(self._order_head, self.account_button, self.blades_button))
        column.addWidget(self.promise)
        column.addWidget(self.order_form)
        column.addStretch(1)
        layout = QVBoxLayout()
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        self._title = label(look, "", "strong")
        layout.addWidget(surface("strip", row(self._title, None), look.px(48)))
        layout.addWidget(scrolled(inner), 1)
        layout.addWidget(surface("foot", row(self.copy_button, self.print_button, margins=(12, 12, 12, 12))))
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(surface("panel", layout))

    def show_work(self, work: OrderWork | None, line: OrderLine | None) -> None:
        """Show another order, another line of it, or none."""
        if work is None or line is None:  # typing was for what is gone
            self.let_go()
        self._work, self._line = work, line
        document = self._workspace.session.document
        self.order_form.setVisible(work is not None)
        for widget in (self._order_head, self.blades_button, self.account_button):
            widget.setVisible(work is not None)
        self.line_form.setVisible(line is not None)
        self._line_head.setVisible(line is not None)
        self._look_up.setVisible(line is not None)
        ready = work is not None and bool(work.lines)
        self.copy_button.setEnabled(ready)
        self.print_button.setEnabled(ready)
        self._title.setText(_("Order {number}", number=work.order.number) if work else _("No order"))
        self.promise.show_order(work.order if work else None)
        self._show_totals(document, work)
        if work is not None:
            self._show_order(document, work)
        if line is not None:
            self._show_line(document, line)

    def _named(self) -> list[str]:
        """The titles of the cards of the line's steel and handle material."""
        line, space = self._line, self._workspace
        if line is None:
            return []
        handle = space.session.document.records.get(line.handle)
        name = material_name(space, handle.material.name) if isinstance(handle, MaterialRecord) else ""
        return titles_of(space, (line.steel, name))

    def _find_blades(self) -> None:
        """Ask for the blades of the order."""
        if self._work is not None:
            self._workspace.blades_wanted.emit(_("order {number}", number=self._work.order.number))

    def let_go(self) -> None:
        """Drop unfinished typing."""
        self.order_form.let_go()
        self.line_form.let_go()

    def _show_totals(self, document: Document, work: OrderWork | None) -> None:
        money = document.settings.money
        if work is None:
            self.due.say(OpenedFigure(_("due"), "-"))  # no sum of another workbook remains
            for value in self.rows:
                value.say("-")
            return
        t = work.totals
        self.due.say(in_money(work.due, money))
        amounts = (t.lines, -t.discount, t.delivery, t.tax, t.deposit, t.rest, work.cost)
        for value, amount in zip(self.rows[:-1], amounts, strict=True):
            value.say(priced(amount, money) if amount else "-")
        net, cost = t.lines - t.discount, work.cost
        shares = f"{(net - cost) / net:.0%}, {(net - cost) / cost:.0%}" if net and cost else "-"
        self.rows[-1].say(shares)

    def _show_order(self, document: Document, work: OrderWork) -> None:
        order = work.order
        customers = [("", _("shop stock")), *((c.id, c.name) for c in document.all(CustomerRecord))]
        self.order_form.set_options("customer", customers)
        customer = document.records.get(order.customer)
        values: dict[str, Any] = {key: getattr(order, key) for key in self.order_form.keys if hasattr(order, key)}
        values |= {name: getattr(customer, name, "") for name in ("name", "contact")} | {
            "hand_breadth": getattr(customer, "hand_breadth", 0.0)
        }
        values |= {"tax": work.tax, "deposit": work.deposit}
        for name in _OF_CUSTOMER:
            self.order_form.row_of(name).setVisible(isinstance(customer, CustomerRecord))
        self.order_form.show_values(values, self._workspace.unit, order.id)

    def _show_line(self, document: Document, line: OrderLine) -> None:
        pricing = pricing_of(line, document.settings.charges)
        self.line_form.set_options("of", [(t.id, t.template.name) for t in document.all(TemplateRecord)])
        steels = dict.fromkeys([line.steel, *(bar.bar.steel for bar in document.all(BarRecord))])
        self.line_form.set_options("steel", [(steel, steel) for steel in steels])
        for key, kind, none in (("handle", MaterialKind.HANDLE, _("none selected")), ("sheath", MaterialKind.SHEATH, _("none"))):
            materials = (m for m in document.all(MaterialRecord) if m.material.kind is kind or m.id == getattr(line, key))
            self.line_form.set_options(key, [("", none), *((m.id, m.material.name) for m in materials)])
        values: dict[str, Any] = {key: getattr(line, key) for key in ("of", "steel", "handle", "sheath", "quantity", "note")}
        values["minutes"] = document.get(line.of, TemplateRecord).minutes
        values |= {"starts": line.starts, "way": line.pricing.way if line.pricing else None}
        values |= {"share": pricing.share, "target": pricing.target, "options": options_text(line.options)}
        self.line_form.row_of("share").setVisible(pricing.way is not PriceMethod.TARGET)
        self.line_form.row_of("target").setVisible(pricing.way is PriceMethod.TARGET)
        self.line_form.show_values(values, self._workspace.unit, line.id)

    def _order_entered(self, key: str, value: Any) -> None:
        assert self._work is not None
        if key in _OF_CUSTOMER:
            self.customer_changed.emit(key, value)
            return
        self.order_changed.emit(replace(self._work.order, **{key: value}), key)

    def _by_way(self, pricing: Pricing, method: PriceMethod) -> Pricing:
        """Change the pricing method; a target price starts from the present price."""
        target = pricing.target
        work = next((each for each in self._work.lines if each.line == self._line), None) if self._work else None
        if method is PriceMethod.TARGET and not target and work is not None:
            target = work.price.amount - sum((option.price for option in work.line.options), Decimal(0))
        return _with_share(replace(pricing, way=method, target=target), pricing.share)

    def _line_entered(self, key: str, value: Any) -> None:
        line, document = self._line, self._workspace.session.document
        assert line is not None
        if key == "minutes":
            self._workspace.merge_edit(f"{line.of} {key}", templates.set_minutes(document, line.of, value))
            return
        charges = document.settings.charges
        pricing = pricing_of(line, charges)
        changed_line = {
            "options": lambda: replace(line, options=options_of(value)),
            "way": lambda: replace(line, pricing=self._by_way(pricing, value) if value else None),
            "share": lambda: replace(line, pricing=_with_share(pricing, value)),
            "target": lambda: replace(line, pricing=replace(pricing, target=value)),
        }.get(key, lambda: replace(line, **{key: value}))()
        self.line_changed.emit(changed_line, key)


def _with_share(pricing: Pricing, share: float) -> Pricing:
    return replace(pricing, share=min(share, MOST_MARGIN) if pricing.way is PriceMethod.MARGIN else share)


def options_text(options: Sequence[Option]) -> str:
    """Extras in one line: "sheath 25.00 costing 9.00; engraving 10.00"."""
    costs = (f" {_COSTING} {written(option.cost)}" if option.cost else "" for option in options)
    return "; ".join(f"{option.words} {written(option.price)}{cost}" for option, cost in zip(options, costs, strict=True))


def options_of(text: str) -> tuple[Option, ...]:
    """Parse the extras of a line, each with its price and, after "costing", its cost.

    Raises ValueError, with a message for the maker, for one without a readable price or cost.
    """
    options = []
    for part in (part.strip() for part in text.split(";")):
        if part:
            match = _WITH_COST.fullmatch(part)
            words, price = _priced(match[1] if match else part, part)
            if _COST_WORD.search(words):  # a second cost, or one that cannot be read
                raise ValueError(_not_read(part, _WANTED))
            cost = _priced(f"it {match[2]}", part)[1] if match else NOTHING
            options.append(Option(words=words, price=price, cost=cost))
    return tuple(options)


def _priced(text: str, part: str) -> tuple[str, Decimal]:
    """Split the words from the price after them. Raises ValueError if there is no readable price."""
    words, _space, price = text.strip().rpartition(" ")
    try:
        amount = parse_amount(price)
    except NumberError as trouble:
        raise ValueError(_not_read(part, str(trouble) if trouble.two_ways else _WANTED)) from None
    thousands = words[-1:].isdecimal() and re.fullmatch(r"\d{3}([.,]\d*)?", price)
    if not words or thousands or amount != cents(amount):
        raise ValueError(_not_read(part, _("type the price without a space") if thousands else _WANTED))
    return words.strip(), amount


def _not_read(part: str, mistake: str) -> str:
    return labelled(f"“{part}”", mistake)
