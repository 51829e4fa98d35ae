"""The rack: bars and offcuts drawn to one scale as they lie, with what is spoken for."""

from collections.abc import Iterator, Sequence
from functools import partial
from itertools import islice

from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QPolygonF
from PySide6.QtWidgets import QSizePolicy

from workbook.app.canvas.readable import PRESS, PaintedPart, ReadableCanvas
from workbook.app.elements.painting import hatch, letter, text_width
from workbook.app.look import Look
from workbook.shop.job import Bar
from workbook.texts import _
from workbook.units import Unit, built, show

_MARGIN, _GAP, _WORDS = 14, 8, 18
_LEAST = 10  # px a bar is high at least
_NO_BAR = 1000.0  # mm of a bar that is not there


class OnRack(Struct, frozen=True):
    """A kind of bar on the rack: its record's id, the bar, and for whom some are kept, in words."""

    id: str
    bar: Bar
    spoken: str


class RackView(ReadableCanvas):
    """All kinds of bars that lie there, under each other. A click chooses one."""

    chosen = Signal(str)

    def __init__(self, look: Look) -> None:
        super().__init__()
        self.setObjectName("rack")
        self.setAccessibleName(_("The rack, to scale"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        self._look, self._unit = look, "in"  # type: tuple[Look, Unit]
        self._bars: Sequence[OnRack] = ()
        self._longest = _NO_BAR  # mm, of all bars
        self._chosen = ""

    def show_bars(self, bars: Sequence[OnRack], chosen: str, unit: Unit) -> None:
        """Other bars, one of them chosen."""
        self._bars, self._chosen, self._unit = bars, chosen, unit
        self._longest = max((one.bar.true_length + one.bar.slant for one in bars), default=_NO_BAR)
        self.setAccessibleDescription("; ".join(f"{one.bar.have} {one.bar.name}" for one in bars[:20]))
        self.setMinimumHeight(self._height())
        self.tell_chosen()
        self.update()

    def sizeHint(self) -> QSize:
        """As high as all bars take."""
        return QSize(500, self._height())

    def resizeEvent(self, event: object) -> None:
        """Another width, another scale."""
        self.setMinimumHeight(self._height())

    def scale(self) -> float:
        """Pixels to the mm: the longest bar fills the width."""
        return max(self.width() - 2 * self._look.px(_MARGIN), 100) / self._longest

    def _row(self, bar: Bar) -> float:
        return max(bar.true_width * self.scale(), self._look.px(_LEAST)) + self._look.px(_WORDS + _GAP)

    def _height(self) -> int:
        return round(sum(self._row(one.bar) for one in self._bars)) + self._look.px(2 * _GAP)

    def _rows(self) -> Iterator[tuple[OnRack, float, float]]:
        """Each kind of bar, where its row begins and how high it is."""
        y = float(self._look.px(_GAP))
        for one in self._bars:
            yield one, y, self._row(one.bar)
            y += self._row(one.bar)

    def at(self, place: QPointF) -> str:
        """The id of the bar at a place; "" between bars."""
        return next((one.id for one, y, tall in self._rows() if y <= place.y() < y + tall), "")

    def part_count(self) -> int:
        """How many kinds of bars."""
        return len(self._bars)

    def painted_part(self, number: int) -> PaintedPart:
        """A kind of bar, from the top."""
        one, y, tall = next(islice(self._rows(), number, None))
        return PaintedPart(
            name=self._words(one.bar),
            place=QRectF(0.0, y, self.width(), tall),
            actions={PRESS: partial(self.chosen.emit, one.id)},
            words=", ".join(part for part in (one.spoken, one.bar.kept_at) if part),
            chosen=one.id == self._chosen,
        )

    def part_at(self, place: QPointF) -> int:
        """The kind of bar whose row it is."""
        return self._number(self.at(place))

    def chosen_part(self) -> int:
        """The kind of bar that is chosen."""
        return self._number(self._chosen)

    def _number(self, wanted: str) -> int:
        return next((number for number, one in enumerate(self._bars) if one.id == wanted), -1)

    def _words(self, bar: Bar) -> str:
        sizes = " × ".join(built(show(v, self._unit)) for v in (bar.thickness, bar.true_width, bar.true_length))
        more = ("  offcut" if bar.offcut else "") + (f"  × {bar.have}" if bar.have > 1 else "")
        return f"{bar.steel}  {sizes} {self._unit}{more}"

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Chooses the bar under the pointer."""
        found = self.at(event.position())
        if found and event.button() == Qt.MouseButton.LeftButton:
            self.chosen.emit(found)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Every bar that shows."""
        painter, look = QPainter(self), self._look
        painter.fillRect(self.rect(), look.colour("board"))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for one, y, tall in self._rows():
            if y + tall >= event.rect().top() and y <= event.rect().bottom():
                self._paint(painter, one, y)
        if not self._bars:
            letter(painter, look, QPointF(look.px(_MARGIN), look.px(24)), _("No bar lies on the rack yet."), 9.75, tone="soft")

    def _paint(self, painter: QPainter, one: OnRack, y: float) -> None:
        look, k, bar = self._look, self.scale(), one.bar
        left, top = look.px(_MARGIN), y + look.px(_WORDS)
        tall, long = max(bar.true_width * k, look.px(_LEAST)), bar.true_length * k
        slant = bar.slant * k
        corners = ((0, 0), (long, 0), (long + slant, tall), (0, tall))
        shape = QPolygonF([QPointF(left + x, top + v) for x, v in corners])
        painter.setPen(look.pen("lit" if one.id == self._chosen else "dimension", "blue" if one.id == self._chosen else "rim"))
        painter.setBrush(look.colour("bar"))
        painter.drawPolygon(shape)
        if bar.offcut:
            painter.setPen(look.pen("extension", "rim"))
            hatch(painter, QRectF(left, top, long, tall), 9)
        words, base = self._words(bar), y + look.px(14)
        letter(painter, look, QPointF(left, base), words, 9, bold=one.id == self._chosen)
        x = left + text_width(look, words, 9, one.id == self._chosen) + look.px(14)
        more = "   ".join(part for part in (one.spoken, bar.kept_at) if part)
        letter(painter, look, QPointF(x, base), more, 9, tone="soft")
