"""Threads beside the window."""

from collections.abc import Callable
from threading import Thread


def begun(work: Callable[[], object], name: str) -> Thread:
    """A thread that does something, and is not waited for at the end of the program."""
    thread = Thread(target=work, daemon=True, name=name)
    thread.start()
    return thread
