"""Why there is no window, said before there is one."""

import sys

from workbook.system.names import shown


def refused(why: str) -> int:
    """Says it where the program was started and on the screen. Returns the exit code."""
    from PySide6.QtWidgets import QApplication

    from workbook.app.plain import message_box

    print(shown(why), file=sys.stderr)
    application = QApplication.instance() or QApplication(["makers-workbook"])
    message_box(None, "Maker's Workbook", shown(why)[:2000]).exec()
    del application
    return 1
