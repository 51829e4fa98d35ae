"""Bars with their blanks, drawn to one scale as they lie, with ordinates under each."""

from collections.abc import Callable, Sequence
from functools import partial

from msgspec import Struct
from PySide6.QtCore import QPoint, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QBrush, QColor, QContextMenuEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy

from workbook.app.canvas.bar_marks import paint_offcut, paint_ordinates
from workbook.app.canvas.readable import MENU, PRESS, TOGGLE, PaintedPart, ReadableCanvas
from workbook.app.elements.basics import fitted
from workbook.app.elements.painting import letter, text_width
from workbook.app.icons import picture
from workbook.app.look import Look
from workbook.geometry.path import Placement
from workbook.sheets.bar import BarPlan, Blank
from workbook.tasks.keeping import Spots
from workbook.texts import _, ngettext
from workbook.units import Unit, built, counted, reading, show

_MARGIN = 26
_NO_BAR = 1000.0  # mm of a bar that is not there
_FAR = 4  # px a blank is dragged before it moves
_ARROWS = {Qt.Key.Key_Left: (-1, 0), Qt.Key.Key_Right: (1, 0), Qt.Key.Key_Up: (0, 1), Qt.Key.Key_Down: (0, -1)}
_LETTERS = {Qt.Key.Key_R: "turn", Qt.Key.Key_F: "flip", Qt.Key.Key_C: "clear"}


class Ghost(Struct, frozen=True):
    """A blank in hand: the bar it is over, its outline there (mm), whether it may lie so, and the words beside it."""

    bar: int
    shape: QPolygonF
    clear: bool
    words: str


