"""Pegs on the board: small squares to drag, a tag beside the chosen one, and the names of places on the knife."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QMouseEvent, QPainter

from workbook.app.canvas.scene import Scene
from workbook.app.elements.painting import ground, letter, text_width
from workbook.app.look import Look
from workbook.geometry.path import Point
from workbook.geometry.polygon import edge_distance
from workbook.template.blade import height_at
from workbook.template.holes import WORDS
from workbook.template.pegs import Peg, Pull, pulls_of
from workbook.template.shape import Shape
from workbook.texts import _

_NEAR = 1.5  # mm from a line within which the pointer is on it
_SIZE = 9.75  # points
DELETE_HINT = _("Delete removes it.")
PULL_HINTS = {
    (Pull.THICKEN, Pull.RAISE): _("The handle gets thicker. With Shift it is raised instead."),
    tuple(Pull): _("The handle gets thicker. With Shift it is raised, with Ctrl the point only moves along."),
}


def paint_pegs(painter: QPainter, look: Look, scene: Scene, origin: QPointF, k: float) -> None:
    """Paint the pegs at `k` pixels per mm; holes serve as their own pegs."""
    holes = {hole.mark for hole in scene.blank.holes}
    half = look.size("handle") / 2
    for peg in scene.pegs:
        at = QPointF(origin.x() + peg.at[0] * k, origin.y() - peg.at[1] * k)
        is_held = peg.name == scene.held
        if peg.name not in holes:
            painter.setPen(look.pen("outline", "blue" if is_held else "ink"))
            painter.setBrush(look.colour("blue" if is_held else "field"))
            painter.drawRect(QRectF(at.x() - half, at.y() - half, 2 * half, 2 * half))
            if not peg.sets and not is_held:  # a free point has a dark core
                ground(painter, QRectF(at.x() - half / 2, at.y() - half / 2, half, half), look.colour("ink"))
        if is_held:
            painter.setPen(look.pen("lit", "blue"))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(at.x() - half - 4, at.y() - half - 4, 2 * half + 8, 2 * half + 8))
            if scene.tag:
                _tag(painter, look, at, scene.tag, scene.stopped, under=peg.at[1] < 0)


def _tag(painter: QPainter, look: Look, at: QPointF, words: str, stopped: bool, *, under: bool) -> None:
    """Paint words beside a peg, on the side away from the knife and inside the board."""
    wide, tall = text_width(look, words, _SIZE, True) + look.px(16), look.px(26)
    room = painter.viewport()
    left = min(max(at.x() - wide / 2, 4.0), room.width() - wide - 4.0)
    above, below = at.y() - tall - look.px(22), at.y() + look.px(22)
    top = below if (under and below + tall < room.height() - 4) or above < 4 else above
    tone = "stop" if stopped else "blue"
    painter.setPen(look.pen("dimension", tone))
    painter.setBrush(look.colour("stop_wash" if stopped else "field"))
    painter.drawRoundedRect(QRectF(left, top, wide, tall), 4, 4)
    letter(painter, look, QPointF(left + look.px(8), top + look.px(18)), words, _SIZE, bold=True, tone=tone)


def pull_of(event: QMouseEvent) -> Pull:
    """What a drag does to the handle, by the keys held: Shift raises, Ctrl moves along, neither thickens."""
    if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
        return Pull.RAISE
    return Pull.MOVE if event.modifiers() & Qt.KeyboardModifier.ControlModifier else Pull.THICKEN


def named_at(blank: Shape, pegs: Sequence[Peg], peg: str, at: Point) -> str:
    """Describe a place of the knife: a hole, peg, line or part; "" outside the steel."""
    hole = next((h for h in blank.holes if h.mark == peg), None)
    if hole is not None:
        return _("{mark}: {words}. Drag it, or select it and press the arrow keys.", mark=hole.mark, words=WORDS[hole.purpose])
    target = next((p for p in pegs if p.name == peg), None)
    if target is not None:
        hint = PULL_HINTS.get(pulls_of(peg)) or ("" if target.sets else DELETE_HINT)
        words = _("Drag “{point}”, or select it and press the arrow keys.", point=target.words)
        return f"{words} {hint}".rstrip()
    if blank.template is None or blank.curves is None:
        return ""
    x, y = at
    if blank.curves.heel[0] < x < blank.curves.point[0]:
        edge, spine = height_at(blank.curves.edge, x), height_at(blank.curves.spine, x)
        if abs(y - edge) < _NEAR:
            return _("Cutting edge")
        if abs(y - spine) < _NEAR:
            return _("Spine")
        return _("Blade") if edge < y < spine else ""
    distance = edge_distance(blank.outline, at)
    if abs(distance) < _NEAR:
        return _("Handle") if x < 0 else _("Ricasso")
    return "" if distance < 0 else _("Tang, under the scales") if x < 0 else _("Ricasso")
