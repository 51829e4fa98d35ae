"""Opens the window: on the workbook or job file named, where work was left, or at a first start on the demo."""

import sys
from collections.abc import Sequence
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication

from workbook.app.haste import have_time
from workbook.app.kept import report, window_state
from workbook.app.look import Look
from workbook.app.refusal import refused
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.problems import JobError
from workbook.storage.session import Session
from workbook.storage.trouble import InUse, StorageTrouble
from workbook.tasks.load import load_strange_job
from workbook.tasks.work import in_use, is_workbook, work_at, work_in, work_left, work_on

_SETTLED = 1500  # ms after which everything the start brings is there
_ARGUMENTS = ["makers-workbook", "-style", "fusion"]  # setStyle would hand back the style, and Python make all its classes


def main(arguments: Sequence[str]) -> int:
    """Runs the window until it is closed. Returns the exit code; 1 when the file named cannot be opened."""
    try:
        if not arguments and _raised(in_use()):
            return 0
        session = _work(Path(arguments[0])) if arguments else work_left() or _first_work()
    except InUse as trouble:
        if trouble.file is not None and _raised([trouble.file]):
            return 0
        return refused(str(trouble))
    except JobError as trouble:
        return refused("\n".join(trouble.lines()))
    except StorageTrouble as trouble:
        return refused(str(trouble))
    application = QApplication.instance() or QApplication(_ARGUMENTS)
    assert isinstance(application, QApplication)
    application.setApplicationName("Maker's Workbook")
    state = window_state()
    window = Window(Workspace(session, Look(theme=state.theme or system_theme(), text=state.text, screen=state.screen)))
    window.system_theme = system_theme()
    window.resize(state.width, state.height)
    window.show_page(state.page)
    sys.excepthook = lambda kind, trouble, trace: _crashed(window, kind, trouble, trace)
    window.show()
    QTimer.singleShot(_SETTLED, have_time)
    return application.exec()


def _first_work() -> Session:
    """The demo, at a first start."""
    from workbook.tasks.demo import demo_document

    return work_in(demo_document())


def _raised(works: Sequence[Path]) -> bool:
    """Whether a window that has one of these pieces of work open was there, and came to the front."""
    if not works:
        return False
    from workbook.app.calling import call  # brings Qt's network part

    return any(call(work) for work in works)


def _crashed(window: Window, kind: type[BaseException], trouble: BaseException, trace: TracebackType | None) -> None:
    """A fault of ours: reported on this computer only; what was acknowledged is kept, and the maker may go on."""
    sys.__excepthook__(kind, trouble, trace)
    if issubclass(kind, KeyboardInterrupt):
        return
    file = report(kind, trouble, trace)
    where = f"A report was written to {file}; it is sent nowhere." if file else "No report could be written."
    told = StorageTrouble("Something went wrong in the program itself.", f"Your work is kept. {where}")
    window.say_storage("A fault in the program", told)


def _work(path: Path) -> Session:
    """Work on a workbook, or on a new one from a job file."""
    return work_at(path) if is_workbook(path) else work_on(load_strange_job(path).job)


def system_theme() -> str:
    """Light or dark, as the system has it."""
    dark = QGuiApplication.styleHints().colorScheme() is Qt.ColorScheme.Dark
    return "dark" if dark else "light"
