"""Starting work on a workbook: new, from its file, or from an earlier session."""

import datetime
import os
from pathlib import Path

from workbook.document.document import Document
from workbook.storage import backups, legacy
from workbook.storage.body import BookBody
from workbook.storage.database import Database, made
from workbook.storage.file import OpenedFile, digest, digest_of, read
from workbook.storage.migrations import VERSION
from workbook.storage.publishing import MISSING, digest_or_missing
from workbook.storage.session import Session
from workbook.storage.trouble import InUse, StorageTrouble, in_words, not_kept
from workbook.storage.unsaved import BEGUN, BESIDE, SESSION, UnsavedSession, kept_name, lock_of, remove, sessions
from workbook.structs import replace
from workbook.system.durable import sync_folder
from workbook.system.locks import Lock
from workbook.system.owners import own_folder
from workbook.texts import _

_MORE_THAN_FITS = _("There is not enough memory to open the work.")


def begin(folder: Path, body: BookBody | None = None) -> Session:
    """Begin a new workbook without a file. A copy of `body` gets an identity of its own. StorageTrouble."""
    return _begun(folder, replace(body or BookBody(Document()), book=_new_book()), path="", base=MISSING, changed="0")


def begun_at(folder: Path, body: BookBody, path: Path) -> Session:
    """Begin a new workbook and save it at a path at once. StorageTrouble when it cannot be saved; nothing of it then remains."""
    session = begin(folder, body)
    try:
        session.save_as(path)
    except BaseException:
        session.close()
        raise
    return session


def beside(path: Path) -> Path:
    """The folder beside a file that holds its session when this computer's usual folder cannot be written."""
    return path.absolute().parent / BESIDE


def moved(session: Session, path: Path) -> Session:
    """Move a session beside a file, and save it there, when this computer's usual folder cannot be written any more."""
    new_session = begun_at(beside(path), session.body, path)
    if new_session.to_prove is not None:
        new_session.proved(digest_of(path))
    session.let_go()
    return new_session


def open_path(folder: Path, path: Path, *, known: bool = False) -> Session:
    """Open the workbook at a path, resuming a session whose work has not reached the file. `known` as for `read`.

    InUse when another window has it open; NotAWorkbook; StorageTrouble.
    """
    target = path.absolute()
    for session in sessions(folder):
        if session.path == target:
            if session.in_use:
                raise InUse(
                    _("{name} is open in another window.", name=target.name), _("Continue there, or open a copy."), session.file
                )
            if not session.saved or digest_or_missing(target) in (session.base, MISSING):
                return recover(session.file)
            _give_way(session, target, known=known)
    file = read(target, known=known)
    if file.version < VERSION:
        _copy_before_update(backups.folder_of(folder), file, target)
    body = file.body if file.body.book else replace(file.body, book=file.digest[:16])
    origin = {"updated_from": str(file.version)} if file.version < VERSION else {}
    notes = {"path": kept_name(target), "base": file.digest, "changed": "0", "published": "0", "proved": file.digest}
    return _begun(folder, body, **notes, **origin)


def _give_way(unsaved: UnsavedSession, target: Path, *, known: bool) -> None:
    """Drop a fully saved session whose file someone has changed since, leaving a copy. The changed file must be readable."""
    read(target, known=known)
    session = recover(unsaved.file)
    session.back_up()
    session.let_go()


def _copy_before_update(folder: Path, opened: OpenedFile, path: Path) -> None:
    data = path.read_bytes()
    book, name = opened.body.book or digest(data)[:16], opened.body.document.settings.name
    try:
        backups.keep(folder, book, name, data, datetime.datetime.now(), before_update=True)
    except (StorageTrouble, OSError) as trouble:
        problem = _(
            "{name} is from an older version, and no copy could be saved before the update: {trouble}",
            name=path.name,
            trouble=trouble,
        )
        raise StorageTrouble(problem, _("Free some space, or open it read-only.")) from None


def recover(file: Path) -> Session:
    """Resume a session. InUse when another window has it open; NotAWorkbook; StorageTrouble.

    If it was fully saved to a file that has since gone, it has no file again, so that it does not count as saved.
    """
    lock = lock_of(file)
    if not lock.take():
        raise InUse(_("This work is open in another window."), file=file)
    database = None
    try:
        database = _current(file)
        session = Session(database, lock)
        session.let_go_of_a_file_that_is_gone()
        return session
    except BaseException as trouble:
        if database is not None:
            database.close()
        lock.leave()
        if isinstance(trouble, MemoryError):
            raise StorageTrouble(_MORE_THAN_FITS, _("Close other programs, then try again.")) from None
        raise


def _current(file: Path) -> Database:
    """Open a session's database, first updating one of an older version and keeping a copy of that."""
    database = Database(file)
    if database.version == VERSION:
        return database
    database.close()
    body, notes = legacy.body_in(file)
    body = replace(body, book=body.book or _new_book())
    folder, name = backups.folder_of(file.parent), body.document.settings.name
    other_notes = {name: value for name, value in notes.items() if name not in ("done", "gone", "book")}
    try:
        data = file.read_bytes()  # closed, so no part of it is in a separate log
        backups.keep(folder, body.book, name, data, datetime.datetime.now(), before_update=True, suffix=SESSION)
        new_file = file.with_suffix(BEGUN)
        made(new_file, body, {**other_notes, "updated_from": str(database.version)})
        new_file.replace(file)
        sync_folder(file.parent)
    except OSError as trouble:
        raise in_words(trouble, _("The work could not be updated to this version"), file.parent) from None
    return Database(file)


def restored(folder: Path, copy: Path) -> Session:
    """Begin a new workbook, without a file, from a backup and its history. NotAWorkbook; StorageTrouble."""
    return begin(folder, legacy.body_in(copy)[0] if copy.suffix == SESSION else read(copy).body)


def _new_book() -> str:
    return os.urandom(8).hex()


def _begun(folder: Path, body: BookBody, **notes: str) -> Session:
    """Create a session with its content, whole or not at all. StorageTrouble."""
    try:
        own_folder(folder)
        file = folder / f"{os.urandom(16).hex()}{SESSION}"
        lock = Lock(file.with_suffix(".lock"))
        lock.take()
    except OSError as trouble:
        raise not_kept(trouble, folder) from None
    try:
        new_file = file.with_suffix(BEGUN)
        made(new_file, body, notes)
        new_file.replace(file)
        sync_folder(folder)
        return Session(Database(file), lock)
    except BaseException as trouble:
        lock.leave()
        remove(file.with_suffix(BEGUN))
        if isinstance(trouble, OSError):
            raise not_kept(trouble, folder) from None
        raise
