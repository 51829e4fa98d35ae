"""Opens the window: on the workbook or job file named, where work was left, or at a first start on the demo."""

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
from workbook.storage.session import Session
from workbook.storage.trouble import StorageTrouble
from workbook.tasks.demo import demo_job
from workbook.tasks.load import load_job
from workbook.tasks.work import is_workbook, work_at, work_left, work_on


def main(arguments: Sequence[str]) -> int:
    """Runs the window until it is closed. Returns the exit code; 1 when the file named cannot be opened."""
    try:
        session = _work(Path(arguments[0])) if arguments else work_left() or work_on(demo_job().job)
    except JobError as trouble:
        print("\n".join(trouble.lines()), file=sys.stderr)
        return 1
    except StorageTrouble as trouble:
        print(trouble, file=sys.stderr)
        return 1
    application = QApplication.instance() or QApplication(["makers-workbook"])
    assert isinstance(application, QApplication)
    application.setApplicationName("Maker's Workbook")
    application.setStyle("Fusion")
    window = Window(Workspace(session, Look(theme=system_theme())))
    window.resize(1440, 900)
    window.show()
    return application.exec()


def _work(path: Path) -> Session:
    """Work on a workbook, or on a new one from a job file."""
    return work_at(path) if is_workbook(path) else work_on(load_job(path).job)


def system_theme() -> str:
    """Light or dark, as the system has it."""
    dark = QGuiApplication.styleHints().colorScheme() is Qt.ColorScheme.Dark
    return "dark" if dark else "light"
