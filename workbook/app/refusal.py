"""Say why the program cannot start, before there is a window."""

import sys

from PySide6 import QtWidgets

from workbook.app.plain import message_box
from workbook.system.names import shown


def refused(reason: str) -> int:
    """Show the reason on stderr and on the screen. Return the exit code."""
    print(shown(reason), file=sys.stderr)
    application = QtWidgets.QApplication.instance() or QtWidgets.QApplication(["makers-workbook"])
    message_box(None, "Maker's Workbook", shown(reason)[:2000]).exec()
    del application
    return 1
