"""The workbook and its file: create, open and save, and update the file automatically."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct
from PySide6.QtCore import QObject, Qt, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QFileDialog, QMessageBox

from workbook.app.asking import ask_where
from workbook.app.elements.text_field import end_entries
from workbook.app.kept import keep_lines_typed, report
from workbook.app.plain import message_box
from workbook.app.publishing import Published, Publishing, brought_up
from workbook.document.actions import whole
from workbook.document.queries import job_of
from workbook.document.records import SettingsRecord
from workbook.fields import NAME
from workbook.formats.drawing_in import is_outline
from workbook.later import modules
from workbook.model.model import Model
from workbook.problems import JobError
from workbook.storage import backups
from workbook.storage.file import SUFFIX
from workbook.storage.opening import restored
from workbook.storage.session import Session
from workbook.storage.trouble import InUse, StorageTrouble
from workbook.storage.unsaved import Unreadable
from workbook.structs import replace
from workbook.system.names import shown
from workbook.tasks.load import load_strange_job, shaped
from workbook.tasks.recent import remember, sessions_folder
from workbook.tasks.work import (
    gone_on_with,
    is_workbook,
    saved_as,
    seen_at,
    work_at,
    work_in,
    work_on,
    work_on_copy,
)
from workbook.tasks.write import file_name
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app import calling, proving, region
    from workbook.app.beside import Found
    from workbook.app.dialogs import backups as backups_dialog
    from workbook.app.frame import Frame
    from workbook.app.page_words import Cure
    from workbook.app.proving import Proving
    from workbook.tasks import demo
else:
    backups_dialog, calling, demo, proving, region = modules(
        "app.dialogs.backups", "app.calling", "tasks.demo", "app.proving", "app.region"
    )

_IDLE = 2000  # ms after the last change before the file is updated
_WORKBOOKS = _("Shop books (*{suffix})", suffix=SUFFIX)


class _OtherWork(Struct, frozen=True):
    """Other work, its model, and the result of updating the present work's file."""

    session: Session
    model: Model
    before: Published


