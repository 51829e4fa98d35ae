"""Orders that are short of blades since some were lost, each with what can be done about it."""

from collections.abc import Sequence

from msgspec import Struct
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from workbook.app.elements.basics import label, named, row, tool
from workbook.app.look import Look
from workbook.document.document import Document
from workbook.document.making import blades_of, short_of, spares_for
from workbook.document.records import BarRecord, TemplateRecord
from workbook.document.shop_records import OrderLine, OrderRecord
from workbook.texts import _

_FEW = 2  # bars that are named


class ShortLine(Struct, frozen=True, kw_only=True):
    """A line of an order that lacks blades."""

    line: str  # its id
    words: str  # "Order 3 is 1 Petty short"
    count: int
    spare: str = ""  # the id of a blade of the shop's own that could take the place
    serial: str = ""
    bar: str = ""  # what is known of a bar for another blank


class Shorts(QWidget):
    """The lines, under the traveller; hidden while there are none."""

    give_wanted = Signal(str, str)  # a blade, a line
    more_wanted = Signal(str, int)  # a line, how many

    def __init__(self, look: Look) -> None:
        super().__init__()
        self._look = look
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(2, 6, 2, 6)
        self._column.setSpacing(2)
        self._shown: Sequence[ShortLine] = ()
        self.setVisible(False)

    def show_lines(self, lines: Sequence[ShortLine]) -> None:
        """Show other lines."""
        if tuple(lines) == tuple(self._shown):
            return
        self._shown = tuple(lines)
        while (item := self._column.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.deleteLater()
        for line in self._shown:
            self._column.addWidget(self._row(line))
        self.setVisible(bool(self._shown))

    def _row(self, line: ShortLine) -> QWidget:
        look = self._look
        holder = QWidget()
        words = named(label(look, f"{line.words} {line.bar}".strip(), bold=True), "stop")
        words.setWordWrap(True)
        give = tool(look, f"give-{line.line}", _("Give {serial}", serial=line.serial))
        give.setVisible(bool(line.spare))
        give.clicked.connect(lambda: self.give_wanted.emit(line.spare, line.line))
        more = tool(look, f"more-{line.line}", _("Start {count} more", count=line.count))
        more.clicked.connect(lambda: self.more_wanted.emit(line.line, line.count))
        layout = row(words, give, more)
        layout.setStretch(0, 1)
        holder.setLayout(layout)
        return holder


def short_lines(document: Document, batch: str) -> list[ShortLine]:
    """The lines of orders that blades of a batch are for, and that are short of some."""
    lines = dict.fromkeys(piece.line for piece in blades_of(document, batch) if piece.line)
    records = (document.records.get(line) for line in lines)
    return [
        _short(document, line, count) for line in records if isinstance(line, OrderLine) and (count := short_of(document, line))
    ]


def _short(document: Document, line: OrderLine, count: int) -> ShortLine:
    order = document.get(line.order, OrderRecord)
    template = document.records.get(line.of)
    name = template.template.name if isinstance(template, TemplateRecord) else ""
    spare = next(iter(spares_for(document, line)), None)
    return ShortLine(
        line=line.id,
        words=_("Order {number} is {count} {name} short.", number=order.number, count=count, name=name),
        count=count,
        spare=spare.id if spare else "",
        serial=spare.serial if spare else "",
        bar=_bar_for(document, line),
    )


def _bar_for(document: Document, line: OrderLine) -> str:
    """Whether a bar for another blank is there."""
    alike = (record.bar for record in document.all(BarRecord) if record.bar.steel.casefold() == line.steel.casefold())
    bars = [bar.name for bar in alike if bar.have > 0]
    if not bars:
        return _("No bar of {steel} is on the rack.", steel=line.steel)
    return _("On the rack: {bars}.", bars=", ".join(bars[:_FEW]))
