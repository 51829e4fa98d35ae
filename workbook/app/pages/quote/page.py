"""Quote: orders, their costs and prices, what they need; a quote as a sheet and as text."""

from typing import Any, NamedTuple

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from workbook.app.canvas.plot import BatchPlot
from workbook.app.changed import Changed
from workbook.app.elements.basics import Lettered, label, named, row, surface, tool
from workbook.app.elements.text_field import EntryLine
from workbook.app.elements.working import Working, in_money
from workbook.app.pages.page import Page
from workbook.app.pages.quote.lists import line_row, line_table, order_row, order_table
from workbook.app.pages.quote.needs import Needs
from workbook.app.pages.quote.side import QuoteSide
from workbook.app.pages.quote.steel_search import SteelSearch
from workbook.app.plain import plain
from workbook.app.workspace import Workspace
from workbook.document.orders import by_date, lines_of, rates_of
from workbook.document.shop_records import OrderLine, OrderRecord
from workbook.model.buying import material_needs, open_lines, steel_needs, uncut, without_bar
from workbook.model.order_steel import SteelCost, of_lines
from workbook.model.quoting import LineWork, OrderWork, sizes_of, worked_out
from workbook.shop.order_entry import ORDER_EXAMPLE
from workbook.tasks.quote_out import quote_text
from workbook.tasks.work import now
from workbook.texts import _, ngettext

_FINDING = _("The layout is still being searched. Until then steel is counted by rows on bars, and the price may change.")
_CLOSE = 940  # width of a window, in pixels at 100 %, under which the list of orders is folded away
_LOW = 480  # and its height under which the plot is left out


class QuoteShowing(NamedTuple):
    """What the page shows besides the orders themselves: the ids of the order and the line chosen."""

    order: str
    line: str


