"""What older files need to be read by today's program: one function from each version to the next.

A field that only came to a record needs none (it takes its default); what was renamed, split or moved does.
A file of every version that was ever released stands in tests/samples and is opened by a test.
"""

from collections.abc import Callable
from typing import Any

VERSION = 1
STEPS: dict[int, Callable[[Any], Any]] = {}  # from a version to the next


def migrated(value: Any, version: int) -> Any:
    """A body's JSON value of an older version as today's."""
    for number in range(version, VERSION):
        value = STEPS[number](value)
    return value
