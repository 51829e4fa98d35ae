"""A heat treatment as temperature over time: each hold with its range, and what follows it."""

from collections.abc import Sequence
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from workbook.app.elements.painting import ground, letter
from workbook.app.look import Look
from workbook.handbook.card import HeatStep
from workbook.handbook.degrees import axis, of_axis, shown, sign
from workbook.texts import _
from workbook.units import Unit

_LEFT, _RIGHT, _TOP, _BOTTOM = 52, 12, 40, 26
_UP, _HOLD, _SLOW, _FAST, _REST = 0.8, 1.5, 0.7, 0.12, 0.5  # shares of the time axis, which has no scale
_ROOM = 20.0  # °C, of the shop
_STILL = 0.01  # share of the axis for which it stays cold


class _Hold(NamedTuple):
    step: HeatStep
    left: float  # where its hold begins and ends, shares of the axis
    right: float
    end: float  # where it is cold again


class HeatDiagram(QWidget):
    """Shows the steps of a heat treatment."""

    def __init__(self, look: Look, steps: Sequence[HeatStep], unit: Unit) -> None:
        super().__init__()
        self.setObjectName("heat-diagram")
        self._look, self._steps, self._unit = look, steps, unit
        self.setFixedHeight(look.px(230))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(_("Heat treatment, temperature over time"))
        self.setAccessibleDescription("; ".join(self._words(step) for step in steps))

    def _words(self, step: HeatStep) -> str:
        parts = (f"{step.name} {shown(step.low, step.high, self._unit)}", step.words, step.then)
        return ", ".join(part for part in parts if part)

    def _holds(self) -> list[_Hold]:
        """Each step along the time axis, 0 to 1."""
        at, holds = 0.0, list[_Hold]()
        for step in self._steps:
            left, right = at + _UP, at + _UP + _HOLD
            end = right + (_FAST if step.fast else _SLOW)
            holds.append(_Hold(step, left, right, end))
            at = end + _REST
        length = holds[-1].end + _REST / 2
        return [_Hold(hold.step, hold.left / length, hold.right / length, hold.end / length) for hold in holds]

    def _room(self) -> QRectF:
        px = self._look.px
        return QRectF(px(_LEFT), px(_TOP), self.width() - px(_LEFT + _RIGHT), self.height() - px(_TOP + _BOTTOM))

    def _y(self, degrees: float) -> float:
        room, most = self._room(), max(step.high for step in self._steps)
        return room.bottom() - room.height() * (degrees - _ROOM) / (most - _ROOM)

    def _x(self, share: float) -> float:
        return self._room().left() + self._room().width() * share

    def paintEvent(self, event: object) -> None:
        """Paint the axis, the ranges and the line through them."""
        painter, look = QPainter(self), self._look
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ground(painter, self.rect(), look.colour("board"))
        if not self._steps:
            return
        self._axis(painter)
        at, places = 0.0, [QPointF(self._x(0.0), self._y(_ROOM))]
        for hold in self._holds():
            step, middle = hold.step, (hold.step.low + hold.step.high) / 2
            left, right = self._x(hold.left), self._x(hold.right)
            band = QRectF(QPointF(left, self._y(step.high) - 1), QPointF(right, self._y(step.low) + 1))
            ground(painter, band, look.colour("blue_wash"))
            places += [
                QPointF(left, self._y(middle)),
                QPointF(right, self._y(middle)),
                QPointF(self._x(hold.end), self._y(_ROOM)),
            ]
            places.append(QPointF(self._x(hold.end + _STILL), self._y(_ROOM)))
            self._label(painter, hold, (left + right) / 2)
            at = hold.end
        places.append(QPointF(self._x(max(at, 1.0)), self._y(_ROOM)))
        painter.setPen(look.pen("outline", "blue"))
        painter.drawPolyline(QPolygonF(places))

    def _label(self, painter: QPainter, hold: _Hold, middle: float) -> None:
        """Name and range above the hold, its time under it, what it cools in beside its fall."""
        look, step = self._look, hold.step
        top = self._y(step.high)
        letter(painter, look, QPointF(middle, top - look.px(20)), step.name, 9, "middle", True)
        letter(painter, look, QPointF(middle, top - look.px(6)), shown(step.low, step.high, self._unit), 9, "middle")
        under = self._y(step.low) + look.px(15)
        if step.words:
            letter(painter, look, QPointF(middle, under), step.words, 8.5, "middle", tone="soft")
        if step.then:
            beside = QPointF(self._x(hold.right + (hold.end - hold.right) / 2) + look.px(8), under + look.px(16))
            letter(painter, look, beside, step.then, 8.5, tone="soft")

    def _axis(self, painter: QPainter) -> None:
        """Round temperatures at the left, and what the axes are."""
        look, room = self._look, self._room()
        step = 400 if sign(self._unit) == "°F" else 200
        most = axis(max(each.high for each in self._steps), self._unit)
        for tick in range(step, int(most) + 1, step):
            y = self._y(of_axis(tick, self._unit))
            painter.setPen(look.pen("extension", "hair"))
            painter.drawLine(QPointF(room.left(), y), QPointF(room.right(), y))
            letter(painter, look, QPointF(room.left() - look.px(6), y + look.px(4)), str(tick), 9, "end", tone="soft")
        painter.setPen(look.pen("extension", "soft"))
        painter.drawLine(room.bottomLeft(), room.bottomRight())
        below = room.bottom() + look.px(17)
        letter(painter, look, QPointF(room.left() - look.px(6), below), sign(self._unit), 9, "end", tone="soft")
        letter(painter, look, QPointF(room.right(), below), _("time, not to scale"), 9, "end", tone="soft")
