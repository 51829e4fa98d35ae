"""The menus Stock, Orders, Layout and Make: commands of the shop."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QMenu

from workbook.app.choice_menu import fill_services
from workbook.app.dialogs.table import show_dialog
from workbook.app.pages.layout.hand import WAYS
from workbook.app.parts import Parts, action
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app.frame import Frame


def fill_stock(window: Frame, menu: QMenu, parts: Parts) -> None:
    """Fill the menu with commands for bars and materials."""
    action(
        menu, _("&Import stock (CSV)…"), parts.bringing.ask_for_stock,
        also=_("csv spreadsheet excel table inventory load read upload bring in"),
    )  # fmt: skip
    action(
        menu, _("&Export stock (CSV)…"), parts.printing.save_stock,
        also=_("csv spreadsheet excel table inventory write save download accountant"),
    )  # fmt: skip


def fill_orders(window: Frame, menu: QMenu, parts: Parts) -> None:
    """Fill the menu with commands for orders and what they cost."""
    action(
        menu,
        _("Print &quote…"),
        parts.printing.print_quote,
        also=_("price cost offer customer pdf estimate invoice receipt letter"),
    )
    action(
        menu,
        _("Copy quote as &text"),
        lambda: window.quote_page().copy(),
        also=_("clipboard mail email message paste letter"),
    )
    action(menu, _("Include this &order in the layout"), lambda: _lay_order(window), also=_("lay out nest blanks steel plan"))
    action(
        menu, _("&Account of this order…"), lambda: _account(window),
        also=_("payment paid owed owes unpaid deposit balance refund money invoice bill deliver ship tracking receipt"),
    )  # fmt: skip
    _fill_money(window, menu, parts)
    menu.addSeparator()
    action(
        menu, _("&Delete customer"), lambda: window.workspace.orders.drop_customer(window.quote_page().order),
        also=_("remove client contact erase"),
    )  # fmt: skip
    menu.addSeparator()
    action(
        menu, _("Shop &rates…"), partial(show_dialog, window, "rates"),
        also=_("cost price wage hourly overhead margin markup tax deposit stages minutes terms address phone"),
    )  # fmt: skip
    action(
        menu, _("Shop &hours…"), partial(show_dialog, window, "hours"),
        also=_("working time week calendar holiday vacation days off evening schedule availability opening"),
    )  # fmt: skip


def _fill_money(window: Frame, menu: QMenu, parts: Parts) -> None:
    """Fill in the commands for finished knives, expenses and the year."""
    action(
        menu, _("&Finished knives…"), partial(show_dialog, window, "finished"),
        also=_("sell sold sale price show consignment commission photo picture repair sharpen return damaged came back"),
    )  # fmt: skip
    action(
        menu, _("&Expenses…"), partial(show_dialog, window, "expenses"),
        also=_("spent bought receipt supplier cost accountant bookkeeping"),
    )  # fmt: skip
    action(
        menu, _("Export a &year for the accountant…"), parts.printing.save_year,
        also=_("xlsx excel spreadsheet tax bookkeeping annual tables inventory stock at cost"),
    )  # fmt: skip


def fill_layout(window: Frame, menu: QMenu, parts: Parts) -> None:
    """Fill the menu with commands for the layout, its papers and cutting files."""
    by_hand = menu.addMenu(_("Selected &blank"))
    for command, words, _unused, _unused in WAYS:
        action(by_hand, words, partial(_by_hand, window, command), also=_MOVES[command])
    action(
        by_hand, _("Pin or unpin"), lambda: window.bars_page().pin_chosen(), also=_("lock unlock fix hold keep in place anchor")
    )
    action(
        menu, _("&Keep searching"), lambda: window.bars_page().search_on(),
        also=_("nest nesting optimize optimise search start restart resume better improve pack arrange auto"),
    )  # fmt: skip
    action(
        menu, _("&Stop searching"), lambda: window.bars_page().search.stop(),
        also=_("stop cancel abort pause halt end search nesting"),
    )  # fmt: skip
    action(
        menu, _("&Mark layout as cut"), lambda: window.bars_page().mark_cut(),
        also=_("done sawn book finished cut consume use up bars"),
    )  # fmt: skip
    menu.addSeparator()
    action(
        menu, _("&Print bar sheets…"), parts.printing.print_bars, also=_("scribe layout pdf paper ordinates dimensions saw order")
    )
    action(
        menu, _("Export cutting &file of the bars (DXF)…"), parts.printing.cut_bars,
        also=_("laser waterjet plasma cut file dxf cnc cad save"),
    )  # fmt: skip
    action(menu, _("Export &drawing with all lines (DXF)…"), parts.printing.draw_bars, also=_("dxf cad drawing layers save"))
    menu.addSeparator()
    action(
        menu, _("&Check a cutting file…"), partial(show_dialog, window, "preflight"),
        also=_("verify validate inspect repair fix dxf preflight test errors open drawing"),
    )  # fmt: skip
    fill_services(window, menu.addMenu(_("Cutting ser&vice")))


_MOVES = {
    "turn": _("rotate turn spin 180 reverse blank"),
    "flip": _("flip mirror other side face blank"),
    "clear": _("nudge separate overlap collision move blank"),
    "exchange": _("swap switch trade places two blanks"),
    "up": _("move shift other bar blank"),
    "down": _("move shift other bar blank"),
}


def fill_make(window: Frame, menu: QMenu, parts: Parts) -> None:
    """Fill the menu with commands for blades that are being made."""
    action(
        menu, _("Find a &blade…"), lambda: window.show_blades(""),
        also=_("search serial number knife customer trace history lookup where"),
    )  # fmt: skip
    action(
        menu, _("Results of &heat treatment…"), lambda: window.show_heat_results(""),
        also=_("hardness hrc rockwell temper warp bow chart plot statistics"),
    )  # fmt: skip
    action(
        menu, _("Real &cost…"), partial(show_dialog, window, "real-cost"),
        also=_("actual profit loss margin money spent batch order year difference quoted chart plot made earned"),
    )  # fmt: skip
    action(
        menu, _("My &own numbers…"), partial(show_dialog, window, "own-numbers"),
        also=_("minutes average time yield scrap statistics real actual learned chart plot per stage how long"),
    )  # fmt: skip
    menu.addSeparator()
    action(
        menu,
        _("Print &traveler…"),
        parts.printing.print_traveller,
        also=_("traveller batch sheet job card route checklist"),
    )
    action(
        menu, _("Print h&eat-treatment sheets…"), parts.printing.print_heat_sheets,
        also=_("hardening temper quench log furnace kiln record form"),
    )  # fmt: skip
    action(
        menu, _("Print &labels for blades and scales…"), parts.printing.print_labels, also=_("label tag sticker serial mark name")
    )
    action(
        menu, _("Print &scale sheets by serial…"), parts.printing.print_scale_sheets,
        also=_("handle scales template drill shape wood"),
    )  # fmt: skip


def _by_hand(window: Frame, command: str) -> None:
    """Move the selected blank of the layout."""
    window.bars_page().hand.do(command)


def _account(window: Frame) -> None:
    """Open the account of the order shown on Quote."""
    order = window.quote_page().order
    if order:
        window.show_account(order)


def _lay_order(window: Frame) -> None:
    """Lay out the blanks of the order shown on Quote."""
    order = window.quote_page().order
    if order:
        window.workspace.orders.lay(order, True)
        window.show_page("layout")
