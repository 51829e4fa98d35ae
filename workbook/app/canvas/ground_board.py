"""The Grind page's board: the knife from the side, edge up, from above and shaded, with a section that slides along it."""

from collections.abc import Iterator
from math import atan2, degrees

import numpy as np
from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QImage, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from workbook.app.canvas.ground_layout import ViewPlaces, layout
from workbook.app.canvas.shading import Light, shaded
from workbook.app.elements.painting import letter, paint, placed_path, text_width
from workbook.app.look import PX_PER_MM, Look
from workbook.geometry.drawing import Clip, Drawing, Mark, Text, stroke
from workbook.geometry.lettering import width
from workbook.geometry.path import Points
from workbook.grind.bench import Bench
from workbook.grind.section import CrossSection, section
from workbook.grind.stations import State
from workbook.sheets.dimensions import along
from workbook.sheets.ground_views import (
    Words,
    edge_up_marks,
    from_above_marks,
    sections_beside,
    sections_over,
    side_marks,
)
from workbook.structs import replace
from workbook.template.shape import Shape, loops
from workbook.texts import _
from workbook.units import Unit

_SHADE_AFTER = 25  # ms; the picture follows in a later frame
_STEPS = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
_TURNS = {Qt.Key.Key_BracketLeft: 12.0, Qt.Key.Key_BracketRight: -12.0}  # degrees the lamp turns


class GroundScene(Struct, frozen=True):
    """A blank with its bench settings, the bar's thickness, and the position of the section along it (`at`, mm)."""

    blank: Shape
    bench: Bench
    bar: float
    clean_up: float
    unit: Unit
    at: float
    over: bool = False  # draw the states over each other
    step: float = 0.4  # of an arrow key press, mm


def _texts(marks: Drawing) -> Iterator[Text]:
    for mark in marks:
        if isinstance(mark, Clip):
            yield from _texts(mark.marks)
        elif isinstance(mark, Text):
            yield mark


