"""Load what pages and dialogs need once the window is shown, so that nobody waits when they are first opened.

Modules without Qt load in a thread; then the modules of pages and dialogs one at a time; then the pages are built (`early.py`).
"""

from __future__ import annotations

from contextlib import suppress
from importlib import import_module
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from workbook.app import start_order
from workbook.app.threads import begun
from workbook.later import modules

if TYPE_CHECKING:
    from workbook.app.window import Window
    from workbook.formats import look_up
else:
    (look_up,) = modules("formats.look_up")


class Warming(QObject):
    """Loads these modules for one window."""

    _brought = Signal()

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._window = window
        self._left = list(start_order.ONE_BY_ONE)
        self._timer = QTimer(self)
        self._timer.setInterval(start_order.BETWEEN_MODULES)
        self._timer.timeout.connect(self._next)
        self._brought.connect(self._timer.start)

    @property
    def over(self) -> bool:
        """Whether everything is loaded."""
        return not self._left and self._window.early.over

    def begin(self) -> None:
        """Start loading."""
        begun(self._bring, "warming")

    def _bring(self) -> None:
        for name in start_order.BESIDE:
            with suppress(ImportError):  # missing on this system, or reports what it lacks when it is used
                import_module(name)
        look_up.fact_tables()
        with suppress(RuntimeError):  # the window is gone
            self._brought.emit()

    def _next(self) -> None:
        import_module(self._left.pop(0))
        if not self._left:
            self._timer.stop()
            self._window.early.begin()
