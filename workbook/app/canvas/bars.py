"""Bars with their blanks, drawn to one scale in position, with ordinates under each."""

from collections.abc import Callable, Sequence
from functools import partial

from msgspec import Struct
from PySide6.QtCore import QPoint, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QBrush, QColor, QContextMenuEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy

from workbook.app.canvas.bar_marks import paint_offcut, paint_ordinates, place_in_words
from workbook.app.canvas.readable import MENU, PRESS, TOGGLE, PaintedPart, ReadableCanvas
from workbook.app.elements.basics import fitted
from workbook.app.elements.painting import letter, text_width
from workbook.app.icons import picture
from workbook.app.look import Look
from workbook.geometry.path import Placement
from workbook.sheets.bar import BarPlan, Blank
from workbook.tasks.keeping import Spots
from workbook.texts import _, ngettext
from workbook.units import Unit, built, reading, show

_MARGIN = 26
_NO_BAR = 1000.0  # mm, the length assumed when there are no bars
_FAR = 4  # px a blank is dragged before it moves
_ARROWS = {Qt.Key.Key_Left: (-1, 0), Qt.Key.Key_Right: (1, 0), Qt.Key.Key_Up: (0, 1), Qt.Key.Key_Down: (0, -1)}
_LETTERS = {Qt.Key.Key_R: "turn", Qt.Key.Key_F: "flip", Qt.Key.Key_C: "clear"}


class Ghost(Struct, frozen=True):
    """A blank being dragged: the bar it is over, its outline there (mm), whether its position is allowed, and its label."""

    bar: int
    shape: QPolygonF
    clear: bool
    words: str


