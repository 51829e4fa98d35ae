"""Threads beside the window. While one works nothing is collected: a collection walks all there is and holds every thread.

What cycles there are then stay: they are few, and what holds them goes with the program.
"""

import gc
from collections.abc import Callable
from threading import Lock, Thread

_turn = Lock()
_working = 0  # threads


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
    """Collects again when the last one has done, but nothing of what they made."""
    global _working  # there is one collector
    with _turn:
        _working += by
        if _working:
            gc.disable()
        else:
            gc.freeze()
            gc.enable()
