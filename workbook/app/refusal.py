"""Why there is no window, said before there is one."""

import sys

from workbook.system.names import shown


def refused(why: str) -> int:
    """Says it where the program was started and on the screen. Returns the exit code."""
    from PySide6.QtCore import Qt
    from PySide6.QtWidgets import QApplication, QMessageBox

    print(shown(why), file=sys.stderr)
    application = QApplication.instance() or QApplication(["makers-workbook"])
    box = QMessageBox(QMessageBox.Icon.Warning, "Maker's Workbook", "", QMessageBox.StandardButton.Close)
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(shown(why)[:2000])
    box.exec()
    del application
    return 1
