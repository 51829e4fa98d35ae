"""Minutes a knife of one stage, evening by evening: dots, the median with its spread, and what quotes count."""

from collections.abc import Sequence
from math import ceil, log10

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QMouseEvent, QPainter

from workbook.app.canvas.chosen_plot import ChosenPlot
from workbook.app.elements.basics import fitted
from workbook.app.elements.painting import ground, letter
from workbook.app.look import Look
from workbook.making.learned import Run
from workbook.model.own_numbers import StageOwn, run_words, unusual
from workbook.region import Region
from workbook.texts import _

_DOT, _RING, _LINES = 4, 7, 5  # pixels of a dot and the ring about an unusual one, and lines of the grid, at most


class RunPlot(ChosenPlot):
    """The plot. Arrows and the pointer choose an evening, which is told in words."""

    margins = (56, 120, 40, 34)

    def __init__(self, look: Look) -> None:
        super().__init__(look, "run-plot", _("Minutes a knife, by date"))
        self._own: StageOwn | None = None
        self._local: Region | None = None
        self._unusual: Sequence[bool] = ()
        self.setMinimumHeight(look.px(200))

    @property
    def _runs(self) -> Sequence[Run]:
        return self._own.runs if self._own is not None else ()

    def count(self) -> int:
        """How many evenings there are."""
        return len(self._runs)

    def words(self) -> str:
        """The chosen evening in words; "" where none is."""
        if self._local is None or not 0 <= self._at < self.count():
            return ""
        words = run_words(self._runs[self._at], self._local)
        return _("{words}, unusual", words=words) if self._unusual[self._at] else words

    def show_stage(self, own: StageOwn | None, local: Region) -> None:
        """Show another stage."""
        self._own, self._local, self._at = own, local, -1
        self._unusual = unusual(self._runs)
        self.setAccessibleDescription("; ".join(run_words(run, local) for run in self._runs))
        self.update()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Choose the evening nearest to the pointer."""
        if self._runs:
            at = event.position().x()
            self._choose(min(range(self.count()), key=lambda n: abs(self._x(n) - at)))

    def _x(self, n: int) -> float:
        room = self._room()
        return room.left() + (n + 0.5) * room.width() / max(self.count(), 1)

    def _high(self) -> float:
        own = self._own
        assert own is not None
        rate = own.stage.minutes
        tops = [rate * 1.2, rate * own.minutes.high, *(rate * run.minutes / run.planned for run in self._runs)]
        return max(*tops, 1.0) * 1.05

    def _y(self, minutes: float) -> float:
        room = self._room()
        return room.bottom() - room.height() * min(minutes / self._high(), 1.0)

    def paintEvent(self, event: object) -> None:
        """Paint the grid, the spread, what quotes count, and the evenings."""
        painter, look, own = QPainter(self), self._look, self._own
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ground(painter, self.rect(), look.colour("board"))
        if own is None or not own.runs:
            middle = QPointF(self.width() / 2, self.height() / 2)
            letter(painter, look, middle, _("No minutes of this stage yet."), 9.75, "middle", tone="soft")
            return
        self._grid(painter)
        self._levels(painter, own)
        for n, run in enumerate(own.runs):
            self._dot(painter, n, own.stage.minutes * run.minutes / run.planned)
        head = self.words() or _("{stage}: minutes a knife of usual size", stage=own.stage.name)
        words = fitted(look, head, 9.75, bool(self.words()), self.width() - look.px(24))
        letter(painter, look, QPointF(look.px(12), look.px(22)), words, 9.75, "start", bool(self.words()))

    def _grid(self, painter: QPainter) -> None:
        look, room, high = self._look, self._room(), self._high()
        step = _round_step(high / _LINES)
        for n in range(int(high / step) + 1):
            y = self._y(n * step)
            painter.setPen(look.pen("extension", "hair"))
            painter.drawLine(QPointF(room.left(), y), QPointF(room.right(), y))
            letter(painter, look, QPointF(room.left() - look.px(6), y + look.px(4)), f"{n * step:g}", 9, "end", tone="soft")
        foot, runs, local = room.bottom() + look.px(20), self._runs, self._local
        assert local is not None
        letter(painter, look, QPointF(room.left(), foot), local.short_day(runs[0].date), 9, "start", tone="soft")
        if len(runs) > 1:
            letter(painter, look, QPointF(room.right(), foot), local.short_day(runs[-1].date), 9, "end", tone="soft")

    def _levels(self, painter: QPainter, own: StageOwn) -> None:
        """The spread behind, the median, and what quotes count, each named at the right."""
        look, room, rate = self._look, self._room(), own.stage.minutes
        low, middle, high = (self._y(rate * each) for each in (own.minutes.low, own.minutes.ratio, own.minutes.high))
        painter.fillRect(QRectF(room.left(), high, room.width(), low - high), look.colour("blue_wash"))
        quoted, least = self._y(rate), look.px(15)
        apart = quoted - middle
        moved = (least - abs(apart)) / 2 if abs(apart) < least else 0.0  # so that the names do not cover each other
        sign = 1 if apart >= 0 else -1
        for y, tone, words, by in ((middle, "blue", _("yours"), -sign * moved), (quoted, "ink", _("in quotes"), sign * moved)):
            painter.setPen(look.pen("outline", tone))
            painter.drawLine(QPointF(room.left(), y), QPointF(room.right(), y))
            letter(painter, look, QPointF(room.right() + look.px(8), y + by + look.px(4)), words, 9, "start", tone=tone)

    def _dot(self, painter: QPainter, n: int, minutes: float) -> None:
        look, at = self._look, QPointF(self._x(n), self._y(minutes))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(look.colour("blue"))
        painter.drawEllipse(at, look.px(_DOT), look.px(_DOT))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if self._unusual[n] or n == self._at:
            painter.setPen(look.pen("outline", "stop" if self._unusual[n] else "blue"))
            painter.drawEllipse(at, look.px(_RING), look.px(_RING))


def _round_step(least: float) -> float:
    """The round step, 1, 2 or 5 of a power of ten, that is not less."""
    power = 10 ** ceil(log10(least) - 1e-9)
    return next(power * part for part in (0.1, 0.2, 0.5, 1.0) if power * part >= least * 0.999)
