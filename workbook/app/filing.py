"""The workbook and its file: new, open, save, and the file brought up to date by itself."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QFileDialog, QMessageBox

from workbook.app.asking import ask_where, may_replace
from workbook.app.kept import keep_lines_typed
from workbook.app.plain import message_box
from workbook.app.widgets.text_field import end_entries
from workbook.formats.drawing_in import is_outline
from workbook.problems import JobError
from workbook.storage.file import SUFFIX
from workbook.storage.left import Unreadable
from workbook.storage.opening import restored
from workbook.storage.session import Session
from workbook.storage.trouble import ChangedElsewhere, InUse, StorageTrouble
from workbook.system.names import shown
from workbook.tasks.load import load_strange_job
from workbook.tasks.recent import remember, sessions_folder
from workbook.tasks.work import (
    gone_on_with,
    is_workbook,
    saved_as,
    seen_at,
    stamp,
    work_afresh,
    work_at,
    work_on,
    work_on_copy,
)
from workbook.tasks.write import file_name, in_the_way, write_all

if TYPE_CHECKING:
    from workbook.app.page_words import Cure
    from workbook.app.proving import Proving
    from workbook.app.window import Window

_IDLE = 2000  # ms after the last change: the file is brought up to date
_WORKBOOKS = f"Workbooks (*{SUFFIX})"


class Filing(QObject):
    """Opens and saves for one window."""

    def __init__(self, window: Window) -> None:
        super().__init__()
        self._window = window
        self._ended = False
        self._proving: Proving | None = None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_IDLE)
        self._timer.timeout.connect(self.publish)
        application = QGuiApplication.instance()
        if isinstance(application, QGuiApplication):  # not the window's changeEvent: Qt calls that while it dies
            application.applicationStateChanged.connect(self._turned)

    @property
    def _session(self) -> Session:
        return self._window.workspace.session

    def _turned(self, state: Qt.ApplicationState) -> None:
        """The maker turns to something else: the file is brought up to date."""
        if state is not Qt.ApplicationState.ApplicationActive and not self._ended:
            self.publish()

    def changed(self) -> None:
        """Something was done: the file follows when the maker pauses."""
        if not self._ended and self._session.path is not None and not self._session.saved:
            self._timer.start()

    def state(self) -> tuple[str, str]:
        """The two states in words: what is kept here, and what the file holds."""
        path = self._session.path
        if self._session.read_only:
            return "To look at only", "Save as makes a workbook of your own of it"
        if path is None:
            return "Kept on this computer", "No file yet: Save puts it where you like"
        return (
            "Kept on this computer",
            f"Saved to {shown(path.name)}" if self._session.saved else f"{shown(path.name)} follows in a moment",
        )

    def publish(self) -> bool:
        """Brings the file up to date now; work that someone else's change keeps out goes to a file of its own."""
        trouble = self._published()
        if trouble is not None:
            self._window.say_storage("The file could not be brought up to date", trouble)
        return trouble is None

    def _published(self) -> StorageTrouble | None:
        """The same; what keeps it from being done."""
        self._timer.stop()
        if self._session.path is None or self._session.saved:
            return None
        try:
            self._session.publish()
        except ChangedElsewhere as trouble:
            return self._beside(trouble)
        except StorageTrouble as trouble:
            return trouble
        self._written()
        return None

    def _written(self) -> None:
        """The file is written: one that is large is read back beside the window."""
        self._window.show_saved()
        if self._session.no_backup:
            self._window.workspace.said.emit(f"No backup could be kept: {self._session.no_backup}")
        if self._session.to_prove is None:
            return
        if self._proving is None:
            from workbook.app.proving import Proving

            self._proving = Proving()
            self._proving.proved.connect(self._proved)
            self._proving.failed.connect(self._not_proved)
        self._proving.begin(*self._session.to_prove)

    def _proved(self, digest: str) -> None:
        if not self._ended:
            self._session.proved(digest)
            if self._proving is not None and self._session.to_prove is not None:
                self._proving.begin(*self._session.to_prove)

    def _not_proved(self, name: str, why: str) -> None:
        if not self._ended:
            told = StorageTrouble(f"{name} was written and cannot be read back: {why}.", "The work is kept on this computer.")
            self._window.say_storage("The file cannot be opened again", told)

    def _beside(self, trouble: ChangedElsewhere) -> StorageTrouble | None:
        try:
            path = self._session.keep_both(stamp())
        except StorageTrouble as worse:
            return worse
        remember(path)
        told = StorageTrouble(trouble.what, f"Both are kept: yours is now {path.name}, in the same folder.")
        self._window.say_storage("Someone else has changed the file", told)
        self._written()
        return None

    def save(self) -> bool:
        """Saves to the workbook's file, or asks for one."""
        return self.save_as() if self._session.path is None or self._session.read_only else self.publish()

    def save_as(self) -> bool:
        """Asks for a name and saves there; the workbook has that file from then on."""
        name = file_name(self._session.document.settings.name, set())
        proposed = str(self._session.path or f"{name}{SUFFIX}")
        path = ask_where(self._window, "Save the workbook", proposed, _WORKBOOKS, SUFFIX)
        if path is None:
            return False
        try:
            session = saved_as(self._session, path)
        except StorageTrouble as trouble:
            self._window.say_storage("The workbook could not be saved", trouble)
            return False
        if session is not self._session:
            self._window.work_on(session)
        remember(path)
        self._written()
        return True

    def open(self) -> None:
        """Asks for a workbook or a job and opens it."""
        kinds = f"Workbooks and jobs (*{SUFFIX} *.toml)"
        chosen, _ = QFileDialog.getOpenFileName(self._window, "Open", "", kinds)
        if chosen:
            self.open_file(Path(chosen))

    def open_file(self, path: Path) -> None:
        """Opens a workbook, or begins one with a job; the present work stays where it is kept."""
        if path.absolute() == self._session.path and not self._session.read_only:
            self._window.workspace.said.emit(f"{shown(path.name)} is open here already.")
        elif is_outline(path):
            self._window.bringing.bring_in_outline(path)
        elif is_workbook(path):
            ways = (("Look at it", lambda: self.open_to_look(path)), ("Open a copy", lambda: self.open_copy(path)))
            self._take(f"{shown(path.name)} cannot be opened", lambda: work_at(path), ways)
        else:
            self._take(f"{shown(path.name)} cannot be opened", lambda: work_on(load_strange_job(path).job))

    def ask_to_look(self) -> None:
        """Asks for a workbook and opens it to look at."""
        chosen, _ = QFileDialog.getOpenFileName(self._window, "Look at a workbook", "", _WORKBOOKS)
        if chosen:
            self.open_to_look(Path(chosen))

    def open_left(self, file: Path) -> None:
        """Goes on with work that has no file, or whose file is gone."""
        self._take("The work cannot be gone on with", lambda: gone_on_with(file))

    def say_unreadable(self, one: Unreadable) -> None:
        """What is known of work that cannot be read."""
        told = StorageTrouble(f"Work of {one.day}: {one.why}", f"It is kept as {one.file}. File, Restore a backup has copies.")
        self._window.say_storage("This work cannot be read", told)

    def open_copy(self, path: Path) -> None:
        """A copy of a workbook that is open elsewhere, as a workbook without a file."""
        self._take(f"{shown(path.name)} cannot be opened", lambda: work_on_copy(path))
        self._window.workspace.said.emit(f"This is a copy of {shown(path.name)}; saving asks for a name of its own.")

    def open_to_look(self, path: Path) -> None:
        """A workbook as its file is now, to look at only."""
        self._take(f"{shown(path.name)} cannot be opened", lambda: seen_at(path))

    def new(self) -> None:
        """A new workbook with the same bars and settings and one template to begin with."""
        self._take("A new workbook cannot be begun", lambda: work_afresh(self._session.document))

    def _take(self, title: str, find: Callable[[], Session], ways: Sequence[Cure] = ()) -> None:
        """Takes on other work; `ways` are offered when it is open in another window."""
        end_entries(self._window)
        try:
            session = find()
        except InUse as trouble:
            self._window.say_storage(title, trouble, self._there(trouble, ways))
            return
        except JobError as trouble:
            self._window.say_trouble(title, trouble)
            return
        except StorageTrouble as trouble:
            self._window.say_storage(title, trouble)
            return
        self._take_on(session, title)

    def _take_on(self, session: Session, title: str) -> None:
        """Other work in the place of the present one, which stays where the other cannot be shown."""
        self.publish()
        before = self._session
        try:
            self._window.work_on(session)
        except Exception as trouble:  # noqa: BLE001  # whatever a file made of the pages: the work before is shown again
            from workbook.app.kept import report

            file = report(type(trouble), trouble, trouble.__traceback__)
            self._window.work_on(before)
            session.close()
            where = f"A report was written to {file}; it is sent nowhere." if file else "No report could be written."
            self._window.say_storage(title, StorageTrouble("The program cannot show what is in it.", where))
            return
        before.close()
        self.remember()

    def _there(self, trouble: InUse, ways: Sequence[Cure]) -> Sequence[Cure]:
        """The window that has it can be shown, if it can be reached."""
        file = trouble.file
        if file is None:
            return ways
        from workbook.app.calling import call

        return (("Show that window", lambda: call(file)), *ways)

    def export_job(self) -> None:
        """Writes the workbook as a job file, and the drawings it names beside it."""
        from workbook.tasks.job_files import job_files  # brings the writers

        name = file_name(self._session.document.settings.name, set())
        path = ask_where(self._window, "Save as a job file", f"{name}.toml", "Jobs (*.toml)", ".toml")
        if path is None:
            return
        files = job_files(self._window.workspace.loaded, path.name)
        beside = [one for one in in_the_way(path.parent, files) if one != path.name]
        if not may_replace(self._window, path.parent, beside):
            return
        try:
            write_all(path.parent, files, over={path.name, *beside})
        except JobError as trouble:
            self._window.say_trouble("The job file could not be written", trouble)
            return
        self._window.workspace.said.emit(f"Written: {shown(path)}")

    def remember(self) -> None:
        """This work is what was used last."""
        if not self._session.read_only:
            remember(self._session.path, self._session.file)

    def ask_for_backup(self) -> None:
        """Shows the copies that are kept; one chosen is opened as new work."""
        from workbook.app.widgets.backups import Backups
        from workbook.storage import backups

        copies = backups.kept(backups.folder_of(sessions_folder()))
        Backups(self._window, self._window.workspace.look, copies, self.restore).show()

    def restore(self, copy: Path) -> None:
        """Opens a kept copy as new work, without a file."""
        self._take("The backup cannot be opened", lambda: restored(sessions_folder(), copy))

    def may_end(self) -> bool:
        """Brings the file up to date before the window closes; where that cannot be, the maker is asked."""
        end_entries(self._window)
        trouble = None if self._ended else self._published()
        if trouble is None:
            return True
        more = f"{trouble} All work is kept on this computer and opens again at the next start."
        box = message_box(self._window, "Close", "The file could not be brought up to date", more)
        box.setStandardButtons(QMessageBox.StandardButton.NoButton)
        close = box.addButton("Close", QMessageBox.ButtonRole.DestructiveRole)
        elsewhere = box.addButton("Save to another place…", QMessageBox.ButtonRole.ActionRole)
        back = box.addButton("Go back", QMessageBox.ButtonRole.RejectRole)
        box.setDefaultButton(back)
        box.exec()
        return box.clickedButton() is close or (box.clickedButton() is elsewhere and self.save_as())

    def end(self) -> None:
        """The window closes: the file is brought up to date as far as can be, and the work let go."""
        if not self._ended:
            end_entries(self._window)
            keep_lines_typed(self._session.path or self._session.file, self._window.workspace.typed)
            self._published()
            self._session.close()
            self._ended = True
