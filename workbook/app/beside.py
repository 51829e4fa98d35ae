"""Run slow tasks beside the window: in a thread, with a waiting dialog and Cancel if the task is not over at once.

The result is handed over on the window's thread. The dialog blocks the window, so the result still fits the work it was
computed for. Starting another task cancels the one before.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from threading import Event
from typing import Any, Generic, TypeVar

from PySide6.QtCore import QObject, Qt, QTimer, Signal
from PySide6.QtWidgets import QDialog, QMainWindow, QProgressBar, QVBoxLayout

from workbook.app.elements.basics import button, label, named, row
from workbook.app.look import Look
from workbook.app.threads import begun
from workbook.tasks.guarded import GivenUp, given_up_by
from workbook.texts import _

_AT_ONCE = 300  # ms before the dialog appears
_Made = TypeVar("_Made")
Found = Callable[[], _Made]  # returns the result, or raises the error


class _Errand(Generic[_Made]):
    """One task and its result."""

    def __init__(self, words: str, work: Callable[[], _Made], then: Callable[[Found[_Made]], None]) -> None:
        self.words, self.work, self.then = words, work, then
        self.drop: Callable[[_Made], object] | None = None
        self.back: Callable[[], object] | None = None
        self.given_up, self.last = Event(), False
        self.made: list[_Made] = []
        self.wrong: Exception | None = None

    def run(self) -> None:
        """Run the task and store its result or its error."""
        try:
            with given_up_by(self.given_up):
                self.made.append(self.work())
        except Exception as trouble:  # noqa: BLE001  # passed on to the caller
            self.wrong = trouble

    def found(self) -> _Made:
        """Return the result, or raise the task's error."""
        if self.wrong is not None:
            raise self.wrong
        return self.made[0]

    def let_go(self) -> None:
        """Drop the result, which is no longer needed."""
        while self.made:
            result = self.made.pop()
            if self.drop is not None:
                self.drop(result)


class Beside(QObject):
    """Runs one task at a time for one window."""

    _ended = Signal(object)  # an errand

    def __init__(self, window: QMainWindow, look: Callable[[], Look]) -> None:
        super().__init__(window)
        self._window, self._look = window, look
        self._errand: _Errand[Any] | None = None
        self._shown: WaitingDialog | None = None
        self._ended.connect(self._hand_over)

    @property
    def busy(self) -> bool:
        """Whether a task is running."""
        return self._errand is not None

    def do(
        self,
        words: str,
        work: Callable[[], _Made],
        then: Callable[[Found[_Made]], None],
        drop: Callable[[_Made], object] | None = None,
        back: Callable[[], object] | None = None,
    ) -> None:
        """Run `work` in a thread and pass `then` a function that returns its result or raises its error.

        When the task is cancelled `then` is not called: any result goes to `drop`, and `back` undoes what was done before the
        task. `words` describe the task, with the file's name.
        """
        errand = _Errand(words, work, then)
        errand.drop, errand.back = drop, back
        self._begin(errand)

    def finish(self, words: str, work: Callable[[], _Made], then: Callable[[Found[_Made]], None]) -> None:
        """Run a task that changes the work or a file, and so cannot be cancelled half-way."""
        errand = _Errand(words, work, then)
        errand.last = True
        self._begin(errand)

    def give_up(self) -> None:
        """Cancel the running task, unless it has to finish."""
        errand = self._errand
        if errand is not None and not errand.last:
            self._errand = None
            self._hide()
            errand.given_up.set()
            if errand.back is not None:
                errand.back()

    def _begin(self, errand: _Errand[Any]) -> None:
        self.give_up()
        if self._errand is not None:  # a task that cannot be cancelled finishes first
            QTimer.singleShot(_AT_ONCE, self, lambda: self._begin(errand))
            return
        self._errand = errand
        begun(lambda: self._run(errand), "beside")
        if errand.last:
            self._show(errand)  # at once: nothing may change until it is over
        else:
            QTimer.singleShot(_AT_ONCE, self, lambda: self._show(errand))

    def _run(self, errand: _Errand[Any]) -> None:
        errand.run()
        if errand.given_up.is_set():
            errand.let_go()
        with suppress(RuntimeError):  # the window is gone
            self._ended.emit(errand)

    def _hand_over(self, errand: _Errand[Any]) -> None:
        if errand is not self._errand:
            errand.let_go()
            return
        self._errand = None
        self._hide()
        if not isinstance(errand.wrong, GivenUp):
            errand.then(errand.found)

    def _show(self, errand: _Errand[Any]) -> None:
        if errand is self._errand and self._window.isVisible():
            self._shown = WaitingDialog(self._window, self._look(), errand.words, ends=not errand.last)
            self._shown.given_up.connect(self.give_up)
            self._shown.show()

    def _hide(self) -> None:
        dialog, self._shown = self._shown, None
        if dialog is not None:
            active = dialog.isActiveWindow()
            dialog.end()
            if active:
                self._window.activateWindow()


class WaitingDialog(QDialog):
    """The name of the running task, with Cancel if it can be cancelled."""

    given_up = Signal()

    def __init__(self, window: QMainWindow, look: Look, words: str, *, ends: bool) -> None:
        super().__init__(window)
        named(self, "waiting")
        self.setWindowTitle(_("Wait a moment"))
        self.setWindowModality(Qt.WindowModality.ApplicationModal)
        self._ends = ends
        self.cancel = button(look, "cancel", _("Cancel"))
        self.cancel.clicked.connect(self.reject)
        self.cancel.setVisible(ends)
        text = named(label(look, words, "body"), "words")
        text.setWordWrap(True)
        bar = QProgressBar()
        bar.setRange(0, 0)
        bar.setTextVisible(False)
        bar.setAccessibleName(words)
        column = QVBoxLayout(self)
        column.addWidget(text)
        column.addWidget(bar)
        foot = row(None, self.cancel)
        foot.setContentsMargins(0, 0, 0, 0)
        column.addLayout(foot)
        self.setFixedWidth(look.px(380))

    def reject(self) -> None:
        """Cancel the task, unless it has to finish."""
        if self._ends:
            self.given_up.emit()

    def end(self) -> None:
        """Close the dialog."""
        self.hide()
        self.deleteLater()
