"""How often is tried what can be tried any number of times: a few for every change, all of them before a release.

`packaging/start.py test --full` sets the variable.
"""

import os

FULL = "MAKERS_WORKBOOK_FULL_TESTS" in os.environ


def tries(few: int, full: int) -> int:
    """How many to try now."""
    return full if FULL else few
