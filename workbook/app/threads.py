"""Threads beside the window."""

import sys
from collections.abc import Callable
from threading import Thread

_TURN = 0.0001  # s between switches of Python's threads; the default is 0.005


def begun(work: Callable[[], object], name: str) -> Thread:
    """Start a daemon thread, which does not delay the end of the program.

    It gives way to the window fifty times sooner than by Python's default: the window waits for its turn at every Qt call that
    releases Python's lock, hundreds of times for one picture.
    """
    sys.setswitchinterval(_TURN)
    thread = Thread(target=work, daemon=True, name=name)
    thread.start()
    return thread
