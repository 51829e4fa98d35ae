"""The program in its real window, which tells a test where a thing is on the screen. Hands are real: the test moves the mouse.

Run as a program: it reads a question a line (JSON) and writes where the thing is, or null: {"name": an object's name},
{"text": of a button}, {"menu": of an entry of an open menu}, {"cell": of a row of a list or table}, {"peg": of the board}.
"""

import json
import sys
import threading
from queue import Empty, SimpleQueue

from PySide6.QtCore import QPoint, QTimer
from PySide6.QtWidgets import QAbstractButton, QAbstractItemView, QApplication, QMenu, QWidget

from workbook.app.canvas.board import Board
from workbook.app.elements.checks import ChecksStrip
from workbook.app.main import _ARGUMENTS, main

MARK = "seen "  # before each answer
_TICK = 20  # ms
_BOX = 10  # px from the left of a row to its check box


def _visible(kind):
    """The widgets of a kind that can be clicked now: of an open menu or dialog if there is one."""
    over = QApplication.activePopupWidget() or QApplication.activeModalWidget()
    shown = [widget for widget in QApplication.allWidgets() if isinstance(widget, kind) and widget.isVisible()]
    return [widget for widget in shown if over is None or widget is over or over.isAncestorOf(widget)]


def _middle(widget, at=None):
    point = widget.mapToGlobal(at if at is not None else widget.rect().center())
    return [point.x(), point.y()]


def _plain(words):
    return words.replace("&&", "\0").replace("&", "").replace("\0", "&")


def _named(words):
    for widget in _visible(QWidget):
        if words in (widget.objectName(), widget.property("action")) and widget.isEnabled():
            yield _middle(widget)


def _button(words):
    for button in _visible(QAbstractButton):
        if _plain(button.text()) == words and button.isEnabled():
            yield _middle(button)


def _entry(words):
    for menu in _visible(QMenu):
        for action in menu.actions():
            if _plain(action.text()) == words and action.isEnabled():
                yield _middle(menu, menu.actionGeometry(action).center())


def _cell(words):
    for view in _visible(QAbstractItemView):
        model = view.model()
        for row in range(model.rowCount()) if model is not None else ():
            index = model.index(row, 0)
            if str(index.data()) == words and view.visualRect(index).isValid():
                rect = view.visualRect(index)
                yield _middle(view.viewport(), QPoint(rect.left() + _BOX, rect.center().y()))


def _peg(words):
    """A peg or a hole of the board on Draw."""
    for board in _visible(Board):
        for peg in board.scene.pegs if board.scene is not None else ():
            if peg.name == words:
                yield _middle(board, board._seen_at(peg).toPoint())


def _chip(words):
    """The first problem of the strip of checks, whatever it says."""
    for strip in _visible(ChecksStrip):
        yield _middle(strip, QPoint(40, strip.height() // 2))


def _picture(path):
    """The windows as they are, as files whose names begin so: for a journey that cannot go on."""
    for number, window in enumerate(widget for widget in QApplication.topLevelWidgets() if widget.isVisible()):
        window.grab().save(f"{path}-{number}.png")
    yield f"{path}-0.png"


_WAYS = {"picture": _picture, "chip": _chip, "name": _named, "text": _button, "menu": _entry, "cell": _cell, "peg": _peg}


def seen(question):
    """Where the thing asked for is: x and y on the screen; None where it is not to be seen."""
    ((way, words),) = question.items()
    return next(_WAYS[way](words), None)


def _listen(questions: SimpleQueue) -> None:
    for line in sys.stdin:
        questions.put(line)


def run() -> int:
    """Run the program; answer questions until it is closed."""
    application = QApplication(_ARGUMENTS)
    questions: SimpleQueue = SimpleQueue()
    threading.Thread(target=_listen, args=(questions,), daemon=True).start()

    def answer() -> None:
        try:
            question = json.loads(questions.get_nowait())
        except Empty:
            return
        print(f"{MARK}{json.dumps(seen(question))}", flush=True)

    timer = QTimer(application)
    timer.timeout.connect(answer)
    timer.start(_TICK)
    return main([])


if __name__ == "__main__":
    sys.exit(run())
