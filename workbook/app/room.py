"""The room a screen has for the window and its frame."""

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QWidget

_FRAME = QSize(16, 48)  # px: borders, and a bar with the title


def fitting(window: QWidget, width: int, height: int) -> QSize:
    """A size for a window, no larger than the screen it opens on has room for beside the system's own bars."""
    return QSize(width, height).boundedTo(window.screen().availableSize() - _FRAME)
