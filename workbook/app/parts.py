"""The parts of a window that menus call."""

from typing import NamedTuple

from workbook.app.bringing import Bringing
from workbook.app.filing import Filing
from workbook.app.printing import Printing


class Parts(NamedTuple):
    """What opens and saves, what brings files in, what prints and writes."""

    filing: Filing
    bringing: Bringing
    printing: Printing
