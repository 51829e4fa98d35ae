"""Why there is no window, said before there is one."""

import sys

from PySide6 import QtWidgets

from workbook.app.plain import message_box
from workbook.system.names import shown


def refused(why: str) -> int:
    """Says it where the program was started and on the screen. Returns the exit code."""
    print(shown(why), file=sys.stderr)
    application = QtWidgets.QApplication.instance() or QtWidgets.QApplication(["makers-workbook"])
    message_box(None, "Maker's Workbook", shown(why)[:2000]).exec()
    del application
    return 1
