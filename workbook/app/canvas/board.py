"""The drawing board: pan, zoom, fit and true size, with a grid and a pocket rule; draws a scene's marks at the current zoom."""

from functools import partial
from math import hypot

from PySide6.QtCore import QLineF, QPoint, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPixmap,
    QResizeEvent,
    QWheelEvent,
)

from workbook.app.canvas.knife_view import knife_marks
from workbook.app.canvas.pegs import named_at, paint_pegs, pull_of
from workbook.app.canvas.readable import MENU, PRESS, PaintedPart, ReadableCanvas
from workbook.app.canvas.rule import paint_rule, rule_place
from workbook.app.canvas.scene import Scene, room_beside, section_room, whole_extent
from workbook.app.elements.painting import ground, paint, picture
from workbook.app.look import PX_PER_MM, Look
from workbook.geometry.drawing import Drawing
from workbook.template.pegs import Peg
from workbook.texts import _
from workbook.units import HABITS

_LEAST, _MOST = 0.1, 20.0
_STEP = 1.15
_STILL = 3  # px a press may move and still count as a click
_ARROWS = {Qt.Key.Key_Left: (-1, 0), Qt.Key.Key_Right: (1, 0), Qt.Key.Key_Up: (0, 1), Qt.Key.Key_Down: (0, -1)}


def _spine(scene: Scene) -> float:
    """The height of the spine above the axis at the handle front, mm; 0 for an outline from a file."""
    return scene.blank.template.handle.front / 2 if scene.blank.template is not None else 0.0


def _rooms(scene: Scene) -> tuple[float, ...]:
    """The extra room the view needs besides the knife, below it and beside it."""
    return (*section_room(scene), *room_beside(scene))


