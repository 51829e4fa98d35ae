"""The lines of a plan, each with its time, its reasons, and a button that takes it on."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QToolButton, QVBoxLayout, QWidget

from workbook.app.elements.basics import label, named, row, tool
from workbook.app.look import Look
from workbook.document.document import Document
from workbook.model.tonight import PlanLine, line_words
from workbook.texts import _, labelled


class PlanLines(QWidget):
    """The lines, from the first to be done."""

    wanted = Signal(object)  # a line that is taken on

    def __init__(self, look: Look) -> None:
        super().__init__()
        self._look = look
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 4, 0, 8)
        self._column.setSpacing(0)
        self._column.addStretch(1)
        self.buttons: list[QToolButton] = []
        self.said: list[tuple[str, ...]] = []  # what stands in each line

    def show_lines(self, document: Document, lines: Sequence[PlanLine], clock: Callable[[float], str]) -> None:
        """Show other lines. `clock`: the time of day after some minutes."""
        said = [self._words(document, line, clock) for line in lines]
        while self._column.count() > 1:
            item = self._column.takeAt(0)
            widget = item.widget() if item is not None else None
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self.buttons, self.said = [], said
        for n, (line, words) in enumerate(zip(lines, said, strict=True)):
            self._column.insertWidget(n, self._row(line, words))

    def _words(self, document: Document, line: PlanLine, clock: Callable[[float], str]) -> tuple[str, ...]:
        when = f"{clock(line.start)}–{clock(line.end)}"
        return when, line_words(document, line), " ".join(line.whys)

    def _row(self, line: PlanLine, words: tuple[str, ...]) -> QWidget:
        look, (when, what, why) = self._look, words
        holder = named(QWidget(), "plan-line")
        time = label(look, when, bold=True)
        time.setFixedWidth(look.px(104))
        time.setAlignment(Qt.AlignmentFlag.AlignTop)
        head, reason = label(look, what, bold=True), label(look, why, "small", soft=True)
        for part in (head, reason):
            part.setWordWrap(True)
        texts = QVBoxLayout()
        texts.setContentsMargins(0, 0, 0, 0)
        texts.setSpacing(1)
        texts.addWidget(head)
        texts.addWidget(reason)
        take = tool(look, "take-line", _("Enter…") if line.upcoming.batch else _("Lay out"), "right")
        take.setAccessibleName(labelled(take.text(), what))
        take.clicked.connect(lambda: self.wanted.emit(line))
        self.buttons.append(take)
        layout: QHBoxLayout = row(time, margins=(14, 7, 10, 7))
        layout.addLayout(texts, 1)
        layout.addWidget(take, 0, Qt.AlignmentFlag.AlignTop)
        holder.setLayout(layout)
        return holder
