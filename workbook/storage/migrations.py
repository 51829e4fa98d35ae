"""Migrations of older files and sessions: a function from one version to the next, where one is needed.

A new kind of record or a new field needs no function (it takes its default), only a version, which its row gives (`since`): an
older program then reports that the file is newer than itself. A rename, split or move needs a function. A session holds the
same values and uses the same functions.
A file and a session of every version ever released are in tests/samples and are opened by a test.
"""

from collections.abc import Callable
from typing import Any

from workbook.document.fields import FIELDS
from workbook.storage.patch import difference

_BEFORE_ROWS_TOLD = 9


def _steps_hold_what_changed(value: Any) -> Any:
    """Replace the two whole records in each step by their difference; add the workbook's identity and the list of pictures."""
    if not isinstance(value, dict) or set(value) != {"records", "history", "done"} or not isinstance(value["history"], list):
        return value  # not a workbook's content, which its reader reports
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


VERSION = max(_BEFORE_ROWS_TOLD, *(row.since for table in FIELDS.values() for row in table))
# Added in version 2: materials, tools, kept layouts, paper, printer, steps, usual prices; 3: bevels by angle, bulge, swedge,
# readings along a bar, quench, heat, jig, stone; 4: a gauge's steps, other printers, services that cut; 5: customers, orders,
# movements, pieces, charges; 6: free points; 8: the bar a blade is made of and a piece was cut from; 9: the batch of an order;
# 10: what holes are measured from; 11: families of the maker's own, fittings, the shop's contact, the unit and
# layers of a service; 12: sheaths, batches, entries, loads, the tank; 13: what was read of a load besides, own
# recipes; 14: the region whose way dates and amounts are written in;
# 15: the hours of the shop, how warm it is, a stage's equipment, payments,
# deliveries, sales, invoices, expenses; 16: the saw's feed, the least width of an offcut.
STEPS: dict[int, Callable[[Any], Any]] = {6: _steps_hold_what_changed}  # from a version to the next


def migrated(value: Any, version: int) -> Any:
    """Convert a body's JSON value from an older version to the current one."""
    for number in range(version, VERSION):
        value = STEPS[number](value) if number in STEPS else value
    return value
