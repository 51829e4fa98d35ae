"""Buttons of the rail: icon over word, always both."""

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QKeySequence
from PySide6.QtWidgets import QSizePolicy, QToolButton, QVBoxLayout, QWidget

from workbook.app.elements.basics import named, surface
from workbook.app.icons import icon
from workbook.app.look import Look
from workbook.app.plain import plain


class RailButton(QToolButton):
    """A verb of the rail; a template may be dropped on one that takes it."""

    dropped = Signal(str)  # the template's id

    def __init__(self, kind: str) -> None:
        super().__init__()
        self._kind = kind
        self.setAcceptDrops(bool(kind))

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Only what it takes."""
        if event.mimeData().hasFormat(self._kind):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Tells which."""
        event.acceptProposedAction()
        self.dropped.emit(bytes(event.mimeData().data(self._kind).data()).decode())


def rail_button(look: Look, name: str, word: str, takes: str = "") -> RailButton:
    """One verb of the rail. `takes`: the kind of data that may be dropped on it."""
    made = named(RailButton(takes), "rail")
    made.setProperty("page", name)
    made.setText(word)
    made.setAccessibleName(word)
    made.setCheckable(True)
    made.setFont(look.font("body"))

    def colour(checked: bool) -> None:
        made.setIcon(icon(look, name, 24, "on_dye" if checked else "ink"))

    made.toggled.connect(colour)
    colour(False)
    made.setIconSize(QSize(look.px(24), look.px(24)))
    made.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextUnderIcon)
    made.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
    made.setFixedHeight(look.px(62))
    return made


def rail(look: Look, verbs: Sequence[RailButton]) -> QWidget:
    """All verbs, one under another, each with its key: Ctrl and its number."""
    column = QVBoxLayout()
    column.setContentsMargins(0, look.px(8), 0, 0)
    column.setSpacing(0)
    for number, verb in enumerate(verbs, 1):
        verb.setShortcut(QKeySequence(f"Ctrl+{number}"))
        verb.setToolTip(plain(f"{verb.text()} (Ctrl+{number})"))
        column.addWidget(verb)
    column.addStretch(1)
    made = surface("desk", column)
    made.setFixedWidth(look.size("rail"))
    return made
