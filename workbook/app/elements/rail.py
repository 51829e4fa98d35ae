"""Buttons of the rail, each an icon above a word."""

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QKeySequence
from PySide6.QtWidgets import QSizePolicy, QToolButton, QVBoxLayout, QWidget

from workbook.app.elements.basics import named, surface
from workbook.app.icons import icon
from workbook.app.look import Look
from workbook.app.plain import plain
from workbook.texts import _


class RailButton(QToolButton):
    """A button of the rail; a template may be dropped on one that takes its kind of data."""

    dropped = Signal(str)  # the template's id

    def __init__(self, kind: str) -> None:
        super().__init__()
        self._kind = kind
        self.setAcceptDrops(bool(kind))

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Accept a drag of the kind of data it takes."""
        if event.mimeData().hasFormat(self._kind):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Emit the id of the dropped template."""
        event.acceptProposedAction()
        self.dropped.emit(bytes(event.mimeData().data(self._kind).data()).decode())


def rail_button(look: Look, name: str, word: str, takes: str = "") -> RailButton:
    """A button of the rail. `takes`: the MIME type that may be dropped on it."""
    button = named(RailButton(takes), "rail")
    button.setProperty("page", name)
    button.setText(word)
    button.setAccessibleName(word)
    button.setCheckable(True)
    button.setFont(look.font("body"))

    def colour(checked: bool) -> None:
        button.setIcon(icon(look, name, 24, "on_dye" if checked else "ink"))

    button.toggled.connect(colour)
    colour(False)
    button.setIconSize(QSize(look.px(24), look.px(24)))
    button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextUnderIcon)
    button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)
    button.setMinimumHeight(look.px(46))  # on a low screen they move together
    button.setMaximumHeight(look.px(56))
    return button


def rail(look: Look, verbs: Sequence[RailButton]) -> QWidget:
    """The rail: the buttons in a column, each with the shortcut Ctrl and its number; the first, which comes and goes, T."""
    column = QVBoxLayout()
    column.setContentsMargins(0, look.px(8), 0, 0)
    column.setSpacing(0)
    for number, verb in enumerate(verbs):
        key = number or "T"
        verb.setShortcut(QKeySequence(f"Ctrl+{key}"))
        verb.setToolTip(plain(_("{page} (Ctrl+{key})", page=verb.text(), key=key)))
        column.addWidget(verb)
    column.addStretch(1)
    strip = surface("desk", column)
    strip.setFixedWidth(look.size("rail"))
    return strip
