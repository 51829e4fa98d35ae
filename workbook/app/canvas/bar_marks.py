"""Marks on and under a bar: the length of its offcut, the ordinates of its blanks from end A; and those ordinates in words."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter

from workbook.app.elements.painting import hatch, letter, text_width
from workbook.app.look import Look
from workbook.geometry.lettering import spread
from workbook.nesting.offcuts import SideOffcut
from workbook.sheets.bar import BarPlan, Blank
from workbook.texts import _
from workbook.units import Unit, built, show


def paint_offcut(painter: QPainter, look: Look, plan: BarPlan, unit: Unit, room: QRectF) -> None:
    """Hatch the offcut in `room` (pixels) and label it with its length where the text fits."""
    if room.width() < 2:
        return
    painter.setPen(look.pen("extension", "rim"))
    hatch(painter, room, 9)
    length = f"{built(show(plan.offcut, unit))} {unit}"
    words = _("offcut {length}", length=length) if plan.keeps_offcut else _("{length} left, too short to keep", length=length)
    _label(painter, look, words, room)


def paint_beside(painter: QPainter, look: Look, offcut: SideOffcut, unit: Unit, room: QRectF) -> None:
    """Hatch an offcut beside blanks and label it with its size where the text fits."""
    painter.setPen(look.pen("extension", "rim"))
    hatch(painter, room, 9)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(room)
    length, width = (built(show(v, unit)) for v in (offcut.length, offcut.width))
    _label(painter, look, _("offcut {length} × {width} {unit}", length=length, width=width, unit=unit), room)


def _label(painter: QPainter, look: Look, words: str, room: QRectF) -> None:
    """Put words in the middle of a hatched room, where they fit."""
    wide = text_width(look, words, 9) + 10
    if wide < room.width() and look.px(20) <= room.height():
        ground = QRectF(room.center().x() - wide / 2, room.center().y() - look.px(10), wide, look.px(20))
        painter.fillRect(ground, look.colour("board"))
        letter(painter, look, QPointF(room.center().x(), room.center().y() + look.px(4)), words, 9, "middle", tone="soft")


def paint_ordinates(painter: QPainter, look: Look, plan: BarPlan, unit: Unit, k: float, corner: QPointF, room: float) -> None:
    """Paint the ordinates of both ends of every blank under a bar.

    `corner`: the bar's lower corner at end A; `k`: pixels per mm; `room`: the canvas's width in pixels. Labels are moved apart so
    that none overlap. Where one row is too short they take two; where two are too short they are left out.
    """
    places = sorted({round(x, 1) for blank in plan.blanks for x in blank.span})
    marks = [(corner.x() + x * k, built(show(x, unit))) for x in places]
    wide = [text_width(look, text, 9) + 6 for _, text in marks]
    if sum(wide) <= room:
        _row(painter, look, marks, corner.y(), 18, room)
    elif max(sum(wide[::2]), sum(wide[1::2])) <= room:
        _row(painter, look, marks[1::2], corner.y(), 34, room)
        _row(painter, look, marks[::2], corner.y(), 18, room)


def _row(painter: QPainter, look: Look, marks: Sequence[tuple[float, str]], bottom: float, down: int, room: float) -> None:
    """Paint a row of ordinates, `down` unscaled pixels below the bar."""
    widths = [text_width(look, text, 9) for _, text in marks]
    centres = spread([at for at, _ in marks], widths, 7, 2, room - 2)
    painter.setPen(look.pen("extension", "soft"))
    for (at, _text), centre in zip(marks, centres, strict=True):
        bend = bottom + look.px(down - 8)
        painter.drawLine(QPointF(at, bottom + 3), QPointF(at, bend))
        painter.drawLine(QPointF(at, bend), QPointF(centre, bottom + look.px(down)))
    for (_at, text), centre, width in zip(marks, centres, widths, strict=True):
        painter.fillRect(QRectF(centre - width / 2, bottom + look.px(down + 1), width, look.px(15)), look.colour("board"))
        letter(painter, look, QPointF(centre, bottom + look.px(down + 14)), text, 9, "middle")


def place_in_words(blank: Blank, unit: Unit, *, pinned: bool) -> str:
    """What a blank is and where it lies on its bar."""
    name, (start, end) = blank.shape.name, (built(show(x, unit)) for x in blank.span)
    if pinned:
        return _("{name}, {start} to {end} {unit} from end A, pinned", name=name, start=start, end=end, unit=unit)
    return _("{name}, {start} to {end} {unit} from end A", name=name, start=start, end=end, unit=unit)