class BarsView(ReadableCanvas):
    """All bars of a layout under each other.

    A click or the arrow keys choose a blank; the space bar or a second click pins it or lets it go. It is dragged with the
    mouse, or moved with Shift and the arrow keys; R turns it, F flips it, C moves it clear.
    """

    chosen_changed = Signal()
    taken = Signal(int, int)  # bar and blank: a drag begins
    dragged = Signal(int, float, float)  # to this bar, by so many mm along and across it
    dropped = Signal()
    put_back = Signal()
    asked = Signal(str)  # "turn", "flip", "clear", "up" or "down" to another bar
    nudged = Signal(int, int)  # by so many steps
    pin_wanted = Signal(int, int)  # bar and blank, from 0
    menu_wanted = Signal(int, int, QPoint)  # the same (blank -1: none), and where on the screen

    def __init__(self, look: Look) -> None:
        super().__init__()
        self.setObjectName("bars")
        self.setAccessibleName(_("Bars with blanks"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        self._look, self.plans, self._unit = look, (), "in"  # type: tuple[Look, Sequence[BarPlan], Unit]
        self._prices: Sequence[str] = ()
        self._longest = _NO_BAR  # mm, of all bars
        self._shapes: list[list[QPolygonF]] = []
        self._spots: list[tuple[int, int]] = []  # bars (-1 for the blank) and blanks, as they are read
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.chosen: tuple[int, int] | None = None
        self._pinned: Spots = frozenset()
        self._clashing: Spots = frozenset()
        self._press: tuple[QPointF, tuple[int, int], bool] | None = None  # where, on what, whether it was chosen before
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
        """Shows a layout's bars, which of its blanks are pinned and which lie too near to something."""
        self._clashing, self.ghost = clashing, None
        if plans != self.plans:
            self.chosen = None
        drawn = {id(plan): shapes for plan, shapes in zip(self.plans, self._shapes, strict=True)}
        parts = {_at(blank): part for plan in self.plans for blank, part in zip(plan.blanks, drawn[id(plan)], strict=True)}
        self._shapes = [
            drawn.get(id(plan)) or [parts.get(_at(blank)) or _polygon(blank) for blank in plan.blanks] for plan in plans
        ]
        self.plans, self._prices, self._unit, self._pinned = plans, prices, unit, pinned
        self._longest = max((plan.size[2] for plan in plans), default=_NO_BAR)
        self._spots = [(b, i) for b, plan in enumerate(plans) for i in range(-1, len(plan.blanks))]
        self.setAccessibleDescription("; ".join(self._bar_in_words(bar) for bar in range(len(plans))))
        self.setMinimumHeight(self._height())
        self.update()

    def sizeHint(self) -> QSize:
        """As high as all bars take."""
        return QSize(600, self._height())

    def resizeEvent(self, event: object) -> None:
        """Another width, another scale and height."""
        self.setMinimumHeight(self._height())

    def _in_words(self, bar: int, blank: int) -> str:
        serial = self.plans[bar].blanks[blank].serial
        return _("{serial} pinned", serial=serial) if (bar, blank) in self._pinned else serial

    def _bar_in_words(self, bar: int) -> str:
        blanks = " ".join(self._in_words(bar, blank) for blank in range(len(self.plans[bar].blanks)))
        return _("bar {number}: {blanks}", number=self.plans[bar].number, blanks=blanks)

    def choose(self, bar: int, blank: int) -> None:
        """Chooses a blank."""
        self.chosen = (bar, blank)
        self.update()
        self.tell_chosen()
        self.chosen_changed.emit()

    def part_count(self) -> int:
        """How many bars and blanks."""
        return len(self._spots)

    def painted_part(self, number: int) -> PaintedPart:
        """A bar, or behind it one of the blanks on it."""
        bar, i = self._spots[number]
        plan = self.plans[bar]
        if i < 0:
            place = QRectF(0.0, self._top(bar), self.width(), self._row(plan))
            return PaintedPart(
                _("Bar {number}: {name}", number=plan.number, name=plan.name),
                place,
                {MENU: self._menu_at(bar, i, place)},
                counted(len(plan.blanks), "blank"),
            )
        blank, place = plan.blanks[i], self._seen(bar, self._shapes[bar][i].boundingRect())
        start, end = (built(show(x, self._unit)) for x in blank.span)
        pinned = (bar, i) in self._pinned
        return PaintedPart(
            name=_("{serial} on bar {number}", serial=blank.serial, number=plan.number),
            place=place,
            actions={
                PRESS: partial(self.choose, bar, i),
                TOGGLE: partial(self.pin_wanted.emit, bar, i),
                MENU: self._menu_at(bar, i, place),
            },
            words=f"{blank.shape.name}, {start} to {end} {self._unit} from end A{', pinned' if pinned else ''}",
            chosen=(bar, i) == self.chosen,
            checked=pinned,
        )

    def part_at(self, place: QPointF) -> int:
        """The blank at a place, or the bar."""
        return self._number(self.at(place))

    def chosen_part(self) -> int:
        """The blank that is chosen."""
        return self._number(self.chosen)

    def _number(self, spot: tuple[int, int] | None) -> int:
        return self._spots.index(spot) if spot in self._spots else -1

    def _seen(self, bar: int, box: QRectF) -> QRectF:
        """A box on a bar, mm from its lower corner at end A, as it is on the canvas."""
        k, base = self.scale(), self._base(bar) + self._look.px(26)
        return QRectF(self._look.px(_MARGIN) + box.left() * k, base - box.bottom() * k, box.width() * k, box.height() * k)

    def _menu_at(self, bar: int, blank: int, place: QRectF) -> Callable[[], None]:
        return lambda: self.menu_wanted.emit(bar, blank, self.mapToGlobal(place.center().toPoint()))

    def at(self, place: QPointF) -> tuple[int, int] | None:
        """The bar at a place of the widget and the blank there, -1 where there is none; None between bars."""
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
        """Chooses the blank under the pointer, and takes hold of it."""
        hit = self.at(event.position())
        if event.button() == Qt.MouseButton.LeftButton and hit is not None and hit[1] >= 0:
            self._press = (event.position(), hit, hit == self.chosen)
            if hit != self.chosen:
                self.choose(*hit)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drags the blank that is held, on its bar or to another."""
        if self._press is None:
            return
        start, (bar, blank), _ = self._press
        by = event.position() - start
        if not self._dragging and by.manhattanLength() >= _FAR:
            self._dragging = True
            self.taken.emit(bar, blank)
        if self._dragging:
            over = self.at(event.position())
            to = over[0] if over is not None else bar
            down = self._base(to) - self._base(bar)
            self.dragged.emit(to, by.x() / self.scale(), (down - by.y()) / self.scale())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Lets go of it; a blank that was chosen and not moved is pinned or let go."""
        press, dragging = self._press, self._dragging
        self._press, self._dragging = None, False
        if dragging:
            self.dropped.emit()
        elif press is not None and press[2] and event.button() == Qt.MouseButton.LeftButton:
            self.pin_wanted.emit(*press[1])

    def _by_hand(self, event: QKeyEvent) -> bool:
        """Keys that move the chosen blank; whether it was one."""
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
        """Arrows choose a blank along the bar or on the next; the space bar pins it or lets it go."""
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
            now = order.index(self.chosen) + step if self.chosen in order else 0
            self.choose(*order[now % len(order)])
        elif event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Up):
            step = 1 if event.key() == Qt.Key.Key_Down else -1
            bar = (self.chosen[0] + step) % len(self.plans) if self.chosen in order else 0
            self.choose(bar, 0)
        else:
            super().keyPressEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """What can be done with the blank or the bar under the pointer, or with the chosen one."""
        by_key = event.reason() == QContextMenuEvent.Reason.Keyboard
        hit = self.chosen if by_key else self.at(QPointF(event.pos()))
        if hit is not None:
            self.menu_wanted.emit(*hit, event.globalPos())

    def scale(self) -> float:
        """Pixels to the mm: the longest bar fills the width."""
        return max(self.width() - 2 * self._look.px(_MARGIN), 100) / self._longest

    def show_ghost(self, ghost: Ghost | None) -> None:
        """Shows where a blank in hand would lie; only the rows it was and is on are painted again."""
        for one in (self.ghost, ghost):
            if one is not None:
                self.update(0, round(self._top(one.bar)) - 2, self.width(), round(self._row(self.plans[one.bar])) + 4)
        self.ghost = ghost

    def _top(self, bar: int) -> float:
        """Where a bar's row begins."""
        return self._look.px(10) + sum(self._row(plan) for plan in self.plans[:bar])

    def _base(self, bar: int) -> float:
        """The height of a bar's lower edge, less what all rows have alike."""
        return self._top(bar) + self.plans[bar].size[1] * self.scale()

    def _row(self, plan: BarPlan) -> float:
        return plan.size[1] * self.scale() + self._look.px(86)

    def _height(self) -> int:
        return round(sum(self._row(plan) for plan in self.plans)) + self._look.px(16)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Every bar that shows."""
        painter, look = QPainter(self), self._look
        painter.fillRect(self.rect(), look.colour("board"))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, not self._dragging)  # a frame of a drag is soon gone
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
        """The chosen blank in a wider line, and a pin on those that are pinned."""
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
        """The blank in hand, red where it may not lie, with the gap beside it."""
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
        letter(painter, look, QPointF(left, base), _("Bar {number}", number=plan.number), 9.75, bold=True)
        x = left + text_width(look, _("Bar {number}  ", number=plan.number), 9.75, True)
        words = f"{plan.steel}  {thick} × {width} × {length} {unit}"
        letter(painter, look, QPointF(x, base), words, 9.75)
        x += text_width(look, words + "   ", 9.75)
        source = {"rack": _("from the rack"), "offcut": _("an offcut"), "buy": _("to buy")}[plan.source]
        known = [f"{reading(v, unit)} {side}" for v, read, side in plan.sides if read]
        source += _(", measured {names}", names=", ".join(known)) if known else ""
        count = ngettext("{count} blank   {price}", "{count} blanks   {price}", len(plan.blanks), price=price)
        right = min(max(left + wide, x + text_width(look, source + "    " + count, 9)), self.width() - look.px(8))
        room = right - x - text_width(look, count + "    ", 9)
        letter(painter, look, QPointF(x, base), fitted(look, source, 9, False, room), 9, tone="soft")
        letter(painter, look, QPointF(right, base), count, 9, "end", tone="soft")


def _at(blank: Blank) -> tuple[int, Placement]:
    """By what a blank on a bar is known again."""
    return id(blank.shape), blank.placement


def _polygon(blank: Blank) -> QPolygonF:
    return QPolygonF([QPointF(x, y) for x, y in blank.outline.tolist()])