class QuotePage(Page):
    """Shows the orders of a workbook."""

    print_wanted = Signal()
    rates_wanted = Signal()
    account_wanted = Signal(str)  # an order's id

    def __init__(self, workspace: Workspace, side: QuoteSide) -> None:
        super().__init__()
        self.setObjectName("quote-page")
        self._workspace, self.steel = workspace, SteelSearch()
        look = workspace.look
        self.order, self.line = "", ""  # ids of the order and the line chosen
        self.work: OrderWork | None = None
        self.stale = self._searched = True
        self._by_rows = True  # no layout of the order is known
        self.order_line = EntryLine("order-line", _("New order, in one line"), workspace.typed)
        self.order_line.setPlaceholderText(ORDER_EXAMPLE)
        self.order_line.setFont(look.font("body"))
        self.order_line.setFixedHeight(look.size("row"))
        self.orders, self.lines = order_table(look), line_table(look)
        self.working, self.plot = Working(look), BatchPlot(look)
        self.needs, self.side = Needs(workspace), side
        self._title = Lettered(look, "", 9.75, bold=True)
        self._said = named(label(look, "", bold=True), "stop")
        self._finding = label(look, _FINDING, "small", soft=True)
        for words in (self._said, self._finding):
            words.setWordWrap(True)
            words.setContentsMargins(14, 4, 14, 4)
        self._empty = label(
            look, _("No order yet. Type one in the line above: {order_example}", order_example=ORDER_EXAMPLE), soft=True
        )
        self._empty.setWordWrap(True)
        self._empty.setContentsMargins(14, 10, 14, 10)
        self.add_button = tool(look, "add-order", _("Add"), "add")
        self.buy_button = tool(look, "to-buy", _("To buy"), switch=False)
        self.rates_button = tool(look, "rates", _("Rates"))
        self.more_button = tool(look, "add-order-line", _("Add line"), "add")
        self.drop_line_button = tool(look, "drop-order-line", _("Delete line"))
        self.drop_button = tool(look, "drop-order", _("Delete order"))
        self._orders_button = tool(look, "orders-button", _("Orders"), "right", switch=False)
        self.first = self.order_line  # where the keyboard starts on this page
        for action_button in (self.more_button, self.drop_line_button, self.drop_button):
            action_button.setToolTip(plain(action_button.text()))  # a narrow page cuts the words
        self._build()
        self._connect()

    def _build(self) -> None:
        look = self._workspace.look
        left = QVBoxLayout()
        left.setContentsMargins(0, 0, 0, 0)
        left.setSpacing(0)
        strip = row(label(look, _("Orders"), "strong"), None, self.rates_button, self.buy_button)
        left.addWidget(surface("strip", strip, look.px(40)))
        left.addWidget(surface("strip", row(self.order_line, self.add_button, margins=(10, 0, 6, 0)), look.px(48)))
        self._empty.setAlignment(Qt.AlignmentFlag.AlignTop)
        left.addWidget(self._empty)
        left.addWidget(self.orders, 1)
        self._left = surface("shelf", left)
        order = QWidget()
        middle = QVBoxLayout(order)
        middle.setContentsMargins(0, 0, 0, 0)
        middle.setSpacing(0)
        strip = row(self._orders_button, self._title, self.more_button, self.drop_line_button, self.drop_button)
        middle.addWidget(surface("strip", strip, look.px(40)))
        middle.addWidget(self.lines, 2)
        middle.addWidget(self._said)
        middle.addWidget(self._finding)
        middle.addWidget(surface("strip", row(label(look, _("Price breakdown (each)"), "strong"), None), look.px(36)))
        middle.addWidget(self.working, 3)
        self._plot_head = surface("strip", row(label(look, _("Price by batch size"), "strong"), None), look.px(36))
        middle.addWidget(self._plot_head)
        middle.addWidget(self.plot, 2)
        self.middle = QStackedWidget()
        self.middle.addWidget(order)
        self.middle.addWidget(self.needs)
        columns = QHBoxLayout(self)
        columns.setContentsMargins(0, 0, 0, 0)
        columns.setSpacing(0)
        columns.addWidget(self._left)
        columns.addWidget(self.middle, 1)
        columns.addWidget(self.side)

    def _connect(self) -> None:
        space, side = self._workspace, self.side
        self.order_line.returnPressed.connect(self._add)
        self.add_button.clicked.connect(self._add)
        self.order_line.textEdited.connect(lambda text: self._say(""))
        self.orders.chosen.connect(self.choose)
        self._orders_button.toggled.connect(lambda on: self._fold(True))
        self.lines.chosen.connect(self._choose_line)
        self.buy_button.toggled.connect(lambda on: self._show_needs(on))
        self.rates_button.clicked.connect(self.rates_wanted)
        self.more_button.clicked.connect(self._more)
        self.drop_line_button.clicked.connect(lambda: space.orders.drop_line(self.line))
        self.drop_button.clicked.connect(lambda: space.orders.drop(self.order))
        side.account_button.clicked.connect(lambda: self.account_wanted.emit(self.order))
        side.order_changed.connect(space.orders.change)
        side.line_changed.connect(space.orders.change_line)
        side.customer_changed.connect(lambda key, value: space.orders.customer(self.order, key, value))
        side.trouble.connect(self._say)
        side.copy_button.clicked.connect(self.copy)
        side.print_button.clicked.connect(self.print_wanted)
        self.steel.found.connect(self.refresh)
        space.changed.connect(self._changed)
        space.refused.connect(self.out_of_date)

    def showing(self) -> QuoteShowing:
        """The order and the line chosen."""
        return QuoteShowing(self.order, self.line)

    def show_again(self, showing: object) -> None:
        """Choose what the page in another look had chosen."""
        assert isinstance(showing, QuoteShowing)
        self.order, self.line = showing
        self.out_of_date()

    def make_room(self, width: int, height: int) -> None:
        """Set the widths of the list and the panel; a narrow page leaves out columns."""
        look = self._workspace.look
        room = width / look.text
        self._left.setFixedWidth(look.px(360 if room >= 1400 else 300 if room >= 1180 else 240 if room >= 900 else 190))
        self.side.setFixedWidth(look.px(340 if room >= 1280 else 310 if room >= 900 else 280))
        self.middle.setMinimumWidth(look.px(200))  # narrower than its words need: they are cut rather than the page
        self._fold(room < _CLOSE)
        for widget in (self._plot_head, self.plot):
            widget.setVisible(height / look.text >= _LOW)
        self.orders.setColumnHidden(2, room < 1600)
        self.orders.setColumnHidden(3, room < 1180)
        for column, least in ((1, 1100), (2, 1600), (3, 860), (8, 860), (4, 1240), (5, 1500), (6, 1300), (9, 1180)):
            self.lines.setColumnHidden(column, room < least)

    def _fold(self, close: bool) -> None:
        """Hide the list of orders behind its button where room is short."""
        self._orders_button.setVisible(close)
        self._title.setVisible(not close)
        self._left.setVisible(not close or self._orders_button.isChecked())
        self.side.setVisible(not close or not self._orders_button.isChecked())

    def _changed(self, change: Changed) -> None:
        if change.records:
            self.out_of_date()

    def _say(self, problem: str) -> None:
        self.hint.emit(problem)

    def refresh(self) -> None:
        """Refresh lists, figures and forms after any change."""
        self.stale = False
        document = self._workspace.session.document
        orders = by_date(document)
        if not isinstance(document.records.get(self.order), OrderRecord):
            self.order = orders[0].id if orders else ""
        self._empty.setVisible(not orders)
        self.orders.setVisible(bool(orders))
        self.orders.show_records(orders, lambda order: order_row(document, self._workspace.model, order), self.order)
        self._work_out()
        if self.buy_button.isChecked():
            self._show_needs(True)

    def fill(self) -> None:
        """Show in advance everything that needs no layout; the page stays stale, and refreshes when it is shown."""
        self._searched = False
        self.refresh()
        self.stale = self._searched = True

    def end(self) -> None:
        """End the search for steel."""
        self.steel.close()

    def choose(self, order: str) -> None:
        """Show another order."""
        if order and order != self.order:
            self.order, self.line = order, ""
            self._work_out()

    def _choose_line(self, line: str) -> None:
        self.line = line
        self._show()

    def _steel(self, lines: list[OrderLine]) -> dict[str, SteelCost]:
        """The steel of these lines by a layout; empty while that is being searched."""
        if not self._searched:
            return {}
        document = self._workspace.session.document
        laid = self.steel.laid(document, self._workspace.model, lines)
        return of_lines(document, laid, lines) if laid else {}

    def _work_out(self) -> None:
        """Work out the chosen order: at once by rows, then by a layout."""
        document, model = self._workspace.session.document, self._workspace.model
        self.work = None
        if self.order:
            lines = [line for line in lines_of(document, self.order) if line.of in document.records]
            steel = self._steel(lines)
            self.work, self._by_rows = worked_out(document, model, self.order, steel), not steel
        works = {work.line.id: work for work in self.work.lines} if self.work else {}
        self.line = self.line if self.line in works else next(iter(works), "")
        self.lines.show_records(
            [work.line for work in works.values()], lambda line: line_row(document, works[line.id]), self.line
        )
        self._show()

    @property
    def line_work(self) -> LineWork | None:
        """The line chosen, worked out."""
        return next((work for work in self.work.lines if work.line.id == self.line), None) if self.work else None

    def _show(self) -> None:
        """Show the line chosen and the totals."""
        document, chosen = self._workspace.session.document, self.line_work
        money = document.settings.money
        self.side.show_work(self.work, chosen.line if chosen else None)
        self._title.say(self._head())
        for button, target in ((self.more_button, self.work), (self.drop_button, self.work), (self.drop_line_button, chosen)):
            button.setEnabled(target is not None)
        self._said.setText("\n".join(chosen.missing) if chosen else "")
        self._said.setVisible(bool(self._said.text()))
        self._finding.setVisible(chosen is not None and self.steel.busy and self._by_rows and chosen.line.agreed is None)
        self.working.show_opened([in_money(chosen.price, money)] if chosen else [], deep=2)
        points = sizes_of(chosen, rates_of(document, chosen.line)) if chosen else []
        self.plot.show_points(points, chosen.line.quantity if chosen else 0, money)

    def _head(self) -> str:
        if self.work is None:
            return ""
        order = self.work.order
        columns = (_("Order {number}", number=order.number), self.work.customer or _("shop stock"))
        return "   ".join(columns)

    def _add(self) -> None:
        """Add the order typed in the line; without a customer, add it to the chosen order."""
        problem, order, line = self._workspace.orders.entered(self.order_line.text(), self.order)
        if problem:
            self._say(problem)
        elif order:
            self.order_line.clear()
            self.order, self.line = order, line
            self.refresh()

    def _more(self) -> None:
        """Add a line with a template that the order does not have yet, in the steel that suits it."""
        line = self._workspace.orders.another_line(self.order)
        if line:
            self.line = line
            self.refresh()

    def copy(self) -> None:
        """Copy the quote as text, for a letter; the order then counts as quoted."""
        if self.work is not None and self._workspace.orders.quoted(self.work):
            self._work_out()
            QGuiApplication.clipboard().setText(quote_text(self._workspace.session.document, self.work, now()))
            self._workspace.said.emit(_("Quote {number} copied. Paste it in a letter.", number=self.work.order.number))

    def _show_needs(self, on: bool) -> None:
        """Show what all open orders need, in place of the order."""
        self.middle.setCurrentIndex(1 if on else 0)
        self.side.setVisible(not on)
        if on:
            self.needs.show_needs(*self._needed())

    def _needed(self) -> tuple[list[Any], str]:
        document, model = self._workspace.session.document, self._workspace.model
        lines = open_lines(document)
        missing = without_bar(document, model, uncut(document, lines))
        laid = self.steel.laid(document, model, uncut(document, lines))
        steel = steel_needs(laid) if laid else []
        unplaced = sum(n for _unused, n in laid.layout.left_over) if laid else 0
        count = len({line.order for line in lines})
        words = [ngettext("{count} open order, accepted or in progress.", "{count} open orders, accepted or in progress.", count)]
        words += [_("Laying out the steel…")] if self.steel.busy else []
        words += missing
        without = ngettext(
            "{count} blank has no bar. Add one on the Stock page.",
            "{count} blanks have no bar. Add one on the Stock page.",
            unplaced,
        )
        words += [without] if unplaced else []
        return [*steel, *material_needs(document, model, lines)], " ".join(words)
