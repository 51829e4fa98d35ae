"""What pages and dialogs need is brought once the window stands, so that nobody waits for it when they are first opened.

What knows no Qt comes in a thread; then the modules of pages and dialogs, which are small without it, one at a time; then the
pages themselves (`early.py`).
"""

from __future__ import annotations

from contextlib import suppress
from importlib import import_module
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from workbook.app.threads import begun
from workbook.later import modules

if TYPE_CHECKING:
    from workbook.app.window import Window
    from workbook.formats import look_up
else:
    (look_up,) = modules("formats.look_up")

_PAUSE = 200  # ms between two pages
_BESIDE = (
    "numpy.ma", "multiprocessing.popen_spawn_posix", "csv", "workbook.tasks.exports", "workbook.tasks.exports.book",
    "workbook.tasks.quote_out", "workbook.tasks.judging", "workbook.tasks.stock_csv", "workbook.model.grinding",
    "workbook.model.quoting", "workbook.model.buying", "workbook.grind.checks", "workbook.template.tracing",
    "workbook.document.action_words",
)  # fmt: skip
_PAGES = (
    "workbook.app.beside", "workbook.app.export", "workbook.app.proof", "workbook.app.paper",
    "workbook.app.pages.grind.page", "workbook.app.pages.stock.page", "workbook.app.pages.quote.page",
    "workbook.app.pages.look_up.page",
    "workbook.app.dialogs.export", "workbook.app.dialogs.trace", "workbook.app.dialogs.preflight",
)  # fmt: skip


class Warming(QObject):
    """Brings it for one window."""

    _brought = Signal()

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._window = window
        self._left = list(_PAGES)
        self._timer = QTimer(self)
        self._timer.setInterval(_PAUSE)
        self._timer.timeout.connect(self._next)
        self._brought.connect(self._timer.start)

    @property
    def over(self) -> bool:
        """Whether all is there."""
        return not self._left and self._window.early.over

    def begin(self) -> None:
        """Begins."""
        begun(self._bring, "warming")

    def _bring(self) -> None:
        for name in _BESIDE:
            with suppress(ImportError):  # one that this system has not, or that will say what it lacks when it is asked for
                import_module(name)
        look_up.fact_tables()
        with suppress(RuntimeError):  # the window is gone
            self._brought.emit()

    def _next(self) -> None:
        import_module(self._left.pop(0))
        if not self._left:
            self._timer.stop()
            self._window.early.begin()
