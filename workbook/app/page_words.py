"""Words of the window round its pages, and messages with buttons that do something about them."""

from collections.abc import Callable, Sequence

from PySide6 import QtWidgets

from workbook.app.plain import message_box
from workbook.document.action_words import in_words
from workbook.storage.session import Session
from workbook.texts import _
from workbook.units import Unit

Deed = tuple[str, bool]  # what is undone or done again, in words, and whether it can be
Cure = tuple[str, Callable[[], object]]  # words on a button, and what it does
MENUS = (_("&File"), _("&Edit"), _("&View"), _("&Knife"), _("&Bars"), _("&Help"))


def history_words(session: Session, unit: Unit) -> tuple[Deed, Deed]:
    """What is undone and what is done again next, in words of a menu and lengths in a unit, each with whether it can be."""
    steps, done = session.steps, session.done

    def said(word: str, step: int) -> Deed:
        there = 0 <= step < len(steps) and not session.read_only
        words = in_words(steps[step].action, unit).replace("&", "&&") if there else ""
        return (f"{word}: {words}" if there else word), there

    return said(_("&Undo"), done - 1), said(_("&Redo"), done)


def message(window: QtWidgets.QWidget, title: str, words: str, cures: Sequence[Cure], *, warning: bool = True) -> None:
    """Says something beside a window; `cures`: buttons that do something about it."""
    box = message_box(window, title, title, words, warning=warning)
    for text, run in cures:
        box.addButton(text, QtWidgets.QMessageBox.ButtonRole.AcceptRole).clicked.connect(lambda checked=False, run=run: run())
    box.open()
