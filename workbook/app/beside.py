"""What takes long is done beside the window: in a thread, with what it is and Cancel before the maker if it is not over at once.

What comes of it is handed over on the window's thread. While it is shown the maker does nothing else here, so that it still
fits the work it was asked for; one who asks again before that gives up what he asked for first.
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

_AT_ONCE = 300  # ms after which it is shown
_Made = TypeVar("_Made")
Found = Callable[[], _Made]  # returns what was made, or raises what went wrong


class _Errand(Generic[_Made]):
    """One thing that is done, and what came of it."""

    def __init__(self, words: str, work: Callable[[], _Made], then: Callable[[Found[_Made]], None]) -> None:
        self.words, self.work, self.then = words, work, then
        self.drop: Callable[[_Made], object] | None = None
        self.back: Callable[[], object] | None = None
        self.given_up, self.last = Event(), False
        self.made: list[_Made] = []
        self.wrong: Exception | None = None

    def run(self) -> None:
        """Does it, whatever comes of it."""
        try:
            with given_up_by(self.given_up):
                self.made.append(self.work())
        except Exception as trouble:  # noqa: BLE001  # who asked is told of it
            self.wrong = trouble

    def found(self) -> _Made:
        """What was made; raises what went wrong."""
        if self.wrong is not None:
            raise self.wrong
        return self.made[0]

    def let_go(self) -> None:
        """What was made is not wanted any more."""
        while self.made:
            made = self.made.pop()
            if self.drop is not None:
                self.drop(made)


class Beside(QObject):
    """Does one thing at a time for one window."""

    _ended = Signal(object)  # an errand

    def __init__(self, window: QMainWindow, look: Callable[[], Look]) -> None:
        super().__init__(window)
        self._window, self._look = window, look
        self._errand: _Errand[Any] | None = None
        self._shown: WaitingDialog | None = None
        self._ended.connect(self._hand_over)

    @property
    def busy(self) -> bool:
        """Whether something is under way."""
        return self._errand is not None

    def do(
        self,
        words: str,
        work: Callable[[], _Made],
        then: Callable[[Found[_Made]], None],
        drop: Callable[[_Made], object] | None = None,
        back: Callable[[], object] | None = None,
    ) -> None:
        """Does `work` in a thread and hands a function over to `then`, which returns what it made or raises what it raised.

        Given up, it is not handed over; what it made all the same goes to `drop`, and `back` puts back what was done
        before. `words`: what is done, with the file's name.
        """
        errand = _Errand(words, work, then)
        errand.drop, errand.back = drop, back
        self._begin(errand)

    def finish(self, words: str, work: Callable[[], _Made], then: Callable[[Found[_Made]], None]) -> None:
        """The same of what changes the work or a file, and is not given up half-way."""
        errand = _Errand(words, work, then)
        errand.last = True
        self._begin(errand)

    def give_up(self) -> None:
        """What is under way is not wanted any more."""
        errand = self._errand
        if errand is not None and not errand.last:
            self._errand = None
            self._hide()
            errand.given_up.set()
            if errand.back is not None:
                errand.back()

    def _begin(self, errand: _Errand[Any]) -> None:
        self.give_up()
        if self._errand is not None:  # what is not given up is over first
            QTimer.singleShot(_AT_ONCE, self, lambda: self._begin(errand))
            return
        self._errand = errand
        begun(lambda: self._run(errand), "beside")
        if errand.last:
            self._show(errand)  # at once: until it is over nobody changes anything else
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
        shown, self._shown = self._shown, None
        if shown is not None:
            active = shown.isActiveWindow()
            shown.end()
            if active:
                self._window.activateWindow()


class WaitingDialog(QDialog):
    """What is done, and Cancel where it can be given up."""

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
        said = named(label(look, words, "body"), "words")
        said.setWordWrap(True)
        bar = QProgressBar()
        bar.setRange(0, 0)
        bar.setTextVisible(False)
        bar.setAccessibleName(words)
        column = QVBoxLayout(self)
        column.addWidget(said)
        column.addWidget(bar)
        foot = row(None, self.cancel)
        foot.setContentsMargins(0, 0, 0, 0)
        column.addLayout(foot)
        self.setFixedWidth(look.px(380))

    def reject(self) -> None:
        """Gives up, unless it has to be finished."""
        if self._ends:
            self.given_up.emit()

    def end(self) -> None:
        """It is over."""
        self.hide()
        self.deleteLater()
