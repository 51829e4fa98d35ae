"""Texts of the window around its pages, and messages with buttons that apply a cure."""

from collections.abc import Callable, Sequence

from PySide6 import QtWidgets

from workbook.app.plain import message_box
from workbook.document.action_words import in_words
from workbook.storage.session import Session
from workbook.texts import _, labelled
from workbook.units import Unit

Deed = tuple[str, bool]  # the step to undo or redo, in words, and whether that is possible
Cure = tuple[str, Callable[[], object]]  # the text of a button, and what it does
MENUS = (
    _("&File"), _("&Edit"), _("&View"), _("&Go"), _("&Template"), _("&Stock"), _("&Orders"), _("&Layout"), _("&Make"), _("&Help"),
)  # fmt: skip


def history_words(session: Session, unit: Unit) -> tuple[Deed, Deed]:
    """The next step to undo and to redo, as menu text with lengths in `unit`, each with whether it is possible."""
    steps, position = session.steps, session.done

    def said(word: str, step: int) -> Deed:
        possible = 0 <= step < len(steps) and not session.read_only
        words = in_words(steps[step].action, unit).replace("&", "&&") if possible else ""
        return (labelled(word, words) if possible else word), possible

    return said(_("&Undo"), position - 1), said(_("&Redo"), position)


def message(window: QtWidgets.QWidget, title: str, words: str, cures: Sequence[Cure], *, warning: bool = True) -> None:
    """Show a message over a window; `cures` are buttons that apply one."""
    box = message_box(window, title, title, words, warning=warning)
    for text, run in cures:
        box.addButton(text, QtWidgets.QMessageBox.ButtonRole.AcceptRole).clicked.connect(lambda checked=False, run=run: run())
    box.open()
