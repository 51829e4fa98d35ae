"""Fields about a finished knife: price, location and sale; what was done to it after it had left the shop."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from workbook.app.dialogs.heat_fields import choice_of, line_of, number_in
from workbook.app.elements.basics import button, label, row, tool
from workbook.app.elements.record_table import RecordTable
from workbook.document.accounts import after_of, delivered, sale_of
from workbook.document.document import Document
from workbook.document.money_records import AFTER_WORDS, AfterKind, AfterRecord
from workbook.document.shop_records import PieceRecord
from workbook.model.accounts import sale_commission, sale_tax
from workbook.number_in import NumberError, parse_amount, parse_number, written
from workbook.shop.entry import EntryError
from workbook.shop.money import NOTHING, cents, priced
from workbook.shop.order_entry import iso_date
from workbook.tasks.work import new_id, now
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app.frame import Frame

_AFTER = (_("Date"), _("Done"), _("Note"), _("Price"))
_MINUTES = (0.0, 100_000.0)


class KnifeFields(QWidget):
    """Fields for the knife chosen."""

    said = Signal(str)
    sold = Signal(str, str)  # the id of a knife, and what is said of its sale

    def __init__(self, window: Frame) -> None:
        super().__init__()
        self._space, self._piece = window.workspace, ""

    @property
    def _document(self) -> Document:
        return self._space.session.document


class Selling(KnifeFields):
    """Price and location of a knife in the shop, and its sale."""

    _shown: tuple[str, Decimal | None, str] = ("", None, "")  # the knife with its price and location, as they were shown last

    def __init__(self, window: Frame) -> None:
        super().__init__(window)
        look, none = self._space.look, (0, 0, 0, 0)
        self.price, self.kept_at = (
            line_of(look, "knife-price", _("Price before tax")),
            line_of(look, "knife-location", _("Location"), 190),
        )
        self.buyer, self.date = line_of(look, "buyer", _("Buyer"), 190), line_of(look, "sale-date", _("Date"))
        self.kept = line_of(look, "commission", _("Commission, %"), 70)
        self.kept.setPlaceholderText("0")
        self.offer_button, self.sell_button = tool(look, "offer", _("Save price")), button(look, "sell", _("Sell"), main=True)
        self.sell_button.setAutoDefault(False)  # Enter in the line of a price must not sell
        column = QVBoxLayout(self)
        column.setContentsMargins(*none)
        for fields, end in (
            ((self.price, self.kept_at), self.offer_button),
            ((self.buyer, self.date, self.kept), self.sell_button),
        ):
            parts = [part for each in fields for part in (label(look, each.accessibleName()), each)]
            column.addLayout(row(*parts, None, end, margins=none))
        self.back_button = tool(look, "return-back", _("Take return back"))
        self.sum = label(look, "", "small", soft=True)
        column.addLayout(row(self.sum, None, self.back_button, margins=none))
        words = _("Commission: the share that a shop or show keeps for selling it. It is taken off what comes in.")
        note = label(look, words, "small", soft=True)
        note.setWordWrap(True)
        column.addWidget(note)
        column.addStretch(1)
        for line in (self.price, self.kept_at):
            line.returnPressed.connect(self._offer)
        for line in (self.buyer, self.date, self.kept):
            line.returnPressed.connect(self._sell)
        self.offer_button.clicked.connect(self._offer)
        self.sell_button.clicked.connect(self._sell)
        self.back_button.clicked.connect(self._take_return_back)
        self.price.textChanged.connect(self._show_sum)

    def show_knife(self, piece: str) -> None:
        """Show a knife's price and location, and a sale of today; what is being typed for it stays."""
        record = self._document.records.get(piece)
        offer = (record.price, record.kept_at) if isinstance(record, PieceRecord) else (None, "")
        if (piece, *offer) != self._shown:
            price, kept_at = offer
            self.price.setText(written(price) if price is not None else "")
            self.kept_at.setText(kept_at)
        if piece != self._piece:
            self.buyer.clear()
            self.kept.clear()
            self.date.setText(now()[:10])
        self._piece, self._shown = piece, (piece, *offer)
        came_back = self._return()
        self.back_button.setVisible(came_back is not None)
        for widget in (self.offer_button, self.sell_button, self.price, self.kept_at, self.buyer, self.date, self.kept):
            widget.setEnabled(bool(piece))
        self._show_sum()

    def _return(self) -> AfterRecord | None:
        """The entry by which the knife came back last."""
        found = after_of(self._document, self._piece) if self._piece else []
        return next((each for each in reversed(found) if each.kind is AfterKind.RETURNED), None)

    def _take_return_back(self) -> None:
        came_back = self._return()
        if came_back is not None:
            self.said.emit(self._space.accounts.drop_after(came_back.id))

    def _show_sum(self) -> None:
        """Say what the buyer pays."""
        settings = self._document.settings
        try:
            price = self._amount()
        except NumberError:
            price = None
        tax = settings.charges.tax
        words = ""
        if price is not None and tax:
            total = priced(price + cents(price * Decimal(repr(tax))), settings.money)
            words = _("With {tax:.4g}% tax: {total}", tax=tax * 100, total=total)
        self.sum.setText(words)

    def _amount(self) -> Decimal | None:
        return parse_amount(self.price.text()) if self.price.text().strip() else None

    def _commission(self) -> float:
        """The share that is typed, of 1."""
        text = self.kept.text().strip()
        return float(parse_number(text, 0, 100, sign="%")) / 100 if text else 0.0

    def _offer(self) -> None:
        if not self._piece:
            return
        try:
            self.said.emit(self._space.accounts.offer(self._piece, self._amount(), self.kept_at.text().strip()))
        except NumberError as trouble:
            self.said.emit(str(trouble))

    def _sell(self) -> None:
        if not self._piece:
            return
        try:
            price, date, kept = self._amount(), iso_date(self.date.text()), self._commission()
        except (NumberError, EntryError) as trouble:
            self.said.emit(str(trouble))
            return
        if price is None:
            self.said.emit(_("Type the price it is sold for."))
            return
        if date > now()[:10]:
            self.said.emit(_("This date is still to come."))
            return
        piece, settings = self._piece, self._document.settings
        problem = self._space.accounts.sell(piece, price, date, self.buyer.text().strip(), kept)
        self.said.emit(problem)
        if not problem:
            sale = sale_of(self._document, piece)
            assert sale is not None
            comes_in = priced(price + sale_tax(sale) - sale_commission(sale), settings.money)
            serial = self._document.get(piece, PieceRecord).serial
            words = _(
                "{serial} is sold for {price}; {amount} comes in.",
                serial=serial,
                price=priced(price, settings.money),
                amount=comes_in,
            )
            self.sold.emit(piece, words)


