"""Opens the window: on the demo, or on the job file named."""

import sys
from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication

from workbook.app.look import Look
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.problems import JobError
from workbook.tasks.demo import demo_job
from workbook.tasks.load import load_job


def main(arguments: Sequence[str]) -> int:
    """Runs the window until it is closed. Returns the exit code; 1 when the job file named cannot be opened."""
    try:
        loaded = load_job(Path(arguments[0])) if arguments else demo_job()
    except JobError as trouble:
        print("\n".join(trouble.lines()), file=sys.stderr)
        return 1
    application = QApplication.instance() or QApplication(["makers-workbook"])
    assert isinstance(application, QApplication)
    application.setApplicationName("Maker's Workbook")
    application.setStyle("Fusion")
    window = Window(Workspace(loaded, Look(theme=system_theme())))
    window.resize(1440, 900)
    window.show()
    return application.exec()


def system_theme() -> str:
    """Light or dark, as the system has it."""
    dark = QGuiApplication.styleHints().colorScheme() is Qt.ColorScheme.Dark
    return "dark" if dark else "light"
