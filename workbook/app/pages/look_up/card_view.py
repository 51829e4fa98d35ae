"""A card: its title and its sections, each with its facts and its source behind a small mark."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLayout, QVBoxLayout, QWidget

from workbook.app.canvas.heat_diagram import HeatDiagram
from workbook.app.canvas.temper_plot import TemperPlot
from workbook.app.elements.basics import label, named, row, scrolled, tool
from workbook.app.look import Look
from workbook.app.plain import plain
from workbook.handbook.card import Fact, FactCard, Section
from workbook.texts import _
from workbook.units import Unit

_WIDEST = 760  # px of a card: longer lines are hard to read


class CardView(QWidget):
    """Shows one card at a time."""

    def __init__(self, look: Look) -> None:
        super().__init__()
        self.setObjectName("card-view")
        self._look = look
        self.card: FactCard | None = None
        self._area = scrolled(named(QWidget(), "inner"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._area)

    def show_card(self, card: FactCard, unit: Unit) -> None:
        """Show a card from its top."""
        self.card = card
        look, inner = self._look, named(QWidget(), "inner")
        inner.setMaximumWidth(look.px(_WIDEST))
        column = QVBoxLayout(inner)
        column.setContentsMargins(look.px(20), look.px(14), look.px(20), look.px(20))
        column.setSpacing(look.px(4))
        column.addWidget(named(label(look, card.title, "title"), "card-title"))
        if card.also:
            column.addWidget(_line(look, card.also, soft=True))
        for section in card.sections:
            column.addWidget(CardSection(look, section, unit))
        column.addStretch(1)
        self._area.setWidget(inner)
        self._area.verticalScrollBar().setValue(0)


class CardSection(QWidget):
    """One section; its source shows when its mark is clicked."""

    def __init__(self, look: Look, section: Section, unit: Unit) -> None:
        super().__init__()
        self.setObjectName("card-section")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, look.px(12), 0, 0)
        column.setSpacing(look.px(6))
        words = "\n".join(evidence.words() for evidence in section.evidence)
        mark = tool(look, "source", _("Source"), switch=False)
        mark.setAccessibleName(_("Source of {head}", head=section.head))
        mark.setToolTip(plain(words))
        source = named(_line(look, words, soft=True), "source-words")
        source.setVisible(False)
        mark.toggled.connect(source.setVisible)
        mark.setVisible(bool(words))
        head = QWidget()
        head.setLayout(row(label(look, section.head, "strong"), mark, None, margins=(0, 0, 0, 0)))
        column.addWidget(head)
        column.addWidget(source)
        if section.entries:
            column.addLayout(_across(look, section.entries) if section.across else _entries(look, section.entries))
        if section.heat:
            column.addWidget(HeatDiagram(look, section.heat, unit))
        if section.temper:
            column.addWidget(TemperPlot(look, section.temper, unit))
        for text in section.words:
            column.addWidget(_line(look, text))
        if section.caution:
            column.addWidget(_line(look, section.caution, bold=True))


def _line(look: Look, text: str, *, soft: bool = False, bold: bool = False) -> QWidget:
    """A paragraph whose text can be selected."""
    line = label(look, text, bold=bold, soft=soft)
    line.setWordWrap(True)
    line.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return line


def _entries(look: Look, entries: Sequence[Fact]) -> QLayout:
    """A line for each entry: its name, its value, the same in the unit beside."""
    grid = _grid(look)
    for n, entry in enumerate(entries):
        for column, text in enumerate((entry.name, entry.value, entry.beside)):
            if text:
                cell = label(look, text, bold=column == 1, soft=column != 1)
                cell.setWordWrap(column > 0)
                cell.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
                grid.addWidget(cell, n, column, Qt.AlignmentFlag.AlignTop)
    grid.setColumnMinimumWidth(0, look.px(150))
    for column, stretch in enumerate((0, 3, 2)):
        grid.setColumnStretch(column, stretch)
    return grid


def _across(look: Look, entries: Sequence[Fact]) -> QLayout:
    """A column for each entry, as a table of composition has them."""
    grid = _grid(look)
    for n, entry in enumerate(entries):
        grid.addWidget(label(look, entry.name, soft=True), 0, n)
        value = label(look, entry.value, bold=True)
        value.setWordWrap(True)
        grid.addWidget(value, 1, n, Qt.AlignmentFlag.AlignTop)
    grid.setColumnStretch(len(entries), 1)
    return grid


def _grid(look: Look) -> QGridLayout:
    grid = QGridLayout()
    grid.setContentsMargins(0, 0, 0, 0)
    grid.setHorizontalSpacing(look.px(18))
    grid.setVerticalSpacing(look.px(5))
    return grid
