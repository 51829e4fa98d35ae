"""The rack: bars and offcuts drawn to one scale, with their reservations."""

from collections.abc import Iterator, Sequence
from functools import partial
from itertools import islice

from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPainterPath, QPaintEvent, QPolygonF
from PySide6.QtWidgets import QSizePolicy

from workbook.app.canvas.readable import PRESS, PaintedPart, ReadableCanvas
from workbook.app.elements.painting import hatch, letter, text_width
from workbook.app.look import Look
from workbook.shop.job import Bar
from workbook.texts import _
from workbook.units import Unit, built, show

_MARGIN, _GAP, _WORDS = 14, 8, 18
_LEAST = 10  # px, the least height of a bar
_NO_BAR = 1000.0  # mm, the length assumed when there are no bars


class OnRack(Struct, frozen=True):
    """A kind of bar on the rack: its record's id, the bar, and its reservations in words."""

    id: str
    bar: Bar
    spoken: str


class RackView(ReadableCanvas):
    """All kinds of bars on the rack, one below another. A click chooses one."""

    chosen = Signal(str)

    def __init__(self, look: Look) -> None:
        super().__init__()
        self.setObjectName("rack")
        self.setAccessibleName(_("The rack, to scale"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        self._look, self._unit = look, "in"  # type: tuple[Look, Unit]
        self._bars: Sequence[OnRack] = ()
        self._longest = _NO_BAR  # mm, the longest bar
        self._chosen = ""

    def show_bars(self, bars: Sequence[OnRack], chosen: str, unit: Unit) -> None:
        """Show the bars, one of them chosen."""
        self._bars, self._chosen, self._unit = bars, chosen, unit
        self._longest = max((entry.bar.true_length + entry.bar.beyond[0] for entry in bars), default=_NO_BAR)
        self.setAccessibleDescription("; ".join(f"{entry.bar.have} {entry.bar.name}" for entry in bars[:20]))
        self.setMinimumHeight(self._height())
        self.tell_chosen()
        self.update()

    def sizeHint(self) -> QSize:
        """A size high enough for all bars."""
        return QSize(500, self._height())

    def resizeEvent(self, event: object) -> None:
        """Update the height, since a new width changes the scale."""
        self.setMinimumHeight(self._height())

    def scale(self) -> float:
        """Pixels per mm; the longest bar fills the width."""
        return max(self.width() - 2 * self._look.px(_MARGIN), 100) / self._longest

    def _row(self, bar: Bar) -> float:
        return max(bar.true_width * self.scale(), self._look.px(_LEAST)) + self._look.px(_WORDS + _GAP)

    def _height(self) -> int:
        return round(sum(self._row(entry.bar) for entry in self._bars)) + self._look.px(2 * _GAP)

    def _rows(self) -> Iterator[tuple[OnRack, float, float]]:
        """Each kind of bar with the top and height of its row, in pixels."""
        y = float(self._look.px(_GAP))
        for entry in self._bars:
            yield entry, y, self._row(entry.bar)
            y += self._row(entry.bar)

    def at(self, place: QPointF) -> str:
        """The id of the bar at a place; "" where there is none."""
        return next((entry.id for entry, y, tall in self._rows() if y <= place.y() < y + tall), "")

    def part_count(self) -> int:
        """The number of kinds of bars."""
        return len(self._bars)

    def painted_part(self, number: int) -> PaintedPart:
        """The kind of bar with this number, from the top."""
        entry, y, tall = next(islice(self._rows(), number, None))
        return PaintedPart(
            name=self._words(entry.bar),
            place=QRectF(0.0, y, self.width(), tall),
            actions={PRESS: partial(self.chosen.emit, entry.id)},
            words=", ".join(part for part in (entry.spoken, entry.bar.kept_at) if part),
            chosen=entry.id == self._chosen,
        )

    def part_at(self, place: QPointF) -> int:
        """The number of the kind of bar at a place; -1 if none."""
        return self._number(self.at(place))

    def chosen_part(self) -> int:
        """The number of the chosen kind of bar; -1 if none."""
        return self._number(self._chosen)

    def _number(self, key: str) -> int:
        return next((number for number, entry in enumerate(self._bars) if entry.id == key), -1)

    def _words(self, bar: Bar) -> str:
        sizes = " × ".join(built(show(v, self._unit)) for v in (bar.thickness, bar.true_width, bar.true_length + bar.beyond[0]))
        columns = [bar.steel, f"{sizes} {self._unit}"]
        columns += [_("offcut")] if bar.offcut else []
        columns += [f"× {bar.have}"] if bar.have > 1 else []
        return "  ".join(columns)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose the bar under the pointer."""
        key = self.at(event.position())
        if key and event.button() == Qt.MouseButton.LeftButton:
            self.chosen.emit(key)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the bars inside the exposed area."""
        painter, look = QPainter(self), self._look
        painter.fillRect(self.rect(), look.colour("board"))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for entry, y, tall in self._rows():
            if y + tall >= event.rect().top() and y <= event.rect().bottom():
                self._paint(painter, entry, y)
        if not self._bars:
            letter(painter, look, QPointF(look.px(_MARGIN), look.px(24)), _("No bar is on the rack yet."), 9.75, tone="soft")

    def _paint(self, painter: QPainter, entry: OnRack, y: float) -> None:
        look, k, bar = self._look, self.scale(), entry.bar
        left, top = look.px(_MARGIN), y + look.px(_WORDS)
        tall = max(bar.true_width * k, look.px(_LEAST))
        high = tall / bar.true_width
        shape = QPolygonF([QPointF(left + x * k, top + tall - y * high) for x, y in bar.outline])
        painter.setPen(
            look.pen("lit" if entry.id == self._chosen else "dimension", "blue" if entry.id == self._chosen else "rim")
        )
        painter.setBrush(look.colour("bar"))
        painter.drawPolygon(shape)
        if bar.offcut:
            painter.setPen(look.pen("extension", "rim"))
            painter.save()
            steel = QPainterPath()
            steel.addPolygon(shape)
            painter.setClipPath(steel)
            hatch(painter, QRectF(left, top, shape.boundingRect().width(), tall), 9)
            painter.restore()
        words, base = self._words(bar), y + look.px(14)
        letter(painter, look, QPointF(left, base), words, 9, bold=entry.id == self._chosen)
        x = left + text_width(look, words, 9, entry.id == self._chosen) + look.px(14)
        more = "   ".join(part for part in (entry.spoken, bar.kept_at) if part)
        letter(painter, look, QPointF(x, base), more, 9, tone="soft")
