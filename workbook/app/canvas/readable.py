"""What a canvas paints, as a screen reader meets it: a list of parts, each with its name, place, state and what can be done with
it. Qt asks for it only where something reads the screen.
"""

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple, cast
from weakref import ref

from PySide6.QtCore import QObject, QPointF, QRect, QRectF
from PySide6.QtGui import QAccessible, QAccessibleActionInterface, QAccessibleEvent, QAccessibleInterface
from PySide6.QtWidgets import QAccessibleWidget, QWidget
from shiboken6 import Shiboken

_NONE = cast(QAccessibleInterface, None)  # how Qt is told that there is none, which its types do not say
PRESS, TOGGLE, MENU = "Press", "Toggle", "ShowMenu"  # names of actions, the same on every system


class PaintedPart(NamedTuple):
    """A part as it is painted now; `place` on the canvas, in pixels."""

    name: str
    place: QRectF
    actions: Mapping[str, Callable[[], None]]
    words: str = ""  # what else there is to say
    chosen: bool = False
    checked: bool | None = None  # None: it is nothing that is on or off


class ReadableCanvas(QWidget):
    """A canvas whose parts can be read. It is asked each time, so that each answer is to be quick."""

    def part_count(self) -> int:
        """How many parts show now."""
        raise NotImplementedError

    def painted_part(self, number: int) -> PaintedPart:
        """One of them, in the order in which they are read."""
        raise NotImplementedError

    def part_at(self, place: QPointF) -> int:
        """The number of the part at a place of the canvas; -1 where there is none."""
        raise NotImplementedError

    def chosen_part(self) -> int:
        """The number of the part that is chosen; -1 where none is."""
        raise NotImplementedError

    def tell_chosen(self) -> None:
        """Has a screen reader say which part is chosen now."""
        number = self.chosen_part() if QAccessible.isActive() else -1
        if number >= 0:
            event = QAccessibleEvent(self, QAccessible.Event.Focus if self.hasFocus() else QAccessible.Event.Selection)
            event.setChild(number)
            QAccessible.updateAccessibility(event)


class CanvasForReaders(QAccessibleWidget):
    """A canvas as a list."""

    def __init__(self, canvas: ReadableCanvas) -> None:
        super().__init__(canvas, QAccessible.Role.List)
        self._canvas = ref(canvas)
        self._parts: list[PartForReaders] = []

    @property
    def canvas(self) -> ReadableCanvas | None:
        """The canvas; None once it is gone."""
        canvas = self._canvas()
        return canvas if canvas is not None and Shiboken.isValid(canvas) else None

    def childCount(self) -> int:
        """How many parts show."""
        return self.canvas.part_count() if self.canvas is not None else 0

    def child(self, index: int) -> QAccessibleInterface:
        """A part by its number; the same one each time."""
        if not 0 <= index < self.childCount():
            return _NONE
        while len(self._parts) <= index:
            self._parts.append(PartForReaders(self, len(self._parts)))
        return self._parts[index]

    def indexOfChild(self, child: QAccessibleInterface) -> int:
        """The number of a part; -1 for what is none of this canvas."""
        return child.number if isinstance(child, PartForReaders) and child.of is self else -1

    def childAt(self, x: int, y: int) -> QAccessibleInterface:
        """The part at a place of the screen."""
        canvas = self.canvas
        return self.child(canvas.part_at(canvas.mapFromGlobal(QPointF(x, y)))) if canvas is not None else _NONE

    def focusChild(self) -> QAccessibleInterface:
        """The part that is chosen, where the canvas has the keyboard."""
        canvas = self.canvas
        return self.child(canvas.chosen_part()) if canvas is not None and canvas.hasFocus() else super().focusChild()


class PartForReaders(QAccessibleInterface):
    """One part of a list that a canvas is read as."""

    def __init__(self, of: CanvasForReaders, number: int) -> None:
        super().__init__()
        self.of, self.number = of, number
        self._actions = _Actions(self)

    def painted(self) -> PaintedPart | None:
        """The part as it is now; None where it shows no more."""
        canvas = self.of.canvas
        return canvas.painted_part(self.number) if canvas is not None and self.number < canvas.part_count() else None

    def isValid(self) -> bool:
        """Whether it still shows."""
        return self.painted() is not None

    def object(self) -> QObject:
        """It is no widget."""
        return cast(QObject, None)

    def parent(self) -> QAccessibleInterface:
        """The canvas."""
        return self.of

    def childCount(self) -> int:
        """It has no parts of its own."""
        return 0

    def child(self, index: int) -> QAccessibleInterface:
        """None."""
        return _NONE

    def childAt(self, x: int, y: int) -> QAccessibleInterface:
        """None."""
        return _NONE

    def indexOfChild(self, child: QAccessibleInterface) -> int:
        """None is its child."""
        return -1

    def role(self) -> QAccessible.Role:
        """One of a list."""
        return QAccessible.Role.ListItem

    def rect(self) -> QRect:
        """Where it is on the screen."""
        part, canvas = self.painted(), self.of.canvas
        if part is None or canvas is None:
            return QRect()
        place = part.place.toAlignedRect()
        return QRect(canvas.mapToGlobal(place.topLeft()), place.size())

    def state(self) -> QAccessible.State:
        """Whether it is chosen, or checked."""
        state, part, canvas = QAccessible.State(), self.painted(), self.of.canvas
        state.selectable = state.focusable = True
        if part is None or canvas is None:
            state.invalid = True
            return state
        state.selected = part.chosen
        state.focused = part.chosen and canvas.hasFocus()
        state.checkable, state.checked = part.checked is not None, bool(part.checked)
        state.invisible = not canvas.isVisible()
        state.offscreen = not part.place.intersects(QRectF(canvas.visibleRegion().boundingRect()))
        return state

    def text(self, which: QAccessible.Text) -> str:
        """Its name, or what else there is to say of it."""
        part = self.painted()
        said = {QAccessible.Text.Name: part.name, QAccessible.Text.Description: part.words} if part is not None else {}
        return said.get(which, "")

    def setText(self, which: QAccessible.Text, text: str) -> None:
        """Its name is not changed here."""

    def interface_cast(self, kind: QAccessible.InterfaceType) -> Any:
        """What can be done with it."""
        return self._actions if kind == QAccessible.InterfaceType.ActionInterface else None


class _Actions(QAccessibleActionInterface):
    """What can be done with a part."""

    def __init__(self, part: PartForReaders) -> None:
        super().__init__()
        self._part = part

    def _now(self) -> Mapping[str, Callable[[], None]]:
        part = self._part.painted()
        return part.actions if part is not None else {}

    def actionNames(self) -> list[str]:
        """Names of actions as Qt has them."""
        return list(self._now())

    def doAction(self, name: str) -> None:
        """Does one, as a click or a key does it."""
        if (act := self._now().get(name)) is not None:
            act()

    def keyBindingsForAction(self, name: str) -> list[str]:
        """The keys are the canvas's own: it says them."""
        return []


def _made(kind: str, thing: QObject) -> QAccessibleInterface:
    if not isinstance(thing, ReadableCanvas):
        return _NONE
    _MADE.append(CanvasForReaders(thing))
    return _MADE[-1]


_MADE: list[CanvasForReaders] = []  # Qt's cache holds them, and their parts, to its end: one that Python had freed would end it
QAccessible.installFactory(_made)