class BarsView(ReadableCanvas):
    """All bars of a layout, one below another.

    A click or the arrow keys choose a blank; the space bar or a second click pins or unpins it. Drag it with the mouse, or
    move it with Shift and the arrow keys; R turns it, F flips it, C moves it clear.
    """

    chosen_changed = Signal()
    taken = Signal(int, int)  # bar and blank: a drag begins
    dragged = Signal(int, float, float)  # target bar, and the offset along and across it in mm
    dropped = Signal()
    put_back = Signal()
    asked = Signal(str)  # "turn", "flip", "clear", "up" or "down" to another bar
    nudged = Signal(int, int)  # steps along and across the bar
    pin_wanted = Signal(int, int)  # bar and blank, from 0
    menu_wanted = Signal(int, int, QPoint)  # bar, blank (-1: none) and position on the screen

    def __init__(self, look: Look) -> None:
        super().__init__()
        self.setObjectName("bars")
        self.setAccessibleName(_("Bars with blanks"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        self._look, self.plans, self._unit = look, (), "in"  # type: tuple[Look, Sequence[BarPlan], Unit]
        self._prices: Sequence[str] = ()
        self._longest = _NO_BAR  # mm, the longest bar
        self._shapes: list[list[QPolygonF]] = []
        self._spots: list[tuple[int, int]] = []  # (bar, blank) in reading order; blank -1 is the bar itself
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.chosen: tuple[int, int] | None = None
        self._pinned: Spots = frozenset()
        self._clashing: Spots = frozenset()
        self._press: tuple[QPointF, tuple[int, int], bool] | None = None  # position, bar and blank, whether it was already chosen
        self._dragging = False
        self.ghost: Ghost | None = None

    def show_plans(
        self,
        plans: Sequence[BarPlan],
        prices: Sequence[str],
        unit: Unit,
        pinned: Spots = frozenset(),
        clashing: Spots = frozenset(),
    ) -> None:
        """Show a layout's bars and mark the blanks that are pinned or lie too close to something."""
        self._clashing, self.ghost = clashing, None
        if plans != self.plans:
            self.chosen = None
        by_plan = {id(plan): shapes for plan, shapes in zip(self.plans, self._shapes, strict=True)}
        by_blank = {_at(blank): part for plan in self.plans for blank, part in zip(plan.blanks, by_plan[id(plan)], strict=True)}
        self._shapes = [
            by_plan.get(id(plan)) or [by_blank.get(_at(blank)) or _polygon(blank) for blank in plan.blanks] for plan in plans
        ]
        self.plans, self._prices, self._unit, self._pinned = plans, prices, unit, pinned
        self._longest = max((plan.size[2] for plan in plans), default=_NO_BAR)
        self._spots = [(b, i) for b, plan in enumerate(plans) for i in range(-1, len(plan.blanks))]
        self.setAccessibleDescription("; ".join(self._bar_in_words(bar) for bar in range(len(plans))))
        self.setMinimumHeight(self._height())
        self.update()

    def sizeHint(self) -> QSize:
        """A size high enough for all bars."""
        return QSize(600, self._height())

    def resizeEvent(self, event: object) -> None:
        """Update the height, since a new width changes the scale."""
        self.setMinimumHeight(self._height())

    def _in_words(self, bar: int, blank: int) -> str:
        serial = self.plans[bar].blanks[blank].serial
        return _("{serial} pinned", serial=serial) if (bar, blank) in self._pinned else serial

    def _bar_in_words(self, bar: int) -> str:
        blanks = " ".join(self._in_words(bar, blank) for blank in range(len(self.plans[bar].blanks)))
        return _("bar {number}: {blanks}", number=self.plans[bar].number, blanks=blanks)

    def choose(self, bar: int, blank: int) -> None:
        """Choose a blank and emit `chosen_changed`."""
        self.chosen = (bar, blank)
        self.update()
        self.tell_chosen()
        self.chosen_changed.emit()

    def part_count(self) -> int:
        """The number of bars and blanks."""
        return len(self._spots)

    def painted_part(self, number: int) -> PaintedPart:
        """The part with this number: a bar, followed by each of its blanks."""
        bar, i = self._spots[number]
        plan = self.plans[bar]
        if i < 0:
            place = QRectF(0.0, self._top(bar), self.width(), self._row(plan))
            return PaintedPart(
                _("Bar {number}: {name}", number=plan.number, name=plan.name),
                place,
                {MENU: self._menu_at(bar, i, place)},
                ngettext("{count} blank", "{count} blanks", len(plan.blanks)),
            )
        blank, place = plan.blanks[i], self._seen(bar, self._shapes[bar][i].boundingRect())
        pinned = (bar, i) in self._pinned
        return PaintedPart(
            name=_("{serial} on bar {number}", serial=blank.serial, number=plan.number),
            place=place,
            actions={
                PRESS: partial(self.choose, bar, i),
                TOGGLE: partial(self.pin_wanted.emit, bar, i),
                MENU: self._menu_at(bar, i, place),
            },
            words=place_in_words(blank, self._unit, pinned=pinned),
            chosen=(bar, i) == self.chosen,
            checked=pinned,
        )

    def part_at(self, place: QPointF) -> int:
        """The number of the blank at a place, or of the bar where there is no blank."""
        return self._number(self.at(place))

    def chosen_part(self) -> int:
        """The number of the chosen blank; -1 if none."""
        return self._number(self.chosen)

    def _number(self, spot: tuple[int, int] | None) -> int:
        return self._spots.index(spot) if spot in self._spots else -1

    def _seen(self, bar: int, box: QRectF) -> QRectF:
        """Convert a box on a bar, in mm from its lower corner at end A, to pixels of the canvas."""
        k, base = self.scale(), self._base(bar) + self._look.px(26)
        return QRectF(self._look.px(_MARGIN) + box.left() * k, base - box.bottom() * k, box.width() * k, box.height() * k)

    def _menu_at(self, bar: int, blank: int, place: QRectF) -> Callable[[], None]:
        return lambda: self.menu_wanted.emit(bar, blank, self.mapToGlobal(place.center().toPoint()))

    def at(self, place: QPointF) -> tuple[int, int] | None:
        """The bar and the blank at a place of the widget; -1 for no blank, None between bars."""
        y, k = float(self._look.px(10)), self.scale()
        for b, plan in enumerate(self.plans):
            if y <= place.y() < y + self._row(plan):
                base = y + self._look.px(26) + plan.size[1] * k
                on_bar = QPointF((place.x() - self._look.px(_MARGIN)) / k, (base - place.y()) / k)
                hit = (i for i, shape in enumerate(self._shapes[b]) if shape.containsPoint(on_bar, Qt.FillRule.OddEvenFill))
                return b, next(hit, -1)
            y += self._row(plan)
        return None

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose the blank under the pointer and prepare to drag it."""
        hit = self.at(event.position())
        if event.button() == Qt.MouseButton.LeftButton and hit is not None and hit[1] >= 0:
            self._press = (event.position(), hit, hit == self.chosen)
            if hit != self.chosen:
                self.choose(*hit)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag the blank along its bar or to another one."""
        if self._press is None:
            return
        start, (bar, blank), _ = self._press
        offset = event.position() - start
        if not self._dragging and offset.manhattanLength() >= _FAR:
            self._dragging = True
            self.taken.emit(bar, blank)
        if self._dragging:
            hit = self.at(event.position())
            target = hit[0] if hit is not None else bar
            down = self._base(target) - self._base(bar)
            self.dragged.emit(target, offset.x() / self.scale(), (down - offset.y()) / self.scale())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """End a drag; a click on a blank already chosen pins or unpins it."""
        press, dragging = self._press, self._dragging
        self._press, self._dragging = None, False
        if dragging:
            self.dropped.emit()
        elif press is not None and press[2] and event.button() == Qt.MouseButton.LeftButton:
            self.pin_wanted.emit(*press[1])

    def _by_hand(self, event: QKeyEvent) -> bool:
        """Handle a key that moves the chosen blank; return whether it was one."""
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        control = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        step = _ARROWS.get(Qt.Key(event.key()))
        if event.key() == Qt.Key.Key_Escape and self._dragging:
            self._press, self._dragging = None, False
            self.put_back.emit()
        elif shift and step is not None:
            self.nudged.emit(*step)
        elif control and step is not None and step[1]:
            self.asked.emit("up" if step[1] > 0 else "down")
        elif not control and Qt.Key(event.key()) in _LETTERS:
            self.asked.emit(_LETTERS[Qt.Key(event.key())])
        else:
            return False
        return True

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Choose a blank along the bar or on the next with the arrow keys; pin or unpin it with the space bar."""
        order = [(b, i) for b, plan in enumerate(self.plans) for i in range(len(plan.blanks))]
        if not order:
            super().keyPressEvent(event)
        elif self.chosen in order and self._by_hand(event):
            return
        elif event.key() == Qt.Key.Key_Space and self.chosen in order:
            assert self.chosen is not None
            self.pin_wanted.emit(*self.chosen)
        elif event.key() in (Qt.Key.Key_Right, Qt.Key.Key_Left):
            step = 1 if event.key() == Qt.Key.Key_Right else -1
            index = order.index(self.chosen) + step if self.chosen in order else 0
            self.choose(*order[index % len(order)])
        elif event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Up):
            step = 1 if event.key() == Qt.Key.Key_Down else -1
            bar = (self.chosen[0] + step) % len(self.plans) if self.chosen in order else 0
            self.choose(bar, 0)
        else:
            super().keyPressEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Request the menu of the blank or bar under the pointer, or of the chosen blank."""
        by_key = event.reason() == QContextMenuEvent.Reason.Keyboard
        hit = self.chosen if by_key else self.at(QPointF(event.pos()))
        if hit is not None:
            self.menu_wanted.emit(*hit, event.globalPos())

    def scale(self) -> float:
        """Pixels per mm; the longest bar fills the width."""
        return max(self.width() - 2 * self._look.px(_MARGIN), 100) / self._longest

    def show_ghost(self, ghost: Ghost | None) -> None:
        """Show where a dragged blank would lie; repaint only the rows affected."""
        for each in (self.ghost, ghost):
            if each is not None:
                self.update(0, round(self._top(each.bar)) - 2, self.width(), round(self._row(self.plans[each.bar])) + 4)
        self.ghost = ghost

    def _top(self, bar: int) -> float:
        """The top of a bar's row, in pixels."""
        return self._look.px(10) + sum(self._row(plan) for plan in self.plans[:bar])

    def _base(self, bar: int) -> float:
        """The y of a bar's lower edge in pixels, less the offset common to all rows."""
        return self._top(bar) + self.plans[bar].size[1] * self.scale()

    def _row(self, plan: BarPlan) -> float:
        return plan.size[1] * self.scale() + self._look.px(86)

    def _height(self) -> int:
        return round(sum(self._row(plan) for plan in self.plans)) + self._look.px(16)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the bars inside the exposed area."""
        painter, look = QPainter(self), self._look
        painter.fillRect(self.rect(), look.colour("board"))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, not self._dragging)  # a drag's frames are short-lived
        y, top, bottom = float(look.px(10)), event.rect().top(), event.rect().bottom()
        for b, (plan, shapes, price) in enumerate(zip(self.plans, self._shapes, self._prices, strict=True)):
            row = self._row(plan)
            if y + row >= top and y <= bottom:
                self._bar(painter, plan, shapes, price, y)
                self._marks(painter, b, y)
            y += row

    def _bar(self, painter: QPainter, plan: BarPlan, shapes: list[QPolygonF], price: str, y: float) -> None:
        look, k = self._look, self.scale()
        left, wide, tall = look.px(_MARGIN), plan.size[2] * k, plan.size[1] * k
        self._head(painter, plan, price, left, wide, y + look.px(16))
        top = y + look.px(26)
        painter.setPen(look.pen("dimension", "rim"))
        painter.setBrush(look.colour("bar"))
        painter.drawRect(QRectF(left, top, wide, tall))
        paint_offcut(painter, look, plan, self._unit, QRectF(left + plan.used * k, top, wide - plan.used * k, tall))
        painter.save()
        painter.translate(left, top + tall)
        painter.scale(k, -k)
        painter.setPen(look.pen("hole", "steel_ink"))
        painter.setBrush(look.colour("blank"))
        for shape in shapes:
            painter.drawPolygon(shape)
        painter.restore()
        for blank in plan.blanks:
            x, height = blank.middle
            at = QPointF(left + x * k, top + tall - height * k + look.px(5))
            letter(painter, look, at, blank.serial, 9.75, "middle", True, "steel_ink")
        paint_ordinates(painter, look, plan, self._unit, k, QPointF(left, top + tall))

    def _marks(self, painter: QPainter, bar: int, y: float) -> None:
        """Paint the chosen blank with a wider line, clashing blanks hatched, and a pin on pinned ones."""
        look, k, plan = self._look, self.scale(), self.plans[bar]
        left, base = look.px(_MARGIN), y + look.px(26) + plan.size[1] * k
        if self.chosen is not None and self.chosen[0] == bar:
            painter.save()
            painter.translate(left, base)
            painter.scale(k, -k)
            pen = QPen(look.pen("lit", "blue"))
            pen.setWidthF(3.0)
            painter.setPen(pen)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawPolygon(self._shapes[bar][self.chosen[1]])
            painter.restore()
        for i in (i for b, i in self._clashing if b == bar):
            painter.save()
            painter.translate(left, base)
            painter.scale(k, -k)
            painter.setPen(look.pen("lit", "stop"))
            painter.setBrush(QBrush(look.colour("stop"), Qt.BrushStyle.BDiagPattern))
            painter.drawPolygon(self._shapes[bar][i])
            painter.restore()
        if self.ghost is not None and self.ghost.bar == bar:
            self._paint_ghost(painter, self.ghost, left, base)
        size = look.px(18)
        for i, blank in enumerate(plan.blanks):
            if (bar, i) in self._pinned:
                x, height = blank.middle
                across = text_width(look, blank.serial, 9.75, True) / 2 + 3
                at = QPointF(left + x * k + across, base - height * k - size / 2)
                painter.drawPixmap(at, picture("pin", size, look.colour("steel_ink")))

    def _paint_ghost(self, painter: QPainter, ghost: Ghost, left: float, base: float) -> None:
        """Paint the dragged blank, red where its position is not allowed, with its gap as text."""
        look, k = self._look, self.scale()
        tone = "blue" if ghost.clear else "stop"
        painter.save()
        painter.translate(left, base)
        painter.scale(k, -k)
        painter.setPen(look.pen("lit", tone))
        colour = QColor(look.colour(tone))
        colour.setAlpha(110)
        painter.setBrush(colour)
        painter.drawPolygon(ghost.shape)
        painter.restore()
        box = ghost.shape.boundingRect()
        wide = text_width(look, ghost.words, 9.75, True) + look.px(12)
        x = min(max(left + box.center().x() * k - wide / 2, 2.0), self.width() - wide - 2)
        y = base - box.bottom() * k - look.px(24)
        painter.fillRect(QRectF(x, y, wide, look.px(20)), look.colour("panel"))
        letter(painter, look, QPointF(x + look.px(6), y + look.px(15)), ghost.words, 9.75, bold=True, tone=tone)

    def _head(self, painter: QPainter, plan: BarPlan, price: str, left: float, wide: float, base: float) -> None:
        look, unit = self._look, self._unit
        thick, width, length = (built(show(v, unit)) for v in plan.nominal)
        name = _("Bar {number}", number=plan.number)
        letter(painter, look, QPointF(left, base), name, 9.75, bold=True)
        x = left + text_width(look, name + "  ", 9.75, True)
        words = f"{plan.steel}  {thick} × {width} × {length} {unit}"
        letter(painter, look, QPointF(x, base), words, 9.75)
        x += text_width(look, words + "   ", 9.75)
        source = {"rack": _("from the rack"), "offcut": _("an offcut"), "buy": _("to buy")}[plan.source]
        measurements = [f"{reading(v, unit)} {side}" for v, read, side in plan.sides if read]
        if measurements:
            source = _("{source}, measured {readings}", source=source, readings=", ".join(measurements))
        count = ngettext("{count} blank   {price}", "{count} blanks   {price}", len(plan.blanks), price=price)
        right = min(max(left + wide, x + text_width(look, source + "    " + count, 9)), self.width() - look.px(8))
        room = right - x - text_width(look, count + "    ", 9)
        letter(painter, look, QPointF(x, base), fitted(look, source, 9, False, room), 9, tone="soft")
        letter(painter, look, QPointF(right, base), count, 9, "end", tone="soft")


def _at(blank: Blank) -> tuple[int, Placement]:
    """A key that identifies a blank on a bar from one layout to the next."""
    return id(blank.shape), blank.placement


def _polygon(blank: Blank) -> QPolygonF:
    return QPolygonF([QPointF(x, y) for x, y in blank.outline.tolist()])
