"""The dialogs by name; each module is imported on first use."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QDialog, QMessageBox

from workbook.document.making_records import LoadRecord
from workbook.document.shop_records import PieceRecord
from workbook.later import modules
from workbook.template.model import Template
from workbook.texts import _

if TYPE_CHECKING:
    from collections.abc import Sequence

    from workbook.app.dialogs import (
        about,
        account,
        expenses,
        export,
        finder,
        finished,
        heat_load,
        heat_results,
        history,
        hours,
        keys,
        own_numbers,
        preflight,
        print_code,
        rates,
        real_cost,
        report_pack,
        scaling,
        screen_size,
        settings,
    )
    from workbook.app.dialogs import help as help_dialog
    from workbook.app.frame import Frame
    from workbook.app.workspace import Workspace
else:
    (
        about,
        account,
        expenses,
        export,
        finder,
        finished,
        heat_load,
        heat_results,
        help_dialog,
        history,
        hours,
        keys,
        own_numbers,
        preflight,
        print_code,
        rates,
        real_cost,
        report_pack,
        scaling,
        screen_size,
        settings,
    ) = modules(
        "app.dialogs.about",
        "app.dialogs.account",
        "app.dialogs.expenses",
        "app.dialogs.export",
        "app.dialogs.finder",
        "app.dialogs.finished",
        "app.dialogs.heat_load",
        "app.dialogs.heat_results",
        "app.dialogs.help",
        "app.dialogs.history",
        "app.dialogs.hours",
        "app.dialogs.keys",
        "app.dialogs.own_numbers",
        "app.dialogs.preflight",
        "app.dialogs.print_code",
        "app.dialogs.rates",
        "app.dialogs.real_cost",
        "app.dialogs.report_pack",
        "app.dialogs.scaling",
        "app.dialogs.screen_size",
        "app.dialogs.settings",
    )


def show_dialog(window: Frame, name: str) -> None:
    """Open a dialog by name, or raise it if it is already open."""
    existing = next((d for d in window.findChildren(QDialog) if d.property("dialog") == name and d.isVisible()), None)
    if existing is not None:
        existing.raise_()
        existing.activateWindow()
        return
    others = set(window.findChildren(QDialog))
    _open_dialog(window, window.workspace, name)
    for dialog in set(window.findChildren(QDialog)) - others:
        dialog.setProperty("dialog", name)


def show_field(window: Frame, name: str, key: str) -> None:
    """Open the settings or the rates, and give one of their fields the keyboard."""
    show_dialog(window, name)
    for dialog in window.findChildren(QDialog):
        if dialog.property("dialog") == name and isinstance(dialog, settings.SettingsDialog | rates.Rates):
            dialog.form.go_to(key)


def show_export(window: Frame, key: str, task: str = "", *, order: str = "", blades: Sequence[str] = ()) -> None:
    """Open the dialog that writes and prints on one kind of export, with the sheets for a task ticked; one open already goes.

    `order`, `blades`: the ids of what the papers are about, where that is not what a page shows.
    """
    _close(window, "export")
    dialog = export.ExportDialog(window, key, task, order=order, blades=blades)
    dialog.setProperty("dialog", "export")
    dialog.show()


def show_heat_load(window: Frame, pieces: Sequence[PieceRecord]) -> None:
    """Open the dialog for a heat-treatment load of these blades; one open already goes."""
    _show_load(window, heat_load.HeatLoadDialog(window, window.workspace, pieces))


def show_load(window: Frame, load: str) -> None:
    """The same for a load that was logged, by its id."""
    records = window.workspace.session.document.records
    record = records.get(load)
    if isinstance(record, LoadRecord):
        pieces = [piece for each in record.pieces if isinstance(piece := records.get(each), PieceRecord)]
        _show_load(window, heat_load.HeatLoadDialog(window, window.workspace, pieces, record))


def _show_load(window: Frame, dialog: heat_load.HeatLoadDialog) -> None:
    _close(window, "heat-load")
    dialog.results_wanted.connect(window.show_heat_results)
    dialog.setProperty("dialog", "heat-load")
    dialog.show()


def show_heat_results(window: Frame, steel: str) -> None:
    """Open the dialog with what came of a steel's heat treatments; one open already goes."""
    _close(window, "heat-results")
    dialog = heat_results.HeatResultsDialog(window, window.workspace, steel)
    dialog.setProperty("dialog", "heat-results")
    dialog.show()


def show_account(window: Frame, order: str) -> None:
    """Open the account of an order; one open already goes."""
    _close(window, "account")
    dialog = account.AccountDialog(window, window.workspace, order, lambda: window.quote_page().work)
    dialog.paper_wanted.connect(lambda key: show_export(window, key, order=order))
    dialog.setProperty("dialog", "account")
    dialog.show()


def _close(window: Frame, name: str) -> None:
    for dialog in window.findChildren(QDialog):
        if dialog.property("dialog") == name:
            dialog.close()


def close_dialogs(window: Frame) -> None:
    """Close the dialogs opened by name, since their work is going. Messages and traces in progress stay open."""
    for dialog in window.findChildren(QDialog):
        if dialog.property("dialog") and not isinstance(dialog, QMessageBox):
            dialog.close()


def _open_dialog(window: Frame, space: Workspace, name: str) -> None:
    if name == "history":
        history.History(window, space).show()
    elif name == "settings":
        settings.SettingsDialog(window, space).show()
    elif name in ("export", "preflight", "print-code"):
        _open_file_dialog(window, name)
    elif name in ("hours", "own-numbers", "real-cost", "expenses", "finished"):
        _open_shop_dialog(window, name)
    elif name == "rates":
        rates.Rates(window, space).show()
    elif name == "keys":
        keys.Keys(window).show()
    elif name == "report":
        report_pack.ReportPack(window).show()
    elif name == "about":
        about.About(window, space.look).show()
    elif name == "finder":
        finder.Finder(window, space.look).show()
    elif name == "screen":
        dialog = screen_size.ScreenSize(window, space.look)
        dialog.accepted.connect(lambda: window.use_look(dialog.found or space.look))
        dialog.show()
    elif name in ("scaling", "sizes"):
        if isinstance(space.chosen_template, Template):
            (scaling.Scaling if name == "scaling" else scaling.SizesDialog)(window, space).show()
        else:
            space.said.emit(_("An imported outline has no parameters to scale."))
    else:
        help_dialog.Help(window, space.look, window.page_name()).show()


def _open_shop_dialog(window: Frame, name: str) -> None:
    """Open a dialog about hours, money and knives of the shop."""
    space = window.workspace
    if name == "hours":
        hours.HoursDialog(window, space).show()
    elif name == "own-numbers":
        own_numbers.OwnNumbersDialog(window, space).show()
    elif name == "real-cost":
        real_cost.RealCostDialog(window, space).show()
    elif name == "expenses":
        expenses.ExpensesDialog(window, space).show()
    else:
        dialog = finished.FinishedDialog(window)
        dialog.paper_wanted.connect(lambda key, blade: show_export(window, key, blades=(blade,)))
        dialog.show()


def _open_file_dialog(window: Frame, name: str) -> None:
    """Open a dialog about files or prints."""
    if name == "export":
        export.ExportDialog(window).show()
    elif name == "preflight":
        preflight.ask_and_judge(window)
    else:
        print_code.ask_for_code(window)
