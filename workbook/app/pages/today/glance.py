"""A few lines under a head: the nearest of many, with a button to all of them."""

from collections.abc import Sequence
from typing import NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from workbook.app.elements.basics import label, named, row, surface, tool
from workbook.app.look import Look

MOST = 3


class GlanceLine(NamedTuple):
    """One thing: what it is, its date or amount, a word more, and whether it is too late."""

    words: str
    right: str = ""
    more: str = ""
    late: bool = False


class Glance(QWidget):
    """The lines. `none` stands there when there are none."""

    def __init__(self, look: Look, name: str, head: str, all_words: str, none: str) -> None:
        super().__init__()
        named(self, name)
        self._look, self._none = look, none
        self.all_button = tool(look, f"all-{name}", all_words, "right")
        self._rows = QVBoxLayout()
        self._rows.setContentsMargins(0, 4, 0, 10)
        self._rows.setSpacing(5)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(surface("strip", row(label(look, head, "strong"), None, self.all_button), look.px(40)))
        column.addLayout(self._rows)
        self.shown: Sequence[GlanceLine] | None = None

    def show_lines(self, lines: Sequence[GlanceLine]) -> None:
        """Show the first few lines."""
        lines = list(lines[:MOST])
        if lines == self.shown:
            return
        self.shown = lines
        while (item := self._rows.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        for line in lines or [GlanceLine(self._none)]:
            self._rows.addWidget(self._row(line, soft=not lines))

    def _row(self, line: GlanceLine, *, soft: bool) -> QWidget:
        look, holder = self._look, QWidget()
        words = label(look, line.words, soft=soft)
        right: QLabel = label(look, line.right, bold=True)
        words.setWordWrap(True)
        right.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop)
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(1)
        first = row(words, right)
        first.setStretch(0, 1)
        column.addLayout(first)
        if line.more:
            more = label(look, line.more, "small", soft=not line.late)
            more.setWordWrap(True)
            if line.late:
                named(more, "stop")
            column.addLayout(row(more))
        return holder