class Filing(QObject):
    """Opens and saves for one window."""

    def __init__(self, window: Frame, bring_in_outline: Callable[[Path], None]) -> None:
        super().__init__()
        self._window, self._bring_in_outline = window, bring_in_outline
        self._ended = False
        self._proving: Proving | None = None
        self._publishing = Publishing()
        self._publishing.published.connect(self._published)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_IDLE)
        self._timer.timeout.connect(self.publish)
        application = QGuiApplication.instance()
        if isinstance(application, QGuiApplication):  # not the window's changeEvent, which Qt calls while destroying it
            application.applicationStateChanged.connect(self._turned)

    @property
    def _session(self) -> Session:
        return self._window.workspace.session

    @property
    def busy(self) -> bool:
        """Whether a file is being updated, or work closed."""
        return self._publishing.busy

    def _turned(self, state: Qt.ApplicationState) -> None:
        """Update the file when the maker switches to another program."""
        if state is not Qt.ApplicationState.ApplicationActive and not self._ended:
            self.publish()

    def changed(self) -> None:
        """Schedule an update of the file after a change."""
        if not self._ended and self._session.path is not None and not self._session.saved:
            self._timer.start()

    def state(self) -> tuple[str, str]:
        """The two states in words: of the work on this computer, and of the file."""
        path = self._session.path
        if self._session.read_only:
            return _("Read-only"), _("Use Save as for a copy you can edit")
        if path is None:
            return _("Autosaved"), _("Not saved to a file yet")
        return (
            _("Autosaved"),
            _("Saved to {name}", name=shown(path.name))
            if self._session.saved
            else _("{name} is updated in a moment", name=shown(path.name)),
        )

    def publish(self) -> None:
        """Update the file, beside the window."""
        self._timer.stop()
        if self._ended or self._session.path is None or self._session.saved:
            return
        if self._publishing.busy:
            self._timer.start()  # the present update does not include the last changes
        else:
            self._publishing.begin(self._session)

    def _published(self, session: Session, published: Published) -> None:
        """Report the result of an update of the file."""
        if self._ended:
            return
        if published.trouble is not None:
            title = _("Someone else has changed the file") if published.elsewhere else _("The file could not be updated")
            self._window.say_storage(title, published.trouble)
        if session is self._session and (published.trouble is None or published.elsewhere is not None):
            self._written()
            self.changed()

    def _written(self) -> None:
        """Show that the file is saved. Read a large file back, beside the window."""
        self._window.show_saved()
        if self._session.no_backup:
            self._window.workspace.said.emit(_("No backup could be saved: {why}", why=self._session.no_backup))
        pending = self._session.to_prove  # read once: a thread may change it
        if pending is None:
            return
        if self._proving is None:
            self._proving = proving.Proving()
            self._proving.proved.connect(self._proved)
            self._proving.failed.connect(self._not_proved)
        self._proving.begin(*pending)

    def _proved(self, digest: str) -> None:
        if not self._ended:
            self._session.proved(digest)
            pending = self._session.to_prove
            if self._proving is not None and pending is not None:
                self._proving.begin(*pending)

    def _not_proved(self, name: str, reason: str) -> None:
        if not self._ended:
            trouble = StorageTrouble(
                _("{name} was written but cannot be read back: {why}.", name=name, why=reason),
                _("Your work is autosaved on this computer."),
            )
            self._window.say_storage(_("The file cannot be opened again"), trouble)

    def save(self) -> None:
        """Save to the workbook's file, or ask for one."""
        if self._session.path is None or self._session.read_only:
            self.save_as()
        else:
            self.publish()

    def save_as(self, then: Callable[[], object] = lambda: None) -> None:
        """Ask for a name and save there; the workbook uses that file from then on. `then` is called after saving."""
        session = self._session
        name = file_name(session.document.settings.name, set())
        path = ask_where(self._window, _("Save shop book"), str(session.path or f"{name}{SUFFIX}"), _WORKBOOKS, SUFFIX)
        if path is None:
            return

        def save() -> Session:
            self._publishing.rest()
            saved = saved_as(session, path)
            remember(path)
            return saved

        self._window.beside.finish(_("Saving {name}", name=shown(path.name)), save, lambda outcome: self._saved(outcome, then))

    def _name_after_file(self) -> None:
        """Name the book after its file, unless the maker has named it. It is part of the last step, which nothing is lost of."""
        space, session = self._window.workspace, self._session
        settings = session.document.settings
        unnamed = settings.name == SettingsRecord().name or settings.follows_file
        if session.path is None or not unnamed or session.done < len(session.steps):
            return
        named = replace(settings, name=shown(session.path.stem)[:NAME], follows_file=True)
        edit = whole.change_settings(session.document, named, "name", named.name)
        last = session.last_edit
        space.do(edit if last is None else replace(edit, action=last.action), same_step=last is not None)
        self.publish()

    def _saved(self, outcome: Found[Session], then: Callable[[], object]) -> None:
        try:
            session = outcome()
        except StorageTrouble as trouble:
            self._window.say_storage(_("The shop book could not be saved"), trouble)
            return
        if session is not self._session:
            self._window.work_on(session)
        self._name_after_file()
        self._written()
        then()

    def open(self) -> None:
        """Ask for a workbook or a job and open it."""
        kinds = _("Shop books and job files (*{suffix} *.toml)", suffix=SUFFIX)
        chosen, _filter = QFileDialog.getOpenFileName(self._window, _("Open"), "", kinds)
        if chosen:
            self.open_file(Path(chosen))

    def open_file(self, path: Path) -> None:
        """Open a workbook, or start one from a job file or import an outline; the present work is kept."""
        if path.absolute() == self._session.path and not self._session.read_only:
            self._window.workspace.said.emit(_("{name} is already open here.", name=shown(path.name)))
        elif is_outline(path):
            self._bring_in_outline(path)
        elif is_workbook(path):
            cures = ((_("Open read-only"), lambda: self.open_to_look(path)), (_("Open a copy"), lambda: self.open_copy(path)))
            self._take(_("{name} cannot be opened", name=shown(path.name)), lambda: work_at(path), cures, name=shown(path.name))
        else:
            self._take(
                _("{name} cannot be opened", name=shown(path.name)),
                lambda: work_on(load_strange_job(path).job),
                name=shown(path.name),
            )

    def ask_to_look(self) -> None:
        """Ask for a workbook and open it to look at."""
        chosen, _filter = QFileDialog.getOpenFileName(self._window, _("Open read-only"), "", _WORKBOOKS)
        if chosen:
            self.open_to_look(Path(chosen))

    def open_left(self, file: Path) -> None:
        """Continue work that has no file, or whose file is gone."""
        self._take(_("This work cannot be resumed"), lambda: gone_on_with(file))

    def say_unreadable(self, work: Unreadable) -> None:
        """Say what is known of work that cannot be read."""
        trouble = StorageTrouble(
            _("Work of {day}: {why}", day=work.day, why=work.why),
            _("It is kept as {file}. Copies are under File, Restore a backup.", file=work.file),
        )
        self._window.say_storage(_("This work cannot be read"), trouble)

    def open_copy(self, path: Path) -> None:
        """Open a copy of a workbook that is open elsewhere, as a workbook without a file."""
        after = _("This is a copy of {name}. Saving asks for a new name.", name=shown(path.name))
        self._take(
            _("{name} cannot be opened", name=shown(path.name)), lambda: work_on_copy(path), name=shown(path.name), after=after
        )

    def open_to_look(self, path: Path) -> None:
        """Open a workbook to look at only, as its file is now."""
        self._take(_("{name} cannot be opened", name=shown(path.name)), lambda: seen_at(path), name=shown(path.name))

    def new(self) -> None:
        """Start an empty book of one's own, in the unit and currency that are usual here."""
        after = _("This shop book is yours, and empty. Its name, unit and currency are under Settings.")
        self._take(_("A new shop book cannot be created"), region.own_book, after=after)

    def show_sample(self) -> None:
        """Open the sample shop in the place of the present work, which stays where it is kept."""
        self._take(_("The sample cannot be shown"), lambda: work_in(demo.demo_document()))

    def _take(
        self, title: str, find: Callable[[], Session], cures: Sequence[Cure] = (), *, name: str = "", after: str = ""
    ) -> None:
        """Switch to other work. `cures` are offered when it is open in another window; `after` is said once it is open."""
        end_entries(self._window)
        before = self._session

        def other() -> _OtherWork:
            self._publishing.rest()
            session = find()
            try:
                return _OtherWork(session, shaped(job_of(session.document)), brought_up(before))
            except BaseException:
                session.close()
                raise

        def taken(outcome: Found[_OtherWork]) -> None:
            self._found(title, outcome, cures)
            if after and self._session is not before:
                self._window.workspace.said.emit(after)

        words = _("Opening {name}", name=name) if name else _("Opening")
        self._window.beside.do(words, other, taken, drop=lambda result: result.session.close())

    def _found(self, title: str, outcome: Found[_OtherWork], cures: Sequence[Cure]) -> None:
        try:
            other = outcome()
        except InUse as trouble:
            self._window.say_storage(title, trouble, self._there(trouble, cures))
        except JobError as trouble:
            self._window.say_trouble(title, trouble)
        except StorageTrouble as trouble:
            self._window.say_storage(title, trouble)
        else:
            self._take_on(other, title)

    def _take_on(self, other: _OtherWork, title: str) -> None:
        """Switch to other work; go back to the present one if the other cannot be shown."""
        before = self._session
        self._published(before, other.before)
        try:
            self._window.work_on(other.session, other.model)
        except Exception as trouble:  # noqa: BLE001  # a file may break any page: the previous work is shown again
            file = report(type(trouble), trouble, trouble.__traceback__)
            self._window.work_on(before)
            other.session.close()
            report_words = (
                _("A report was written to {file}. It is not sent anywhere.", file=file)
                if file
                else _("No report could be written.")
            )
            self._window.say_storage(title, StorageTrouble(_("The program cannot show its contents."), report_words))
            return
        self._publishing.let_go(before)
        self.remember()

    def _there(self, trouble: InUse, cures: Sequence[Cure]) -> Sequence[Cure]:
        """Offer the window that has the work open, if it can be reached, before the other cures."""
        file = trouble.file
        if file is None:
            return cures
        return ((_("Show that window"), lambda: calling.call(file)), *cures)

    def remember(self) -> None:
        """Record this work as the last one used."""
        if not self._session.read_only:
            remember(self._session.path, self._session.file)

    def ask_for_backup(self) -> None:
        """Show the backups; a chosen one is opened as new work."""
        copies = backups.kept(backups.folder_of(sessions_folder()))
        backups_dialog.Backups(self._window, self._window.workspace.look, copies, self.restore).show()

    def restore(self, copy: Path) -> None:
        """Open a backup as new work, without a file."""
        self._take(_("The backup cannot be opened"), lambda: restored(sessions_folder(), copy))

    def may_end(self) -> bool:
        """Update the file before the window closes. Ask the maker if that fails; return whether to close."""
        end_entries(self._window)
        self._publishing.rest()
        outcome = Published() if self._ended else brought_up(self._session)
        if outcome.trouble is None or outcome.elsewhere is not None:
            return True
        more = _("{trouble} All work is autosaved on this computer and opens at the next start.", trouble=outcome.trouble)
        box = message_box(self._window, _("Close"), _("The file could not be updated"), more)
        box.setStandardButtons(QMessageBox.StandardButton.NoButton)
        close = box.addButton(_("Close"), QMessageBox.ButtonRole.DestructiveRole)
        elsewhere = box.addButton(_("Save somewhere else…"), QMessageBox.ButtonRole.ActionRole)
        back = box.addButton(_("Go back"), QMessageBox.ButtonRole.RejectRole)
        box.setDefaultButton(back)
        box.exec()
        if box.clickedButton() is elsewhere:
            self.save_as(then=self._window.close)
        return box.clickedButton() is close

    def finish(self) -> None:
        """Update the file before returning: the user may no longer be there to answer."""
        self._timer.stop()
        self._publishing.rest()
        brought_up(self._session)

    def end(self) -> None:
        """Close the work with the window, updating the file if possible."""
        if not self._ended:
            end_entries(self._window)
            keep_lines_typed(self._session.path or self._session.file, self._window.workspace.typed)
            self._ended = True
            self.finish()
            self._session.close()