class Serving(KnifeFields):
    """What was done to a knife after it had left the shop, and its coming back."""

    def __init__(self, window: Frame) -> None:
        super().__init__(window)
        look, none = self._space.look, (0, 0, 0, 0)
        self._after = ""
        self.table = RecordTable(look, "after", _("Since it left"), _AFTER, right=(3,))
        self.table.set_widths(look, {0: 116, 1: 170, 3: 90})
        self.kind = choice_of(look, "after-kind", _("Done"), AFTER_WORDS, 170)
        self.date, self.minutes = line_of(look, "after-date", _("Date")), line_of(look, "after-minutes", _("Minutes"), 60)
        self.price, self.note = (
            line_of(look, "after-price", _("Price before tax"), 80),
            line_of(look, "after-note", _("Note"), 220),
        )
        self.enter_button = button(look, "enter-after", _("Enter"), main=True)
        self.less_button = tool(look, "less-after", _("Remove"))
        self.back_button = tool(look, "sale-back", _("Take sale back"))
        self.enter_button.setAutoDefault(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(*none)
        tools = row(label(look, _("Since it left"), "strong"), None, self.less_button, self.back_button, margins=none)
        column.addLayout(tools)
        column.addWidget(self.table, 1)
        self._price_words = label(look, self.price.accessibleName())
        names: dict[QWidget, QLabel] = {self.price: self._price_words}
        for fields, end in (((self.kind, self.date, self.minutes), None), ((self.price, self.note), self.enter_button)):
            parts = [part for each in fields for part in (names.get(each) or label(look, each.accessibleName()), each)]
            column.addLayout(row(*parts, None, *([end] if end else []), margins=none))
        self.kind.currentIndexChanged.connect(self._name_price)
        self.table.chosen.connect(self._choose)
        for line in (self.date, self.minutes, self.price, self.note):
            line.returnPressed.connect(self._enter)
        self.enter_button.clicked.connect(self._enter)
        self.less_button.clicked.connect(lambda: self.said.emit(self._space.accounts.drop_after(self._after)))
        self.back_button.clicked.connect(self._take_back)

    def show_knife(self, piece: str) -> None:
        """Show what was done to a knife."""
        document = self._document
        self.table.show_records(after_of(document, piece) if piece else [], self._row, self._after)
        if piece != self._piece:
            self._clear()
            self.kind.setCurrentIndex(0)
            self.date.setText(now()[:10])
        self._piece = piece
        self._choose(self._after)
        gone = piece in delivered(document)
        self.enter_button.setEnabled(gone)
        self.back_button.setEnabled(gone and sale_of(document, piece) is not None)

    def _choose(self, after: str) -> None:
        record = self._document.records.get(after)
        self._after = after
        self.less_button.setEnabled(isinstance(record, AfterRecord) and record.piece == self._piece)

    def _row(self, record: AfterRecord) -> tuple[str, ...]:
        settings = self._document.settings
        price = priced(record.counted, settings.money) if record.price else ""
        return settings.local.short_day(record.date), AFTER_WORDS[record.kind], record.note, price

    def _enter(self) -> None:
        if not self._piece:
            return
        try:
            date, minutes = iso_date(self.date.text()), number_in(self.minutes, _MINUTES)
            price = parse_amount(self.price.text()) if self.price.text().strip() else NOTHING
        except (NumberError, EntryError) as trouble:
            self.said.emit(str(trouble))
            return
        record = AfterRecord(
            id=new_id(), place=0.0, piece=self._piece, date=date, kind=AfterKind(self.kind.currentData()), minutes=minutes or 0.0,
            price=price, note=self.note.text().strip(),
        )  # fmt: skip
        problem = self._space.accounts.after(record)
        if not problem:
            self._clear()
        self.said.emit(problem)

    def _clear(self) -> None:
        for line in (self.minutes, self.price, self.note):
            line.clear()

    def _name_price(self) -> None:
        """Call the money what it is: of a knife that came back it is paid back."""
        back = self.kind.currentData() == AfterKind.RETURNED
        self._price_words.setText(_("Paid back, with tax") if back else _("Price before tax"))
        self.price.setAccessibleName(self._price_words.text())

    def _take_back(self) -> None:
        sale = sale_of(self._document, self._piece)
        if sale is not None:
            self.said.emit(self._space.accounts.take_sale_back(sale.id))
