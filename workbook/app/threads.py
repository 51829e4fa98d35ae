"""Threads beside the window. While one works nothing is collected: a collection walks all there is and holds every thread.

What very many objects were made of, as twenty thousand bars, is not walked afterwards either: that would take half a second.
"""

import gc
from collections.abc import Callable
from threading import Lock, Thread

_turn = Lock()
_working = 0  # threads
_MANY = 200_000  # objects


def begun(work: Callable[[], object], name: str) -> Thread:
    """A thread that does something, and is not waited for at the end of the program."""
    thread = Thread(target=_uncollected, args=(work,), daemon=True, name=name)
    thread.start()
    return thread


def _uncollected(work: Callable[[], object]) -> None:
    _count(1)
    try:
        work()
    finally:
        _count(-1)


def _count(by: int) -> None:
    """Collects again when the last one has done."""
    global _working  # there is one collector
    with _turn:
        _working += by
        if _working:
            gc.disable()
        else:
            if gc.get_count()[0] > _MANY:
                gc.freeze()
            gc.enable()