class GroundBoard(QWidget):
    """The ground knife. The blue line or the arrow keys move the section; dragging on the shaded picture moves the lamp."""

    section_moved = Signal(float)

    def __init__(self, look: Look) -> None:
        super().__init__()
        self.setObjectName("ground-board")
        self.setAccessibleName(_("The ground knife"))
        self.setAccessibleDescription(_("The left and right arrow keys move the section. Square brackets turn the light."))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(320, 260)
        self.setMouseTracking(True)
        self._look, self.scene = look, None  # type: tuple[Look, GroundScene | None]
        self._layout: ViewPlaces | None = None
        self._marks: Drawing = ()
        self._sections: tuple[CrossSection, ...] = ()
        self._picture: QImage | None = None
        self.light = Light()
        self._dragging = ""  # "section" or "light"
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(_SHADE_AFTER)
        self._later.timeout.connect(self._shade)

    @property
    def sections(self) -> tuple[CrossSection, ...]:
        """The sections at the line: as cut, before hardening and finished."""
        return self._sections

    def show_scene(self, scene: GroundScene | None, look: Look) -> None:
        """Show a new or changed knife; None if it has no grind."""
        previous = self.scene
        self.scene, self._look = scene, look
        if scene is None:
            self._layout, self._picture = None, None
            self.update()
            return
        same = previous is not None and (previous.blank, previous.bar) == (scene.blank, scene.bar)
        self._sections = tuple(section(scene.blank, scene.bar, scene.at, state, scene.clean_up) for state in State)
        if not same or previous is None or previous.unit != scene.unit:
            self._place()
        self.update()

    def _k(self) -> float:
        return PX_PER_MM * self._look.text

    def _place(self) -> None:
        """Lay out the views, rebuild the marks that do not move with the section, and schedule the shading."""
        scene, k = self.scene, self._k()
        if scene is None:
            return
        self._layout = layout(scene.blank, self.width() / k, self.height() / k)
        self._marks = self._fixed_marks(scene, self._layout)
        self._later.start()

    def _fixed_marks(self, scene: GroundScene, lay: ViewPlaces) -> Drawing:
        words = Words(unit=scene.unit, measure=self._look.measure)
        left = lay.side.x + lay.x0 * lay.scale
        end = self.width() / self._k() - 2.0
        views: list[Mark] = list(side_marks(scene.blank, scene.bench, scene.bar, lay.side, words, (left, end)))
        labels: list[Mark] = []
        if lay.edge_up is not None and lay.above is not None:
            views += [*edge_up_marks(scene.blank, scene.bench, lay.edge_up), *from_above_marks(scene.blank, scene.bar, lay.above)]
            for place, text in ((lay.edge_up, _("edge up, dyed and scribed")), (lay.above, _("from above"))):
                labels.append(Text((left, place.y + scene.bar * lay.scale / 2 + 1.6), text, 8, tone="soft"))
        window = (left - 0.3, -self.height() / self._k(), end, 0.0)
        return (Clip(window, tuple(views)), *labels)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay out the views for the new size."""
        self._place()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the views, the shaded picture, then the marks that move with the section."""
        painter, look = QPainter(self), self._look
        painter.fillRect(self.rect(), look.colour("board"))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if self.scene is None or self._layout is None:
            return
        paint(painter, self._marks, look, QPointF(0, 0))
        self._paint_picture(painter, self._layout)
        paint(painter, self._moving_marks(self.scene, self._layout), look, QPointF(0, 0))
        self._paint_line(painter, self.scene, self._layout)

    def _paint_picture(self, painter: QPainter, lay: ViewPlaces) -> None:
        scene, k = self.scene, self._k()
        if lay.shaded is None or scene is None:
            return
        place = lay.shaded
        origin, scale = QPointF(place.x * k, -place.y * k), place.scale * k
        _, y0, _, y1 = scene.blank.extent()
        left = origin.x() + lay.x0 * scale
        painter.save()
        painter.setClipRect(QRectF(left, 0, (lay.x1 - lay.x0) * scale + 2, self.height()))
        shape = placed_path(scene.blank.outline, origin, scale)
        shape.setFillRule(Qt.FillRule.OddEvenFill)  # holes are not steel
        for hole in loops(scene.blank)[1:]:
            shape.addPath(placed_path(hole, origin, scale))
        painter.fillPath(shape.translated(self._look.px(2), self._look.px(2)), self._look.colour("shadow"))
        if self._picture is not None:
            painter.setClipPath(shape, Qt.ClipOperation.IntersectClip)
            painter.drawImage(QRectF(left, origin.y() - y1 * scale, (lay.x1 - lay.x0) * scale, (y1 - y0) * scale), self._picture)
            painter.restore()
            painter.save()
            painter.setClipRect(QRectF(left, 0, (lay.x1 - lay.x0) * scale + 2, self.height()))
        painter.setPen(self._look.pen("extension", "soft"))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(shape)
        painter.restore()
        self._paint_lamp(painter)

    def _lamp_place(self) -> QPointF | None:
        """The centre of the lamp's dial in pixels: beyond the point, as far as there is room; None without a picture."""
        lay, scene, k = self._layout, self.scene, self._k()
        if lay is None or lay.shaded is None or scene is None:
            return None
        y1 = scene.blank.extent()[3]
        right = (lay.shaded.x + lay.x1 * lay.scale) * k + self._look.px(24)
        top = -(lay.shaded.y + y1 * lay.scale) * k + self._look.px(8)
        return QPointF(min(right, self.width() - self._look.px(20)), top)

    def _paint_lamp(self, painter: QPainter) -> None:
        """Paint a dial with the lamp on it beside the shaded picture."""
        middle, look = self._lamp_place(), self._look
        if middle is None:
            return
        size = look.px(15)
        painter.setPen(look.pen("extension", "soft"))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawEllipse(middle, size, size)
        x, y, _ = self.light.towards
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(look.colour("blue"))
        painter.drawEllipse(QPointF(middle.x() + x * size, middle.y() - y * size), look.px(3.5), look.px(3.5))

    def _moving_marks(self, scene: GroundScene, lay: ViewPlaces) -> Drawing:
        """The marks of the distance to the point and of the sections."""
        words = Words(unit=scene.unit, measure=self._look.measure)
        marks: list[Mark] = []
        assert scene.blank.curves is not None
        x, end = lay.side.x + scene.at * lay.scale, lay.side.point(scene.blank.curves.point)
        low = lay.side.point((0.0, scene.blank.extent()[1]))[1]
        if end[0] - x > 14:
            text = words.length(scene.blank.curves.point[0] - scene.at)
            label = _("{length} to the tip", length=text)
            # the label may stand outside the dimension
            fits = self.width() / self._k() - end[0] > 8.0 + width(label, 9, True, self._look.measure)
            marks += along((x, low), (end[0], end[1]), low - 5.0, label if fits else text, self._look.measure, size=9)
        span = self.width() / self._k() - 12.0
        marks.append(stroke(((6.0, lay.sections), (6.0 + span, lay.sections)), "extension", "soft"))
        tall = self.height() / self._k() + lay.sections - 7.0
        draw = sections_over if scene.over else sections_beside
        drawing, wider = draw(self._sections, (8.0, lay.sections - 1.5), span - 4.0, tall, words)
        marks += drawing
        if wider > 1:
            note = _("sections at the blue line, thickness drawn × {wider:.0f}", wider=wider)
            marks.append(Text((6.0 + span, -self.height() / self._k() + 2.0), note, 8, "end", tone="soft"))
        return tuple(marks)

    def _paint_line(self, painter: QPainter, scene: GroundScene, lay: ViewPlaces) -> None:
        """Paint the blue line with its handle above and its label below."""
        look, k = self._look, self._k()
        x, top, bottom = (lay.side.x + scene.at * lay.scale) * k, -lay.line_top * k, -lay.line_bottom * k
        painter.setPen(look.pen("lit", "blue"))
        painter.drawLine(QPointF(x, top), QPointF(x, bottom))
        self._paint_crossed(painter, x)
        size = look.px(6)
        painter.setBrush(look.colour("blue_wash"))
        painter.drawRect(QRectF(x - size, top - size, 2 * size, 2 * size))
        if self.hasFocus():
            painter.setPen(look.pen("hidden", "blue"))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(x - size - 4, top - size - 4, 2 * size + 8, 2 * size + 8))
        words = Words(unit=scene.unit, measure=look.measure)
        at = words.length(abs(scene.at))
        text = _("Section {length} from front", length=at) if scene.at >= 0 else _("Section {length} behind front", length=at)
        wide = text_width(look, text, 9, True) + look.px(16)
        left = min(max(x - wide / 2, look.px(4)), self.width() - wide - look.px(4))
        painter.setPen(look.pen("dimension", "blue"))
        painter.setBrush(look.colour("blue_wash"))
        painter.drawRoundedRect(QRectF(left, bottom - look.px(2), wide, look.px(22)), 3, 3)
        letter(painter, look, QPointF(left + wide / 2, bottom + look.px(13)), text, 9, "middle", True, "blue")

    def _paint_crossed(self, painter: QPainter, x: float) -> None:
        """Paint a patch of background behind any text the line crosses."""
        look, k = self._look, self._k()
        for mark in _texts(self._marks):
            wide = text_width(look, mark.text, mark.size, mark.bold)
            left = mark.at[0] * k - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor]
            if left - 2 < x < left + wide + 2:
                tall, base = look.px(mark.size * 1.5), -mark.at[1] * k
                painter.fillRect(QRectF(left - 2, base - 0.8 * tall, wide + 4, tall), look.colour("board"))
                paint(painter, (mark,), look, QPointF(0, 0))

    def _shade(self) -> None:
        """Render the shaded picture again, a moment after the last change."""
        scene, lay = self.scene, self._layout
        if scene is None or lay is None or lay.shaded is None:
            return
        pixels = max(int((lay.x1 - lay.x0) * lay.scale * self._k() * self.devicePixelRatioF()), 8)
        step = (lay.x1 - lay.x0) / pixels
        _, y0, _, y1 = scene.blank.extent()
        x: Points = lay.x0 + np.arange(0.5, pixels, 1.0) * step
        y: Points = np.arange(y0 + step / 2, y1, step)
        self._picture = shaded(scene.blank, scene.bar, x, y, self.light, self._look)
        self.update()

    def _move_section(self, target: float) -> None:
        scene, lay = self.scene, self._layout
        if scene is None or lay is None or scene.blank.curves is None:
            return
        at = min(max(target, lay.x0 + 1.0), scene.blank.curves.point[0] - 0.5)
        if at != scene.at:
            self.scene = replace(scene, at=at)
            self._sections = tuple(section(scene.blank, scene.bar, at, state, scene.clean_up) for state in State)
            self.section_moved.emit(at)
            self.update()

    def _over_picture(self, at: QPointF) -> bool:
        lay, scene, k = self._layout, self.scene, self._k()
        if lay is None or lay.shaded is None or scene is None:
            return False
        _, y0, _, y1 = scene.blank.extent()
        top, bottom = (-(lay.shaded.y + y * lay.scale) * k for y in (y1, y0))
        beside = abs(at.x() - (lay.side.x + scene.at * lay.scale) * k) > self._look.size("reach") / 2
        return top <= at.y() <= bottom and beside

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Start moving the section or the lamp."""
        lay = self._layout
        if lay is None or event.button() != Qt.MouseButton.LeftButton or event.position().y() > -lay.sections * self._k():
            return
        self._dragging = "light" if self._over_picture(event.position()) else "section"
        self._drag(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Move the section or the lamp; otherwise set the cursor for what a drag would move."""
        if self._dragging:
            self._drag(event.position())
            return
        lay = self._layout
        over_views = lay is not None and event.position().y() < -lay.sections * self._k()
        cursor = Qt.CursorShape.CrossCursor if self._over_picture(event.position()) else Qt.CursorShape.SizeHorCursor
        self.setCursor(cursor) if over_views else self.unsetCursor()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """End the drag."""
        self._dragging = ""

    def _drag(self, at: QPointF) -> None:
        lay, scene, k = self._layout, self.scene, self._k()
        if lay is None or scene is None:
            return
        if self._dragging == "section":
            self._move_section(lay.knife_x(at.x() / k))
        elif lay.shaded is not None:
            _, y0, _, y1 = scene.blank.extent()
            middle = ((lay.x0 + lay.x1) / 2, (y0 + y1) / 2)
            x = at.x() / k - (lay.shaded.x + middle[0] * lay.scale)
            y = -at.y() / k - (lay.shaded.y + middle[1] * lay.scale)
            distance = min(np.hypot(x / (lay.x1 - lay.x0), y / (y1 - y0)) * 2 / lay.scale, 1.0)
            self.set_light(Light(round=degrees(atan2(y, x)) % 360, above=80 - 60 * float(distance)))

    def set_light(self, light: Light) -> None:
        """Move the lamp and shade the picture again."""
        self.light = light
        self._shade()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the section with the arrows (Shift: eight steps), Home (heel) and End (point); turn the lamp with brackets."""
        key, scene = Qt.Key(event.key()), self.scene
        if scene is None or scene.blank.template is None:
            super().keyPressEvent(event)
            return
        template = scene.blank.template
        if key in _STEPS:
            factor = 8 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1
            self._move_section(scene.at + _STEPS[key] * factor * scene.step)
        elif key == Qt.Key.Key_Home:
            self._move_section(template.heel.ahead)
        elif key == Qt.Key.Key_End:
            self._move_section(template.blade.length)
        elif key in _TURNS:
            self.set_light(replace(self.light, round=(self.light.round + _TURNS[key]) % 360))
        else:
            super().keyPressEvent(event)
