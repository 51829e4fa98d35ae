"""Garbage is collected on the window's thread alone: Python collects in whichever thread makes an object, and what belongs to Qt
must not end in any but its own.
"""

import gc

from PySide6.QtCore import QObject, QTimer

_PAUSE = 500  # ms
_MANY = 200_000  # objects; so many at once are a document's, and are not walked again at every turn


class Collecting(QObject):
    """Collects now and then, in place of Python."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        gc.disable()
        timer = QTimer(self)
        timer.setInterval(_PAUSE)
        timer.timeout.connect(collect)
        timer.start()


def collect() -> None:
    """Collects what Python would have collected by now."""
    count, most = gc.get_count(), gc.get_threshold()
    if count[0] > _MANY:
        gc.freeze()
    elif count[0] > most[0]:
        gc.collect(2 if count[2] > most[2] and count[1] > most[1] else 1 if count[1] > most[1] else 0)
