"""A painted canvas for screen readers: a list of parts, each with its name, place, state and actions.

Qt asks for it only while something reads the screen.
"""

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple, cast
from weakref import ref

from PySide6.QtCore import QObject, QPointF, QRect, QRectF
from PySide6.QtGui import QAccessible, QAccessibleActionInterface, QAccessibleEvent, QAccessibleInterface
from PySide6.QtWidgets import QAccessibleWidget, QWidget
from shiboken6 import Shiboken

_NONE = cast(QAccessibleInterface, None)  # Qt takes None for "no interface", but its types do not say so
PRESS, TOGGLE, MENU = "Press", "Toggle", "ShowMenu"  # names of actions, the same on every system


class PaintedPart(NamedTuple):
    """A part as painted now; `place` is on the canvas, in pixels."""

    name: str
    place: QRectF
    actions: Mapping[str, Callable[[], None]]
    words: str = ""  # the description beyond the name
    chosen: bool = False
    checked: bool | None = None  # None: not checkable


class ReadableCanvas(QWidget):
    """A canvas whose parts can be read. Nothing is cached, so every method must be quick."""

    def part_count(self) -> int:
        """The number of parts shown now."""
        raise NotImplementedError

    def painted_part(self, number: int) -> PaintedPart:
        """The part with this number, in reading order."""
        raise NotImplementedError

    def part_at(self, place: QPointF) -> int:
        """The number of the part at a place of the canvas; -1 if none."""
        raise NotImplementedError

    def chosen_part(self) -> int:
        """The number of the chosen part; -1 if none."""
        raise NotImplementedError

    def tell_chosen(self) -> None:
        """Tell a screen reader which part is now chosen."""
        number = self.chosen_part() if QAccessible.isActive() else -1
        if number >= 0:
            event = QAccessibleEvent(self, QAccessible.Event.Focus if self.hasFocus() else QAccessible.Event.Selection)
            event.setChild(number)
            QAccessible.updateAccessibility(event)


class CanvasForReaders(QAccessibleWidget):
    """The accessible interface of a canvas: a list."""

    def __init__(self, canvas: ReadableCanvas) -> None:
        super().__init__(canvas, QAccessible.Role.List)
        self._canvas = ref(canvas)
        self._parts: list[PartForReaders] = []

    @property
    def canvas(self) -> ReadableCanvas | None:
        """The canvas; None after it is deleted."""
        canvas = self._canvas()
        return canvas if canvas is not None and Shiboken.isValid(canvas) else None

    def childCount(self) -> int:
        """The number of parts shown."""
        return self.canvas.part_count() if self.canvas is not None else 0

    def child(self, index: int) -> QAccessibleInterface:
        """A part by its number, always the same object."""
        if not 0 <= index < self.childCount():
            return _NONE
        while len(self._parts) <= index:
            self._parts.append(PartForReaders(self, len(self._parts)))
        return self._parts[index]

    def indexOfChild(self, child: QAccessibleInterface) -> int:
        """The number of a part; -1 if it is not of this canvas."""
        return child.number if isinstance(child, PartForReaders) and child.of is self else -1

    def childAt(self, x: int, y: int) -> QAccessibleInterface:
        """The part at a point of the screen."""
        canvas = self.canvas
        return self.child(canvas.part_at(canvas.mapFromGlobal(QPointF(x, y)))) if canvas is not None else _NONE

    def focusChild(self) -> QAccessibleInterface:
        """The chosen part while the canvas has the keyboard focus."""
        canvas = self.canvas
        return self.child(canvas.chosen_part()) if canvas is not None and canvas.hasFocus() else super().focusChild()


class PartForReaders(QAccessibleInterface):
    """The accessible interface of one part: a list item."""

    def __init__(self, of: CanvasForReaders, number: int) -> None:
        super().__init__()
        self.of, self.number = of, number
        self._actions = _Actions(self)

    def painted(self) -> PaintedPart | None:
        """The part as it is now; None if it is no longer shown."""
        canvas = self.of.canvas
        return canvas.painted_part(self.number) if canvas is not None and self.number < canvas.part_count() else None

    def isValid(self) -> bool:
        """Whether the part is still shown."""
        return self.painted() is not None

    def object(self) -> QObject:
        """None: a part is not a QObject."""
        return cast(QObject, None)

    def parent(self) -> QAccessibleInterface:
        """The interface of the canvas."""
        return self.of

    def childCount(self) -> int:
        """The number of children, always 0."""
        return 0

    def child(self, index: int) -> QAccessibleInterface:
        """No interface: a part has no children."""
        return _NONE

    def childAt(self, x: int, y: int) -> QAccessibleInterface:
        """No interface: a part has no children."""
        return _NONE

    def indexOfChild(self, child: QAccessibleInterface) -> int:
        """The index of a child, always -1: a part has none."""
        return -1

    def role(self) -> QAccessible.Role:
        """The role of a list item."""
        return QAccessible.Role.ListItem

    def rect(self) -> QRect:
        """The part's rectangle on the screen."""
        part, canvas = self.painted(), self.of.canvas
        if part is None or canvas is None:
            return QRect()
        place = part.place.toAlignedRect()
        return QRect(canvas.mapToGlobal(place.topLeft()), place.size())

    def state(self) -> QAccessible.State:
        """The state: selected, focused, checked, hidden or off screen; invalid if it is no longer shown."""
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
        """The part's name or description."""
        part = self.painted()
        texts = {QAccessible.Text.Name: part.name, QAccessible.Text.Description: part.words} if part is not None else {}
        return texts.get(which, "")

    def setText(self, which: QAccessible.Text, text: str) -> None:
        """Do nothing: the text is read-only."""

    def interface_cast(self, kind: QAccessible.InterfaceType) -> Any:
        """The part's action interface; None for other kinds."""
        return self._actions if kind == QAccessible.InterfaceType.ActionInterface else None


class _Actions(QAccessibleActionInterface):
    """The action interface of a part."""

    def __init__(self, part: PartForReaders) -> None:
        super().__init__()
        self._part = part

    def _now(self) -> Mapping[str, Callable[[], None]]:
        part = self._part.painted()
        return part.actions if part is not None else {}

    def actionNames(self) -> list[str]:
        """The names of the part's actions, as Qt defines them."""
        return list(self._now())

    def doAction(self, name: str) -> None:
        """Run an action as a click or a key would; ignore an unknown one."""
        if (act := self._now().get(name)) is not None:
            act()

    def keyBindingsForAction(self, name: str) -> list[str]:
        """No keys: they belong to the canvas, which describes them itself."""
        return []


def _made(kind: str, widget: QObject) -> QAccessibleInterface:
    if not isinstance(widget, ReadableCanvas):
        return _NONE
    _MADE.append(CanvasForReaders(widget))
    return _MADE[-1]


_MADE: list[CanvasForReaders] = []  # Qt's cache holds them and their parts until exit: one freed by Python would crash it
QAccessible.installFactory(_made)
