"""How often is tried what can be tried any number of times: a few for every change, all of them before a release.

`packaging/start.py test --full` sets the variable.
"""

import os
from collections.abc import Sequence
from typing import Any

FULL = "MAKERS_WORKBOOK_FULL_TESTS" in os.environ


def tries(few: int, full: int) -> int:
    """How many to try now."""
    return full if FULL else few


def some(of: Sequence[Any], few: int) -> Sequence[Any]:
    """All of them at full; else a few, from the first to the last."""
    if FULL or few >= len(of):
        return of
    return [of[n * (len(of) - 1) // max(few - 1, 1)] for n in range(few)]
