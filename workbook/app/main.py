"""Open the window on the file named, on the last work, or at a first start on the demo."""

import sys
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QGuiApplication, QIcon
from PySide6.QtWidgets import QApplication

from workbook import texts
from workbook.app import start_order
from workbook.app.faster_start import have_time
from workbook.app.kept import fitting, report, window_state
from workbook.app.look import Look
from workbook.app.pages.table import NAMES
from workbook.app.refusal import refused
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.document.making import batches
from workbook.later import modules
from workbook.paths import resource
from workbook.problems import JobError
from workbook.storage.session import Session
from workbook.storage.trouble import InUse, StorageTrouble
from workbook.tasks.load import load_strange_job
from workbook.tasks.recent import Used
from workbook.tasks.starting import NotOpened, Start, one_at_a_time, opening_ended, start_usual, without
from workbook.tasks.work import in_use, is_workbook, work_at, work_on
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app import asked_files, calling, collecting, contrast, language, region, warming
else:
    asked_files, calling, collecting, contrast, language, region, warming = modules(
        "app.asked_files", "app.calling", "app.collecting", "app.contrast", "app.language", "app.region", "app.warming"
    )

_ARGUMENTS = ["makers-workbook", "-style", "fusion"]  # setStyle would return the style, and make Python build all its classes


def main(arguments: Sequence[str]) -> int:
    """Run the window until it is closed. Return the exit code: 1 when the file named cannot be opened."""
    turn = one_at_a_time()
    try:
        if not arguments and _raised(in_use()):
            return 0
        start = Start(_work(Path(arguments[0]))) if arguments else start_usual(lambda: region.own_book())
    except InUse as trouble:
        if trouble.file is not None and _raised([trouble.file]):
            return 0
        if arguments:
            return refused(str(trouble))
        start = Start(
            region.own_book(),
            NotOpened(Used(), _("Your last work"), _("{trouble} That window does not answer.", trouble=trouble)),
        )
    except JobError as trouble:
        return refused("\n".join(trouble.lines()))
    except StorageTrouble as trouble:
        return refused(str(trouble))
    application = QApplication.instance() or QApplication(_ARGUMENTS)
    assert isinstance(application, QApplication)
    application.setApplicationName("Maker's Workbook")
    application.setDesktopFileName("makers-workbook")
    application.setWindowIcon(QIcon(str(resource("program", "makers-workbook.svg"))))
    if texts.language():
        language.translate_qt(application)
    window, start = _shown(start)
    sys.excepthook = lambda kind, trouble, trace: _crashed(window, kind, trouble, trace)
    if sys.platform == "darwin":
        application.installEventFilter(asked_files.AskedFiles(window, lambda path: window.filing.open_file(path)))
    window.show()
    window.filing.remember()
    window.listening.connect(turn.leave if turn else opening_ended)
    QTimer.singleShot(start_order.SETTLED, window, lambda: _settled(window, start))
    code = application.exec()
    opening_ended()
    return code


def _shown(start: Start) -> tuple[Window, Start]:
    """Build the window on the work; on an empty workbook, with a message, if the work cannot be shown."""
    try:
        return _window(start.session), start
    except Exception as trouble:  # noqa: BLE001  # the program starts with any workbook
        file = report(type(trouble), trouble, trouble.__traceback__)
        reason = [_("The program cannot show its contents.")]
        reason += [_("A report was written to {file}.", file=file)] if file else []
        other = without(start.session, " ".join(reason))
        return _window(other.session), other


def _window(session: Session) -> Window:
    state = window_state()
    asked = contrast.Contrast()
    look = Look(theme=state.theme or system_theme(), text=state.text, screen=state.screen, strong=asked.strong)
    window = Window(Workspace(session, look))
    window.system_theme = system_theme()
    asked.follow(window)
    window.resize(fitting(window, state.width, state.height))
    if batches(session.document) and not session.document.settings.sample:
        window.show_page("today")
    elif state.page in NAMES:
        window.show_page(state.page)
    return window


def _settled(window: Window, start: Start) -> None:
    """Finish the start once the window is shown."""

    have_time()
    application = QApplication.instance()
    assert application is not None
    collecting.Collecting(application)
    opening_ended()
    say_start(window, start)
    warming.Warming(window).begin()


def say_start(window: Window, start: Start) -> None:
    """Say which work could not be opened at the start, and offer a cure."""
    failure = start.not_opened
    if failure is not None:
        trouble = StorageTrouble(failure.why, _("It is kept as it is. This is an empty shop book."))
        entry = failure.used
        again: Callable[[], object] | None = None
        if entry.path is not None:
            again = partial(window.filing.open_file, entry.path)
        elif entry.session is not None:
            again = partial(window.filing.open_left, entry.session)
        cures = ((_("Open it"), again),) if again is not None else ()
        window.say_storage(
            _("{name} was not opened", name=failure.name),
            trouble,
            (*cures, (_("Restore a backup…"), window.filing.ask_for_backup)),
        )
    elif start.unreadable:
        window.workspace.said.emit(_("Some work cannot be read. It is kept: see File, Open recent."))


def _raised(works: Sequence[Path]) -> bool:
    """Whether another window has one of these pieces of work open and was raised."""
    if not works:
        return False

    return any(calling.call(work) for work in works)


def _crashed(window: Window, kind: type[BaseException], trouble: BaseException, trace: TracebackType | None) -> None:
    """Report a fault in the program on this computer only. Kept work is safe, and the maker may go on."""
    sys.__excepthook__(kind, trouble, trace)
    if issubclass(kind, KeyboardInterrupt):
        return
    file = report(kind, trouble, trace)
    report_words = (
        _("A report was written to {file}. It is not sent anywhere.", file=file) if file else _("No report could be written.")
    )
    message = StorageTrouble(_("Something went wrong in the program."), _("Your work is safe. {where}", where=report_words))
    window.say_storage(_("Program error"), message)


def _work(path: Path) -> Session:
    """Open a workbook, or start a new one from a job file."""
    return work_at(path) if is_workbook(path) else work_on(load_strange_job(path).job)


def system_theme() -> str:
    """The system's theme: "light" or "dark"."""
    dark = QGuiApplication.styleHints().colorScheme() is Qt.ColorScheme.Dark
    return "dark" if dark else "light"
