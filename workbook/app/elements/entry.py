"""What lines to type in have in common: a click takes the whole value, and the window keeps its shortcuts."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QAction, QFocusEvent, QKeyEvent, QKeySequence, QMouseEvent
from PySide6.QtWidgets import QLineEdit, QWidget

Keys = QKeySequence.StandardKey
_OF_TEXT = (Keys.Copy, Keys.Cut, Keys.Paste, Keys.SelectAll)
_HISTORY = (Keys.Undo, Keys.Redo)
_HELD = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier | Qt.KeyboardModifier.MetaModifier


def is_for_window(event: QKeyEvent, field: QWidget, *, typing: bool) -> bool:
    """Whether a key that a field would take belongs to the window: a shortcut of its menus, or undo and redo unless `typing`."""
    if any(event.matches(key) for key in _HISTORY):
        return not typing
    if not event.modifiers() & _HELD or any(event.matches(key) for key in _OF_TEXT):
        return False
    pressed = QKeySequence(event.keyCombination())
    return any(pressed in action.shortcuts() for action in field.window().findChildren(QAction))


def left_to_window(field: QWidget, event: QEvent, *, typing: bool) -> bool:
    """Decline a key that a field would take but the window is to have. Return whether it was one."""
    if not isinstance(event, QKeyEvent) or event.type() is not QEvent.Type.ShortcutOverride:
        return False
    if not is_for_window(event, field, typing=typing):
        return False
    event.ignore()
    return True


class WholeValue(QLineEdit):
    """A line of one value: the click that gives it the keyboard selects all of it, and so does a double click."""

    whole = True  # False for a text, in which a click sets the cursor
    _came_by_click = False

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Note whether a click gave the keyboard, and start filtering keys."""
        super().focusInEvent(event)
        self._came_by_click = event.reason() is Qt.FocusReason.MouseFocusReason
        self.installEventFilter(self)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Stop filtering keys."""
        super().focusOutEvent(event)
        self.removeEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Leave the window its shortcuts."""
        return left_to_window(self, event, typing=self.isModified()) or super().eventFilter(watched, event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Select all after the first click, unless it selected a part."""
        super().mouseReleaseEvent(event)
        if self.whole and self._came_by_click and not self.hasSelectedText():
            self.selectAll()
        self._came_by_click = False

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Select the whole value, not the one number of a fraction under the pointer."""
        if self.whole:
            self.selectAll()
        else:
            super().mouseDoubleClickEvent(event)


class Troubles:
    """What is wrong with several fields, so that the reason of one stays in sight when another is right."""

    def __init__(self) -> None:
        self._reasons = dict[str, str]()

    def tell(self, field: str, reason: str) -> str:
        """Note what is wrong with a field, "" for nothing. Return the reason to show."""
        self._reasons.pop(field, None)
        if reason:
            self._reasons[field] = reason
        return reason or self.first

    def of(self, field: str, emit: Callable[[str], object]) -> Callable[[str], None]:
        """A slot that notes what is wrong with a field and emits the reason to show."""

        def slot(reason: str) -> None:
            emit(self.tell(field, reason))

        return slot

    @property
    def first(self) -> str:
        """The reason that stands longest; "" if nothing is wrong."""
        return next(iter(self._reasons.values()), "")
