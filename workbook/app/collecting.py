"""Collect garbage on the window's thread only: Python collects in whichever thread allocates, and Qt objects must be destroyed
in the window's thread.
"""

import gc

from PySide6.QtCore import QObject, QTimer

_PAUSE = 500  # ms
_MANY = 200_000  # objects; so many new ones at once are a document, which need not be scanned again each time


class Collecting(QObject):
    """Collects garbage at intervals, in place of Python."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        gc.disable()
        timer = QTimer(self)
        timer.setInterval(_PAUSE)
        timer.timeout.connect(collect)
        timer.start()


def collect() -> None:
    """Collect the generations that are past Python's thresholds."""
    count, most = gc.get_count(), gc.get_threshold()
    if count[0] > _MANY:
        gc.freeze()
    elif count[0] > most[0]:
        gc.collect(2 if count[2] > most[2] and count[1] > most[1] else 1 if count[1] > most[1] else 0)
