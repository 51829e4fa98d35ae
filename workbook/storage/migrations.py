"""What older files need to be read by today's program: one function from each version to the next.

A kind of record or a field that only came needs no work (it takes its default), but a version: an older program then says
that the file is newer than itself. What was renamed, split or moved needs a function that does it.
A file of every version that was ever released stands in tests/samples and is opened by a test.
"""

from collections.abc import Callable
from typing import Any


def _came_only(value: Any) -> Any:
    """Something came, with a default."""
    return value


VERSION = 6
STEPS: dict[int, Callable[[Any], Any]] = {  # from a version to the next
    1: _came_only,  # materials, tools, kept layouts; paper, printer, steps and usual prices in the settings
    2: _came_only,  # bevels held by angle, bulge, swedge; readings along a bar and its bow; quench, heat, jig and stone
    3: _came_only,  # a gauge's steps; other printers with their margins and rolls; services that cut
    4: _came_only,  # customers, orders, movements of stock, pieces cut; charges; more of bars, materials and order lines
    5: _came_only,  # free points of outlines
}


def migrated(value: Any, version: int) -> Any:
    """A body's JSON value of an older version as today's."""
    for number in range(version, VERSION):
        value = STEPS[number](value)
    return value
