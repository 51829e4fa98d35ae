"""Threads beside the window."""

import sys
from collections.abc import Callable
from threading import Thread

_TURN = 0.0001  # s, of Python's threads; 0.005 by itself


def begun(work: Callable[[], object], name: str) -> Thread:
    """A thread that does something, and is not waited for at the end of the program.

    It gives way to the window fifty times as soon as Python's threads do by themselves: the window asks for its turn at every
    call of Qt that lets go of Python, and so hundreds of times for one picture.
    """
    sys.setswitchinterval(_TURN)
    thread = Thread(target=work, daemon=True, name=name)
    thread.start()
    return thread
