"""More contrast, where the system asks for it."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QGuiApplication

from workbook.structs import replace

if TYPE_CHECKING:
    from workbook.app.frame import Frame


class Contrast(QObject):
    """What the system asks for; a window given to `follow` is shown so from then on."""

    def __init__(self) -> None:
        super().__init__()
        self._hints = QGuiApplication.styleHints()  # kept: PySide takes what belongs to it for deleted once this has gone
        self._asked = self._hints.accessibility()
        self._window: Frame | None = None

    @property
    def strong(self) -> bool:
        """Whether the system asks for more contrast now."""
        return self._asked.contrastPreference() is Qt.ContrastPreference.HighContrast

    def follow(self, window: "Frame") -> None:
        """Show the window with more contrast, or less, whenever the system asks."""
        self.setParent(window)
        self._window = window
        self._asked.contrastPreferenceChanged.connect(self.use)

    def use(self, preference: Qt.ContrastPreference) -> None:
        """Show the window as asked."""
        if self._window is not None:
            strong = preference is Qt.ContrastPreference.HighContrast
            self._window.use_look(replace(self._window.workspace.look, strong=strong))
