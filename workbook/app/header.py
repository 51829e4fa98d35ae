"""The header of the window: the workbook's name, the state of the work and its file, undo, redo and the finder."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame

from workbook.app.elements.basics import button, label, named, row, tool
from workbook.app.icons import picture
from workbook.app.look import Look
from workbook.app.page_words import Deed
from workbook.app.plain import plain
from workbook.storage.session import Session
from workbook.texts import _


class Header(QFrame):
    """Shows the state of the work, and has the buttons Undo, Redo and Find."""

    undo_wanted = Signal()
    redo_wanted = Signal()
    finder_wanted = Signal()
    own_book_wanted = Signal()

    def __init__(self, look: Look, name: str) -> None:
        super().__init__()
        self._look = look
        named(self, "header")
        self._name = label(look, name, "title")
        self.here, self.there = (label(look, "", "small", soft=True) for _unused in range(2))
        self._here_mark, self._there_mark = label(look, ""), label(look, "")
        self._undo, self._redo = tool(look, "undo-button", _("Undo"), "undo"), tool(look, "redo-button", _("Redo"), "redo")
        self._find = tool(look, "find-button", _("Find an action   Ctrl+K"), "search")
        self._find.setToolTip(_("Find an action (Ctrl+K)"))
        for pressed, signal in ((self._undo, self.undo_wanted), (self._redo, self.redo_wanted), (self._find, self.finder_wanted)):
            pressed.clicked.connect(signal)
        self._states = (self._here_mark, self.here, self._there_mark, self.there)
        self._sample = named(label(look, _("Sample: not your data"), "small", bold=True), "sample-mark")
        self._sample.setFixedHeight(look.px(26))
        self.own_button = button(look, "own-book", _("Start my own shop book"), main=True)
        self.own_button.clicked.connect(self.own_book_wanted)
        said = (self._sample, None, *self._states, self.own_button)
        self.setLayout(row(self._name, *said, self._undo, self._redo, self._find, margins=(16, 0, 10, 0), gap=6))
        self.setFixedHeight(look.size("header"))

    def say_name(self, name: str) -> None:
        """Show the workbook's name."""
        self._name.setText(name)

    def show_session(self, session: Session, here: str, there: str) -> None:
        """Show the state of the work here and of its file, in words, and whether anything can be undone."""
        look, sample = self._look, session.document.settings.sample
        for widget in (self._sample, self.own_button):
            widget.setVisible(sample)
        for widget in self._states:
            widget.setVisible(not sample or session.path is not None or session.read_only)
        self.here.setText(here)
        self.there.setText(there)
        self._here_mark.setPixmap(picture("note" if session.read_only else "tick", look.px(14), look.colour("good")))
        self._there_mark.setPixmap(picture("tick" if session.saved else "wait", look.px(14), look.colour("soft")))
        self._undo.setEnabled(session.done > 0 and not session.read_only)
        self._redo.setEnabled(session.done < len(session.steps) and not session.read_only)

    def tell_history(self, deeds: tuple[Deed, Deed]) -> None:
        """Show on the buttons what they undo and redo, in the words of the menu."""
        for pressed, (words, _unused) in zip((self._undo, self._redo), deeds, strict=True):
            pressed.setToolTip(plain(words.replace("&", "", 1).replace("&&", "&")))

    def make_room(self, *, close: bool) -> None:
        """Show only icons on the buttons where room is short."""
        icons = Qt.ToolButtonStyle.ToolButtonIconOnly if close else Qt.ToolButtonStyle.ToolButtonTextBesideIcon
        for pressed in (self._undo, self._redo, self._find):
            pressed.setToolButtonStyle(icons)
