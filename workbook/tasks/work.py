"""Where a maker's work is stored on this computer, and how a window opens it: new, from a file, or where it was left."""

import datetime
import os
from pathlib import Path

from workbook.document.actions.whole import bring_in
from workbook.document.document import Document
from workbook.document.limits import wrong_together
from workbook.document.records import SettingsRecord, TemplateRecord
from workbook.formats.family import family
from workbook.heat.clock import is_clock
from workbook.problems import JobError
from workbook.shop.job import Job
from workbook.storage.body import BookBody
from workbook.storage.file import SUFFIX, read
from workbook.storage.opening import begin, begun_at, beside, moved, open_path, recover
from workbook.storage.session import Session
from workbook.storage.trouble import KeepingTrouble, NotAWorkbook
from workbook.storage.unsaved import Unreadable, UnsavedSession, held, sessions
from workbook.storage.unsaved import unreadable as damaged
from workbook.storage.viewing import ViewedWork, can_be_written, look_at
from workbook.tasks.guarded import tried
from workbook.tasks.recent import recent, remember, sessions_folder
from workbook.template.resizing import in_inches
from workbook.texts import _
from workbook.units import HABITS, Unit

_FIRST = "drop-point-hunter"  # the family of a new book's template


def new_id() -> str:
    """A new random id."""
    return os.urandom(6).hex()


def now() -> str:
    """The local time for the history: ISO, to the millisecond."""
    return datetime.datetime.now().astimezone().isoformat(timespec="milliseconds")


def minutes_since(date: str, clock: str) -> float | None:
    """Minutes from a time of day, "21:40", on an ISO date until now; None where there is none, or it is still to come.

    A time that is still to come today was yesterday's: a load is logged after midnight.
    """
    if not date or not is_clock(clock):
        return None
    hour, minute = (int(part) for part in clock.split(":"))
    began = datetime.datetime.fromisoformat(date).replace(hour=hour, minute=minute)
    passed = (datetime.datetime.now() - began).total_seconds() / 60
    passed += _DAY if -_DAY < passed < 0 and date == now()[:10] else 0.0
    return passed if passed >= 0 else None


_DAY = 24 * 60.0


def stamp() -> str:
    """Date and time for the name of a file kept beside another."""
    moment = datetime.datetime.now()
    return f"{moment:%Y-%m-%d %H.%M.%S}"


def work_on(job: Job) -> Session:
    """New work on a job's templates, bars and order; it has no file yet, and nothing to undo."""
    return begin(sessions_folder(), BookBody(Document().applied(bring_in(Document(), job, new_id))))


def work_in(document: Document) -> Session:
    """New work that starts from a document."""
    return begin(sessions_folder(), BookBody(document))


def empty_work(unit: Unit = "in", currency: str = "USD") -> Session:
    """Start a book of one's own: usual settings, one template to start from, no stock and no orders."""
    family_template = family(_FIRST)
    template = in_inches(family_template) if not HABITS[unit].metric else family_template
    first = TemplateRecord(id=new_id(), place=0.0, family=template)
    return work_in(Document({record.id: record for record in (SettingsRecord(unit=unit, currency=currency), first)}))


def work_at(path: Path) -> Session:
    """Open a workbook's file, read-only if it cannot be written. Raises StorageTrouble, which says why it cannot be opened."""
    known = proved_readable(path)
    folder = beside(path) if any(work.path == path.absolute() for work in sessions(beside(path))) else sessions_folder()
    session = _sound(open_path(folder, path, known=known) if can_be_written(path) else look_at(path, known=known), path.name)
    remember(path)
    return session


def seen_at(path: Path) -> Session:
    """Open a workbook's file read-only. Raises NotAWorkbook and StorageTrouble."""
    return _sound(look_at(path, known=proved_readable(path)), path.name)


def gone_on_with(file: Path) -> Session:
    """Continue the work left in a session. Raises InUse, StorageTrouble, and NotAWorkbook, as for one without a template."""
    return _sound(recover(file), file.name)


def _sound(session: Session, name: str) -> Session:
    """The session, if a window can show it. Raises NotAWorkbook if not, as for one without a template; the file stays."""
    for mistake in wrong_together(session.document.records.values()):
        session.close()
        raise NotAWorkbook(
            _("{name} cannot be opened: {mistake}", name=name, mistake=mistake), _("It was not written by this program.")
        )
    return session


def proved_readable(path: Path) -> bool:
    """Whether a workbook was used here lately. Any other may be a stranger's and is first read in a separate process.

    Raises NotAWorkbook.
    """
    if path.absolute() in recent():
        return True
    try:
        tried(read, path)
    except JobError as trouble:
        raise NotAWorkbook(_("{name} cannot be opened: {what}", name=path.name, what=trouble.mistakes[0].what)) from None
    return False


def saved_as(session: Session, path: Path) -> Session:
    """Save the work at a path and return the session that continues it.

    It is another session if the work was open read-only, or if the place where this computer kept it can no longer be written.
    """
    if isinstance(session, ViewedWork):
        return begun_at(sessions_folder(), session.body, path)
    try:
        session.save_as(path)
    except KeepingTrouble:
        return moved(session, path)
    return session


def in_use() -> list[Path]:
    """The session files of work that is open in a window now."""
    return held(sessions_folder())


def work_on_copy(path: Path) -> Session:
    """New work that starts as a copy of a workbook's file, with its history; it has no file yet."""
    return _sound(begin(sessions_folder(), read(path, known=proved_readable(path)).body), path.name)


def unsaved() -> list[UnsavedSession]:
    """Work without a file, or whose file is gone, that is open in no window; latest first."""
    matches = [work for work in sessions(sessions_folder()) if not work.in_use and (work.path is None or not work.path.is_file())]
    return sorted(matches, key=lambda item: -moment(item))


def unreadable() -> list[Unreadable]:
    """Work that cannot be read; it is kept."""
    return damaged(sessions_folder())


def moment(unsaved: UnsavedSession) -> float:
    """When the work was last changed, as a POSIX timestamp in seconds; 0 if that is unknown."""
    try:
        return datetime.datetime.fromisoformat(unsaved.at).timestamp()
    except ValueError:
        return 0.0


def is_workbook(path: Path) -> bool:
    """Whether a file's name is that of a workbook."""
    return path.suffix.lower() == SUFFIX
