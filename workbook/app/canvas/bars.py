"""Bars with their blanks, drawn to one scale in position, with ordinates under each."""

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import QPoint, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QContextMenuEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPixmap, QPolygonF
from PySide6.QtWidgets import QSizePolicy

from workbook.app.canvas.bar_marks import place_in_words
from workbook.app.canvas.bar_painting import HEAD, MARGIN, BarPainting, Ghost
from workbook.app.canvas.readable import MENU, PRESS, TOGGLE, PaintedPart, ReadableCanvas
from workbook.app.look import Look
from workbook.geometry.path import Placement
from workbook.sheets.bar import BarPlan, Blank
from workbook.tasks.keeping import Spots
from workbook.texts import _, ngettext
from workbook.units import Unit

_NO_BAR = 1000.0  # mm, the length assumed when there are no bars
_MOST_PICTURES = 40  # rows kept as pictures: more than a screen shows
_FAR = 4  # px a blank is dragged before it moves
_ARROWS = {Qt.Key.Key_Left: (-1, 0), Qt.Key.Key_Right: (1, 0), Qt.Key.Key_Up: (0, 1), Qt.Key.Key_Down: (0, -1)}
_LETTERS = {Qt.Key.Key_R: "turn", Qt.Key.Key_F: "flip", Qt.Key.Key_C: "clear", Qt.Key.Key_X: "exchange"}


