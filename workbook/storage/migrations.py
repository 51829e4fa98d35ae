"""What older files and sessions need to be read by today's program: one function from each version to the next.

A kind of record or a field that only came needs no work (it takes its default), but a version: an older program then says
that the file is newer than itself. What was renamed, split or moved needs a function that does it. A session holds the same
values and goes through the same functions.
A file and a session of every version that was ever released stand in tests/samples and are opened by a test.
"""

from collections.abc import Callable
from typing import Any

from workbook.storage.patch import difference


def _came_only(value: Any) -> Any:
    """Something came, with a default."""
    return value


def _steps_hold_what_changed(value: Any) -> Any:
    """Steps had each record twice, and a sentence; a workbook was known by its file only. Pictures came."""
    if not isinstance(value, dict) or set(value) != {"records", "history", "done"} or not isinstance(value["history"], list):
        return value  # no workbook's content, which its reader says
    history = [_leaner(row) for row in value["history"]]
    return {**value, "history": history, "gone": 0, "book": "", "attachments": []}


def _leaner(row: Any) -> Any:
    if not isinstance(row, list) or len(row) != 3 or not isinstance(row[2], list):
        return row
    return [row[0], row[1], [_entry(change) for change in row[2]]]


def _entry(change: Any) -> Any:
    match change:
        case [str(id_), {"kind": was, "record": before}, {"kind": now, "record": after}] if was == now:
            return [id_, difference(before, after)]
        case _:
            return change


VERSION = 9
STEPS: dict[int, Callable[[Any], Any]] = {  # from a version to the next
    1: _came_only,  # materials, tools, kept layouts; paper, printer, steps and usual prices in the settings
    2: _came_only,  # bevels held by angle, bulge, swedge; readings along a bar and its bow; quench, heat, jig and stone
    3: _came_only,  # a gauge's steps; other printers with their margins and rolls; services that cut
    4: _came_only,  # customers, orders, movements of stock, pieces cut; charges; more of bars, materials and order lines
    5: _came_only,  # free points of outlines
    6: _steps_hold_what_changed,
    7: _came_only,  # the bar a template's blades are made of; the bar a piece was cut from, as it was read then
    8: _came_only,  # the batch an order is made in
}


def migrated(value: Any, version: int) -> Any:
    """A body's JSON value of an older version as today's."""
    for number in range(version, VERSION):
        value = STEPS[number](value)
    return value
