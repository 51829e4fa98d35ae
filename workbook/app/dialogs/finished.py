"""Finished knives: those in the shop with price and location, sold in two actions; those that left it, with what came after."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QDialog, QStackedWidget, QVBoxLayout

from workbook.app.changed import Changed
from workbook.app.dialogs.knife_fields import Selling, Serving
from workbook.app.dialogs.knife_pictures import KnifePictures
from workbook.app.dialogs.undo_keys import undo_by_keys
from workbook.app.elements.basics import Lettered, label, row, tool
from workbook.app.elements.record_table import RecordTable
from workbook.document.accounts import delivered, for_sale, left_on, sale_of
from workbook.document.document import Document
from workbook.document.making import order_of
from workbook.document.orders import order_name
from workbook.document.shop_records import PieceRecord
from workbook.model.real_cost import cost_of_blade, finished_on
from workbook.shop.money import NOTHING, priced
from workbook.texts import _, ngettext

if TYPE_CHECKING:
    from workbook.app.frame import Frame

_HERE = (_("Serial"), _("Knife"), _("Finished"), _("Cost"), _("Price"), _("Location"))
_GONE = (_("Serial"), _("Knife"), _("Left"), _("Whose"), _("Price"))
_LAW = _("Laws on selling knives differ by place: check local law. Tax is counted at the rate in Rates: check local rules.")


class FinishedDialog(QDialog):
    """The dialog; it follows the workbook while it is open."""

    paper_wanted = Signal(str, str)  # the key of an export, the id of a knife

    def __init__(self, window: Frame) -> None:
        super().__init__(window)
        self.setWindowTitle(_("Finished knives"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._space = window.workspace
        look = self._space.look
        self._chosen = self._sold = ""  # ids: of the knife chosen, and of the one sold last, whose papers are still wanted
        self.gone_switch = tool(look, "left-the-shop", _("Left the shop"), switch=False)
        self.count = Lettered(look, "", 9.75, bold=True)
        self.here = RecordTable(look, "finished-knives", _("Finished knives"), _HERE, right=(3, 4))
        self.here.set_widths(look, {0: 74, 2: 112, 3: 84, 4: 84, 5: 170})
        self.gone = RecordTable(look, "knives-gone", _("Knives that left the shop"), _GONE, right=(4,))
        self.gone.set_widths(look, {0: 74, 2: 112, 4: 84})
        self.pictures = KnifePictures(window)
        self.selling, self.serving = Selling(window), Serving(window)
        self.wrong = Lettered(look, "", 9, bold=True, tone="stop")
        self.care_button, self.history_button, self.receipt_button = (
            tool(look, f"print-{key}", words, "print")
            for key, words in (("care", _("Care card")), ("history", _("History for its owner")), ("receipt", _("Receipt")))
        )
        self._build()
        self.resize(min(look.px(900), window.width()), min(look.px(620), window.height()))
        self._connect()
        self._begin()

    def _build(self) -> None:
        look, none = self._space.look, (0, 0, 0, 0)
        self._tables, self._parts = QStackedWidget(), QStackedWidget()
        for holder, widgets in ((self._tables, (self.here, self.gone)), (self._parts, (self.selling, self.serving))):
            for widget in widgets:
                holder.addWidget(widget)
        note = label(look, _LAW, "small", soft=True)
        note.setWordWrap(True)
        right = QVBoxLayout()
        right.addWidget(self._tables, 1)
        right.addWidget(self._parts, 1)
        middle = row(margins=none, gap=14)
        middle.addWidget(self.pictures)
        middle.addLayout(right, 1)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(14, 12, 14, 12)
        outer.addLayout(row(self.count, None, self.gone_switch, margins=none))
        outer.addLayout(middle, 1)
        outer.addLayout(row(self.care_button, self.history_button, self.receipt_button, None, margins=none))
        outer.addWidget(self.wrong)
        outer.addWidget(note)

    def _connect(self) -> None:
        self.gone_switch.toggled.connect(self._switch)
        self.here.chosen.connect(self._choose)
        self.gone.chosen.connect(self._choose)
        for part in (self.selling, self.serving):
            part.said.connect(self._say)
        self.selling.sold.connect(self._tell_sold)
        papers = ((self.care_button, "care"), (self.history_button, "history"), (self.receipt_button, "sale-receipt"))
        for each, key in papers:
            each.clicked.connect(lambda _on=False, key=key: self.paper_wanted.emit(key, self._chosen or self._sold))
        undo_by_keys(self, self._space)
        self._space.changed.connect(self._changed)

    @property
    def _document(self) -> Document:
        return self._space.session.document

    def _say(self, problem: str) -> None:
        self.wrong.say(problem, "stop")
        self.wrong.setVisible(bool(problem))

    def _tell_sold(self, piece: str, words: str) -> None:
        """Say what was sold, and keep its papers at hand until another knife is chosen."""
        self._sold = piece
        self.wrong.say(words, "ink")
        self.wrong.show()
        for each in (self.care_button, self.history_button, self.receipt_button):
            each.setEnabled(True)

    def _changed(self, change: Changed) -> None:
        if change.records:
            self._fill()

    def _switch(self, gone: bool) -> None:
        self._tables.setCurrentIndex(int(gone))
        self._parts.setCurrentIndex(int(gone))
        self._begin()

    def _begin(self) -> None:
        """Choose the first knife of the list."""
        self._chosen = next((piece.id for piece in self._listed()), "")
        self._fill()

    def _listed(self) -> list[PieceRecord]:
        return self._gone() if self.gone_switch.isChecked() else for_sale(self._document)

    def _gone(self) -> list[PieceRecord]:
        """The knives that left the shop, the last first."""
        document, left = self._document, delivered(self._document)
        gone = (piece for piece in document.all(PieceRecord) if piece.id in left)
        return sorted(gone, key=lambda piece: left_on(document, piece.id), reverse=True)

    def _fill(self) -> None:
        """Show the knives as they are. One that has gone from the list is followed by none: Enter must not act on another."""
        document = self._document
        gone, here = self._gone(), for_sale(document)
        if all(piece.id != self._chosen for piece in self._listed()):
            self._chosen = ""
        self.here.show_records(here, self._row_here, self._chosen)
        self.gone.show_records(gone, self._row_gone, self._chosen)
        total = sum((piece.price for piece in here if piece.price is not None), NOTHING)
        words = ngettext("{count} knife in the shop", "{count} knives in the shop", len(here))
        self.count.say(_("{knives}, priced at {total}", knives=words, total=priced(total, document.settings.money)))
        self._choose(self._chosen)
        self._say("")

    def _choose(self, piece: str) -> None:
        self._chosen = piece
        self._sold = ""
        self.pictures.show_knife(piece)
        self.selling.show_knife(piece)
        self.serving.show_knife(piece)
        for each in (self.care_button, self.history_button):
            each.setEnabled(bool(piece))
        self.receipt_button.setEnabled(bool(piece) and sale_of(self._document, piece) is not None)

    def _row_here(self, piece: PieceRecord) -> tuple[str, ...]:
        document = self._document
        money = document.settings.money
        cost = cost_of_blade(document, self._space.model, piece).real.amount
        price = priced(piece.price, money) if piece.price is not None else ""
        ready = document.settings.local.short_day(finished_on(document, piece))
        return piece.serial, f"{piece.name}, {piece.steel}", ready, priced(cost, money), price, piece.kept_at

    def _row_gone(self, piece: PieceRecord) -> tuple[str, ...]:
        document, order, sale = self._document, order_of(self._document, piece), sale_of(self._document, piece.id)
        whose = order_name(document, order) if order else sale.buyer if sale else ""
        price = priced(sale.price, document.settings.money) if sale else ""
        left = document.settings.local.short_day(left_on(document, piece.id))
        return piece.serial, f"{piece.name}, {piece.steel}", left, whose, price