class Board(ReadableCanvas):
    """A view of one template. `zoom` 1 is true size on a screen with 96 pixels per inch."""

    zoomed = Signal(float)
    pointed = Signal(str)  # what is under the pointer, in words
    peg_chosen = Signal(str)  # "": none
    peg_taken = Signal(str)
    peg_moved = Signal(str, float, float, object)  # to a place of the knife, mm, with a Pull
    peg_released = Signal(str)
    peg_put_back = Signal(str)
    peg_nudged = Signal(str, int, int)  # increments along x and y
    peg_removed = Signal(str)
    asked = Signal(QPoint, str, float, float)  # for a menu: position on the screen, peg, place on the knife
    touched = Signal(float, float)  # a double click on the knife away from pegs, mm
    roughed_out = Signal()  # a rough scene is on the screen

    def __init__(self, look: Look) -> None:
        super().__init__()
        self.setObjectName("board")
        self.setAccessibleName(_("Drawing board"))
        self.setAccessibleDescription(_("Side view of the template. The table of holes and the panel show the same numbers."))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(320, 200)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)  # it paints its whole background, so Qt need not
        self._look, self.scene = look, None  # type: tuple[Look, Scene | None]
        self._marks: Drawing = ()
        self._stale = True
        self.zoom, self._centre = 1.0, QPointF(0, 0)  # centre: mm of the knife in the middle of the board
        self.fitted, self._grabbed = True, None  # type: tuple[bool, QPointF | None]
        self.rule_shown = True
        self._rule: tuple[object, QPixmap] | None = None  # cache key and picture
        self._seen_ground: object = None  # cache key of the last background painted
        self._ground: QPixmap | None = None  # its picture, once painted twice with the same key
        self._drag, self._off, self._under = "", QPointF(), ""  # dragged peg, pointer offset (mm), words under the pointer
        self._pressed: QPointF | None = None
        self._cancelled = False  # the last press put a peg back, so it opens no menu
        self.setMouseTracking(True)

    def show_scene(self, scene: Scene, look: Look) -> None:
        """Show a new or changed scene; the view stays where it is unless it was fitted."""
        previous = self.scene
        other_knife = previous is None or previous.blank.name != scene.blank.name
        other_knife = other_knife or (previous is not None and self.fitted and _rooms(previous) != _rooms(scene))
        if previous is not None and not other_knife:
            self._centre += QPointF(0.0, _spine(scene) - _spine(previous))  # keep the spine at the same place on the screen
        self.scene, self._look = scene, look
        if other_knife or self.fitted:
            self.fit()
        self._redraw()
        if scene.held and (previous is None or previous.held != scene.held):
            self.tell_chosen()

    def fit(self) -> None:
        """Fit the whole knife and its dimensions in the middle of the board."""
        if self.scene is None:
            return
        x0, y0, x1, y1 = whole_extent(self.scene.blank)
        k = PX_PER_MM * self._look.text
        bands, sections, gap, beside = _rooms(self.scene)
        wide, tall = max(self.width() / k - 42 - gap, 20), max(self.height() / k - 52 - bands, 12)  # room for the bands
        self.zoom = min(wide / (x1 - x0 + beside), tall / (y1 - y0 + sections), _MOST)
        self._centre = QPointF(
            (x0 + x1 + beside) / 2 + gap / 2 / self.zoom, (y0 - sections + y1) / 2 + (1.5 - bands / 2) / self.zoom
        )
        self.fitted = True
        self.zoomed.emit(self.zoom)
        self._redraw()

    def true_size(self) -> None:
        """Zoom to life size on a measured screen, else on one with 96 pixels per inch."""
        zoom = self._look.screen / (PX_PER_MM * self._look.text)
        self._set_zoom(zoom, QPointF(self.width() / 2, self.height() / 2))

    def _set_zoom(self, zoom: float, about: QPointF) -> None:
        zoom = min(max(zoom, _LEAST), _MOST)
        before = self._to_knife(about)
        self.zoom, self.fitted = zoom, False
        after = self._to_knife(about)
        self._centre += before - after
        self.zoomed.emit(zoom)
        self._redraw()

    def scale(self) -> float:
        """Pixels per mm of the knife."""
        return self.zoom * PX_PER_MM * self._look.text

    def _to_knife(self, at: QPointF) -> QPointF:
        k = self.scale()
        return QPointF(self._centre.x() + (at.x() - self.width() / 2) / k, self._centre.y() - (at.y() - self.height() / 2) / k)

    def origin(self) -> QPointF:
        """The position of the knife's origin, in pixels."""
        k = self.scale()
        return QPointF(self.width() / 2 - self._centre.x() * k, self.height() / 2 + self._centre.y() * k)

    def _redraw(self) -> None:
        self._stale = True  # marks are rebuilt when painted, once for any number of changes
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the grid, the knife, its pegs and the rule."""
        painter = QPainter(self)
        self._paint_ground(painter)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if self._stale and self.scene is not None:
            self._marks, self._stale = knife_marks(self.scene, self.zoom, self._look.measure), False
        paint(painter, self._marks, self._look, self.origin())
        if self.scene is not None:
            paint_pegs(painter, self._look, self.scene, self.origin(), self.scale())
            if self.rule_shown and self.scene.lit != "contour":
                self._paint_rule(painter)
            if self.scene.rough:
                self.roughed_out.emit()

    def _paint_rule(self, painter: QPainter) -> None:
        """Paint the rule from a cached picture, redrawn only when the zoom or the board changes."""
        room, scale = QRectF(self.rect()), self.scale()
        place = rule_place(self._look, room, scale)
        if place.isEmpty():
            return
        key = (self._look, room.size(), scale, self.devicePixelRatioF())
        if self._rule is None or self._rule[0] != key:
            ratio = self.devicePixelRatioF()
            size = (place.size() * ratio).toSize() + QSize(2, 2)
            self._rule = (key, picture(size, ratio, lambda p: paint_rule(p, self._look, room, scale)))
        painter.drawPixmap(place.topLeft(), self._rule[1])

    def _paint_ground(self, painter: QPainter) -> None:
        """Paint the background with its grid, from a cached picture once the view is painted twice unmoved, as in a drag."""
        step = self._grid_step()
        key = (self._look, self.size(), self.devicePixelRatioF(), step, self.origin().x() % step, self.origin().y() % step)
        if self._seen_ground != key:
            self._seen_ground, self._ground = key, None
            self._draw_ground(painter, step)
            return
        if self._ground is None:
            ratio, background = self.devicePixelRatioF(), self._look.colour("board")
            self._ground = picture(self.size() * ratio, ratio, partial(self._draw_ground, step=step), background)
        painter.drawPixmap(0, 0, self._ground)

    def _grid_step(self) -> float:
        """Pixels between grid lines: half an inch or a centimetre of the knife, doubled until at least 12."""
        step = HABITS[self.scene.unit if self.scene else "mm"].grid * self.scale()
        while step < 12:
            step *= 2
        return step

    def _draw_ground(self, painter: QPainter, step: float) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        ground(painter, self.rect(), self._look.colour("board"))
        origin = self.origin()
        painter.setPen(self._look.colour("grid"))
        lines, x, y = [], origin.x() % step, origin.y() % step
        while x < self.width():
            lines.append(QLineF(x, 0, x, self.height()))
            x += step
        while y < self.height():
            lines.append(QLineF(0, y, self.width(), y))
            y += step
        painter.drawLines(lines)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep a fitted view fitted."""
        if self.fitted:
            self.fit()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom about the pointer; two fingers on a trackpad pan, or zoom with Ctrl."""
        delta = event.pixelDelta()
        if not delta.isNull() and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._pan(delta.x(), delta.y())
            return
        turns = event.angleDelta().y() / 120
        self._set_zoom(self.zoom * _STEP**turns, event.position())

    def peg_at(self, place: QPointF) -> str:
        """The name of the peg nearest to a place of the widget and within reach; "" if there is none."""
        if self.scene is None:
            return ""
        reach, k, origin = self._look.size("reach") / 2, self.scale(), self.origin()
        holes = {hole.mark: hole.diameter / 2 * k for hole in self.scene.blank.holes}
        candidates = []
        for peg in self.scene.pegs:
            distance = hypot(origin.x() + peg.at[0] * k - place.x(), origin.y() - peg.at[1] * k - place.y())
            if distance <= max(reach, holes.get(peg.name, 0.0)):
                candidates.append((distance, peg.name))
        return min(candidates, default=(0.0, ""))[1]

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Start dragging a peg or panning; a second button during a drag puts the peg back."""
        self._cancelled = bool(self._drag)
        if self._drag:
            self._end_drag(put_back=True)
            return
        name = self.peg_at(event.position()) if event.button() != Qt.MouseButton.MiddleButton else ""
        if event.button() == Qt.MouseButton.RightButton:
            self.peg_chosen.emit(name)
            return
        self.peg_chosen.emit(name)
        if name:
            peg = next(peg for peg in self.scene.pegs if peg.name == name) if self.scene else None
            assert peg is not None
            self._drag = name
            self._off = QPointF(*peg.at) - self._to_knife(event.position())
            self._pressed = event.position()
            self.peg_taken.emit(name)
            return
        self._grabbed = event.position()
        self.setCursor(Qt.CursorShape.ClosedHandCursor)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Move the peg or pan the view; otherwise report what is under the pointer."""
        if self._drag:
            if self._pressed is not None and (event.position() - self._pressed).manhattanLength() < _STILL:
                return  # a click chooses a peg without moving it
            self._pressed, self.fitted = None, False  # the view stays under the pointer
            target = self._to_knife(event.position()) + self._off
            self.peg_moved.emit(self._drag, target.x(), target.y(), pull_of(event))
        elif self._grabbed is not None:
            shift = event.position() - self._grabbed
            self._pan(shift.x(), shift.y())
            self._grabbed = event.position()
        else:
            self._hover(event.position())

    def _hover(self, place: QPointF) -> None:
        peg = self.peg_at(place)
        at = self._to_knife(place)
        words = named_at(self.scene.blank, self.scene.pegs, peg, (at.x(), at.y())) if self.scene is not None else ""
        if words != self._under:
            self._under = words
            self.setCursor(Qt.CursorShape.SizeAllCursor) if peg else self.unsetCursor()
            self.pointed.emit(words)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """End the drag or the pan."""
        if self._drag:
            self._end_drag(put_back=False)
        self._grabbed = None
        self.unsetCursor()

    def _end_drag(self, *, put_back: bool) -> None:
        peg, self._drag = self._drag, ""
        (self.peg_put_back if put_back else self.peg_released).emit(peg)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Report the place; on a peg, treat it as another press, which may start a drag."""
        if self.peg_at(event.position()):
            self.mousePressEvent(event)
        elif event.button() == Qt.MouseButton.LeftButton:
            at = self._to_knife(event.position())
            self.touched.emit(at.x(), at.y())

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Request a menu for what is under the pointer, or from the keyboard for the chosen peg."""
        name, place, at = self.peg_at(QPointF(event.pos())), QPointF(event.pos()), event.globalPos()
        if event.reason() == QContextMenuEvent.Reason.Keyboard and self.scene is not None:
            name = self.scene.held
            peg = next((each for each in self.scene.pegs if each.name == name), None)
            if peg is not None:
                at = self.mapToGlobal(self._seen_at(peg).toPoint())
        if not self._drag and not self._cancelled:
            self._ask(at, name, place)
        self._cancelled = False

    def _ask(self, at: QPoint, peg: str, place: QPointF) -> None:
        point = self._to_knife(place)
        self.asked.emit(at, peg, point.x(), point.y())

    def _seen_at(self, peg: Peg) -> QPointF:
        """The position of a peg on the board, in pixels."""
        k, origin = self.scale(), self.origin()
        return QPointF(origin.x() + peg.at[0] * k, origin.y() - peg.at[1] * k)

    def part_count(self) -> int:
        """The number of pegs, holes included."""
        return len(self.scene.pegs) if self.scene is not None else 0

    def part_at(self, place: QPointF) -> int:
        """The number of the peg at a place of the board; -1 if none."""
        return self._number(self.peg_at(place))

    def chosen_part(self) -> int:
        """The number of the chosen peg; -1 if none."""
        return self._number(self.scene.held if self.scene is not None else "")

    def _number(self, name: str) -> int:
        pegs = self.scene.pegs if self.scene is not None else ()
        return next((number for number, peg in enumerate(pegs) if peg.name == name), -1)

    def painted_part(self, number: int) -> PaintedPart:
        """The peg with this number, counted from the point back."""
        scene = self.scene
        assert scene is not None
        peg = scene.pegs[number]
        at, half = self._seen_at(peg), self._look.size("reach") / 2
        ask = partial(self._ask, self.mapToGlobal(at.toPoint()), peg.name, at)
        return PaintedPart(
            name=peg.words,
            place=QRectF(at.x() - half, at.y() - half, 2 * half, 2 * half),
            actions={PRESS: partial(self.peg_chosen.emit, peg.name), MENU: ask},
            words=named_at(scene.blank, scene.pegs, peg.name, peg.at),
            chosen=peg.name == scene.held,
        )

    def reach(self) -> float:
        """The distance within which a touch counts as on a curve, mm of the knife."""
        return self._look.size("reach") / 2 / self.scale()

    def _pan(self, dx: float, dy: float) -> None:
        k = self.scale()
        self._centre += QPointF(-dx / k, dy / k)
        self.fitted = False
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Zoom with plus and minus, fit with 0, show true size with 1; step through the pegs with H.

        Arrows move the chosen peg, or pan when none is chosen; Delete removes it; Escape puts it back or clears the choice.
        """
        middle = QPointF(self.width() / 2, self.height() / 2)
        key, shift = Qt.Key(event.key()), bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        peg = self.scene.held if self.scene is not None else ""
        if key == Qt.Key.Key_Escape and (self._drag or peg):
            self._end_drag(put_back=True) if self._drag else self.peg_chosen.emit("")
        elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self._set_zoom(self.zoom * _STEP, middle)
        elif key == Qt.Key.Key_Minus:
            self._set_zoom(self.zoom / _STEP, middle)
        elif key == Qt.Key.Key_0:
            self.fit()
        elif key == Qt.Key.Key_1:
            self.true_size()
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and peg and not self._drag:
            self.peg_removed.emit(peg)
        elif key == Qt.Key.Key_H:
            self._next_peg(-1 if shift else 1)
        elif key in _ARROWS:
            dx, dy = _ARROWS[key]
            if peg:
                self.peg_nudged.emit(peg, dx * (8 if shift else 1), dy * (8 if shift else 1))
            else:
                self._pan(-40 * dx, 40 * dy)
        else:
            super().keyPressEvent(event)

    def _next_peg(self, step: int) -> None:
        if self.scene is None or not self.scene.pegs:
            return
        names = [peg.name for peg in self.scene.pegs]
        index = names.index(self.scene.held) + step if self.scene.held in names else 0
        self.peg_chosen.emit(names[index % len(names)])
