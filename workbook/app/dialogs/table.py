"""The dialogs beside the window, by name; each is imported when it is first asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QDialog, QMessageBox

from workbook.template.model import Template

if TYPE_CHECKING:
    from workbook.app.frame import Frame
    from workbook.app.workspace import Workspace


def show_dialog(window: Frame, name: str) -> None:
    """Opens a dialog beside the window, or shows the one that is open; they are imported when first asked for."""
    there = next((d for d in window.findChildren(QDialog) if d.property("dialog") == name and d.isVisible()), None)
    if there is not None:
        there.raise_()
        there.activateWindow()
        return
    others = set(window.findChildren(QDialog))
    _open_dialog(window, window.workspace, name)
    for made in set(window.findChildren(QDialog)) - others:
        made.setProperty("dialog", name)


def close_dialogs(window: Frame) -> None:
    """Closes the dialogs opened by name: they speak of work that goes. What was said, or is being traced, stays."""
    for dialog in window.findChildren(QDialog):
        if dialog.property("dialog") and not isinstance(dialog, QMessageBox):
            dialog.close()


def _open_dialog(window: Frame, space: Workspace, name: str) -> None:
    if name == "history":
        from workbook.app.dialogs.history import History

        History(window, space).show()
    elif name == "settings":
        from workbook.app.dialogs.settings import SettingsDialog

        SettingsDialog(window, space).show()
    elif name in ("export", "preflight", "print-code"):
        _open_file_dialog(window, name)
    elif name == "rates":
        from workbook.app.dialogs.rates import Rates

        Rates(window, space).show()
    elif name == "finder":
        from workbook.app.dialogs.finder import Finder

        Finder(window, space.look).show()
    elif name == "screen":
        from workbook.app.dialogs.screen_size import ScreenSize

        asked = ScreenSize(window, space.look)
        asked.accepted.connect(lambda: window.use_look(asked.found or space.look))
        asked.show()
    elif name in ("scaling", "sizes"):
        from workbook.app.dialogs.scaling import Scaling, SizesDialog

        if isinstance(space.template(space.chosen), Template):
            (Scaling if name == "scaling" else SizesDialog)(window, space).show()
        else:
            space.said.emit("An outline from a file has no parameters to scale.")
    else:
        from workbook.app.dialogs.help import Help

        Help(window, space.look, window.page_name()).show()


def _open_file_dialog(window: Frame, name: str) -> None:
    """Dialogs about files and prints."""
    if name == "export":
        from workbook.app.dialogs.export import ExportDialog

        ExportDialog(window).show()
    elif name == "preflight":
        from workbook.app.dialogs.preflight import ask_and_judge

        ask_and_judge(window)
    else:
        from workbook.app.dialogs.print_code import ask_for_code

        ask_for_code(window)
