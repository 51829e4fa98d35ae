"""Waits, as a maker does, until the window has done what it was asked."""

from tests.clock import settled, until


def at_rest(window, most=60.0):
    """Waits until nothing is read, opened, written or let go beside the window."""
    until(lambda: not window.beside.busy and not window.filing.busy, most)
    settled(0.01)