class BarsView(ReadableCanvas):
    """All bars of a layout, one below another.

    A click or the arrow keys choose a blank; the space bar or a second click pins or unpins it. Drag it with the mouse, or
    move it with Shift and the arrow keys; R turns it, F flips it, C moves it clear. X offers it for exchange: a click on another
    blank, or Enter with another chosen, exchanges the two.
    """

    chosen_changed = Signal()
    taken = Signal(int, int)  # bar and blank: a drag begins
    dragged = Signal(int, float, float)  # target bar, and the offset along and across it in mm
    dropped = Signal()
    pointed = Signal(QPoint)  # where the pointer is in a drag
    put_back = Signal()
    exchange_wanted = Signal(object, object)  # the blank offered and the other, as bar and blank
    asked = Signal(str)  # "turn", "flip", "clear", "exchange", "up" or "down" to another bar
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
        self.offered: tuple[int, int] | None = None  # the blank that is to be exchanged for another
        self.ghost: Ghost | None = None
        self.spare: Sequence[BarPlan] = ()  # bars not yet used, shown below the others while a blank is dragged
        self._spare_prices: Sequence[str] = ()
        self._pictures: dict[tuple[object, ...], QPixmap] = {}  # of rows without marks

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
        self.offer(None)
        if plans != self.plans:
            self.chosen = None
        by_plan = {id(plan): shapes for plan, shapes in zip(self.plans, self._shapes, strict=True)}
        by_blank = {_at(blank): part for plan in self.plans for blank, part in zip(plan.blanks, by_plan[id(plan)], strict=True)}
        self._shapes = [
            by_plan.get(id(plan)) or [by_blank.get(_at(blank)) or _polygon(blank) for blank in plan.blanks] for plan in plans
        ]
        self.plans, self._prices, self._unit, self._pinned = plans, prices, unit, pinned
        self._longest = max((plan.longest for plan in plans), default=_NO_BAR)
        self._spots = [(b, i) for b, plan in enumerate(plans) for i in range(-1, len(plan.blanks))]
        self.setAccessibleDescription("; ".join(self._bar_in_words(bar) for bar in range(len(plans))))
        self.setMinimumHeight(self._height())
        self.update()

    def show_spare(self, plans: Sequence[BarPlan] = (), prices: Sequence[str] = ()) -> None:
        """Show bars that are not used yet below the others, for a blank to be dropped on."""
        self.spare, self._spare_prices = plans, prices
        self.setMinimumHeight(self._height())
        self.update()

    @property
    def _rows(self) -> Sequence[BarPlan]:
        """All bars shown, from the top."""
        return [*self.plans, *self.spare]

    def offer(self, spot: tuple[int, int] | None) -> None:
        """Offer a blank for exchange; None: no longer."""
        if spot != self.offered:
            self.offered = spot
            self.setCursor(Qt.CursorShape.ArrowCursor if spot is None else Qt.CursorShape.PointingHandCursor)
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

    def pixel(self, bar: int, x: float, y: float) -> QPointF:
        """Where a point of a bar, in mm from its lower corner at end A, is on the canvas."""
        look, k = self._look, self.scale()
        return QPointF(look.px(MARGIN) + x * k, self._base(bar) + look.px(HEAD) - y * k)

    def _seen(self, bar: int, box: QRectF) -> QRectF:
        """Convert a box on a bar, in mm, to pixels of the canvas."""
        return QRectF(self.pixel(bar, box.left(), box.bottom()), self.pixel(bar, box.right(), box.top()))

    def _menu_at(self, bar: int, blank: int, place: QRectF) -> Callable[[], None]:
        return lambda: self.menu_wanted.emit(bar, blank, self.mapToGlobal(place.center().toPoint()))

    def at(self, place: QPointF) -> tuple[int, int] | None:
        """The bar and the blank at a place of the widget; -1 for no blank, None between bars."""
        y, k = float(self._look.px(10)), self.scale()
        for b, plan in enumerate(self._rows):
            if y <= place.y() < y + self._row(plan):
                base = y + self._look.px(HEAD) + plan.size[1] * k
                on_bar = QPointF((place.x() - self._look.px(MARGIN)) / k, (base - place.y()) / k)
                shapes = self._shapes[b] if b < len(self._shapes) else []
                hit = (i for i, shape in enumerate(shapes) if shape.containsPoint(on_bar, Qt.FillRule.OddEvenFill))
                return b, next(hit, -1)
            y += self._row(plan)
        return None

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose the blank under the pointer and prepare to drag it."""
        hit = self.at(event.position())
        if self.offered is not None:
            self._exchange(hit if event.button() == Qt.MouseButton.LeftButton else None)
        elif event.button() == Qt.MouseButton.LeftButton and hit is not None and hit[1] >= 0:
            self._press = (event.position(), hit, hit == self.chosen)
            if hit != self.chosen:
                self.choose(*hit)

    def _exchange(self, spot: tuple[int, int] | None) -> None:
        """End the offer, with an exchange if another blank was named."""
        offered = self.offered
        self.offer(None)
        if spot is not None and spot[1] >= 0 and spot != offered:
            self.exchange_wanted.emit(offered, spot)
        self.chosen_changed.emit()  # the words beside the bars are those of the chosen blank again

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
            self.pointed.emit(event.position().toPoint())

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
        elif self.offered is not None and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Escape):
            self._exchange(None if event.key() == Qt.Key.Key_Escape else self.chosen)
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
        if hit is not None and hit[0] < len(self.plans) and not self._dragging:
            self.menu_wanted.emit(*hit, event.globalPos())

    def scale(self) -> float:
        """Pixels per mm; the longest bar fills the width."""
        return max(self.width() - 2 * self._look.px(MARGIN), 100) / self._longest

    def show_ghost(self, ghost: Ghost | None) -> None:
        """Show where a dragged blank would lie; repaint only the rows affected."""
        for each in (self.ghost, ghost):
            if each is not None:
                self.update(0, self._top(each.bar) - 2, self.width(), self._row(self._rows[each.bar]) + 4)
        self.ghost = ghost

    def _top(self, bar: int) -> int:
        """The top of a bar's row, in pixels."""
        return self._look.px(10) + sum(self._row(plan) for plan in self._rows[:bar])

    def _base(self, bar: int) -> float:
        """The y of a bar's lower edge in pixels, less the offset common to all rows."""
        return self._top(bar) + self._rows[bar].size[1] * self.scale()

    def _row(self, plan: BarPlan) -> int:
        """The height of a bar's row, in pixels."""
        return round(plan.size[1] * self.scale()) + self._look.px(86)

    def _height(self) -> int:
        return sum(self._row(plan) for plan in self._rows) + self._look.px(16)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the bars inside the exposed area."""
        painter, look = QPainter(self), self._look
        painter.fillRect(self.rect(), look.colour("board"))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        rows, y, seen = self._rows, look.px(10), dict[int, int]()
        for b, plan in enumerate(rows):
            if y + self._row(plan) >= event.rect().top() and y <= event.rect().bottom():
                seen[b] = y
            y += self._row(plan)
        for b, top in seen.items():
            painter.drawPixmap(0, top, self._picture(b))
        painting = BarPainting(painter, look, self._unit, self.scale(), self.width())
        for b, top in seen.items():
            self._marks(painting, b, top)

    def _picture(self, bar: int) -> QPixmap:
        """A bar's row without marks; cached, since a hundred blanks take longer to paint than a frame may."""
        plan, ratio = self._rows[bar], self.devicePixelRatioF()
        price = [*self._prices, *self._spare_prices][bar]
        key = (plan, price, self._unit, self.width(), self._longest, ratio)
        if key not in self._pictures:
            if len(self._pictures) >= _MOST_PICTURES:
                self._pictures.pop(next(iter(self._pictures)))
            pixmap = QPixmap(round(self.width() * ratio), round(self._row(plan) * ratio))
            pixmap.setDevicePixelRatio(ratio)
            pixmap.fill(self._look.colour("board"))
            painter = QPainter(pixmap)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            shapes = self._shapes[bar] if bar < len(self._shapes) else []
            BarPainting(painter, self._look, self._unit, self.scale(), self.width()).bar(plan, shapes, price, 0.0)
            painter.end()
            self._pictures[key] = pixmap
        return self._pictures[key]

    def _marks(self, painting: BarPainting, bar: int, y: float) -> None:
        """Mark the chosen blank, the one offered for exchange, the clashing and the pinned ones."""
        plan = self._rows[bar]
        base = painting.base(plan, y)
        for spot, tone, dashed in ((self.chosen, "blue", False), (self.offered, "blue", True)):
            if spot is not None and spot[0] == bar:
                painting.ringed(self._shapes[bar][spot[1]], base, tone, dashed=dashed)
        for i in (i for b, i in self._clashing if b == bar):
            painting.crossed(self._shapes[bar][i], base)
        if self.ghost is not None and self.ghost.bar == bar:
            painting.ghost(self.ghost, base)
        for i, blank in enumerate(plan.blanks):
            if (bar, i) in self._pinned:
                painting.pin(blank, base)


def _at(blank: Blank) -> tuple[int, Placement]:
    """A key that identifies a blank on a bar from one layout to the next."""
    return id(blank.shape), blank.placement


def _polygon(blank: Blank) -> QPolygonF:
    return QPolygonF([QPointF(x, y) for x, y in blank.outline.tolist()])
