"""How work on a workbook begins: new, from its file, or where it was left."""

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
    """Work on a new workbook that has no file yet: a copy of what it begins with is another workbook."""
    return _begun(folder, replace(body or BookBody(Document()), book=_new_book()), path="", base=MISSING, changed="0")


def begun_at(folder: Path, body: BookBody, path: Path) -> Session:
    """New work that is saved at a path at once. StorageTrouble when it cannot be; then there is nothing of it."""
    session = begin(folder, body)
    try:
        session.save_as(path)
    except BaseException:
        session.close()
        raise
    return session


def beside(path: Path) -> Path:
    """Where work on a file is kept when this computer's own place for it cannot be written."""
    return path.absolute().parent / BESIDE


def moved(session: Session, path: Path) -> Session:
    """The same work kept beside a file, and saved there, where this computer's own place cannot be written any more."""
    other = begun_at(beside(path), session.body, path)
    if other.to_prove is not None:
        other.proved(digest_of(path))
    session.let_go()
    return other


def open_path(folder: Path, path: Path, *, known: bool = False) -> Session:
    """Work on the workbook at a path; goes on where work was left that never reached the file. `known`: used here before.

    InUse when another window has it; NotAWorkbook; StorageTrouble.
    """
    target = path.absolute()
    for left in sessions(folder):
        if left.path == target:
            if left.in_use:
                raise InUse(
                    _("{name} is open in another window.", name=target.name), _("Go on there, or open a copy."), left.file
                )
            if not left.saved or digest_or_missing(target) in (left.base, MISSING):
                return recover(left.file)
            _give_way(left, target, known=known)
    found = read(target, known=known)
    if found.version < VERSION:
        _copy_before_update(backups.folder_of(folder), found, target)
    body = found.body if found.body.book else replace(found.body, book=found.digest[:16])
    came_from = {"updated_from": str(found.version)} if found.version < VERSION else {}
    notes = {"path": kept_name(target), "base": found.digest, "changed": "0", "published": "0", "proved": found.digest}
    return _begun(folder, body, **notes, **came_from)


def _give_way(unsaved: UnsavedSession, target: Path, *, known: bool) -> None:
    """All of the session reached the file, which someone has changed since: it goes if theirs can be read, and leaves a copy."""
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
        what = _(
            "{name} is of an older version, and no copy of it could be kept before the update: {trouble}",
            name=path.name,
            trouble=trouble,
        )
        raise StorageTrouble(what, _("Free some space, or open it to look at.")) from None


def recover(file: Path) -> Session:
    """Goes on with a session that was left. InUse when another window has it.

    Where all of it had reached a file that is gone since, it is work without a file again: nobody is told it is saved.
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
    """A session's database, brought to today's version where it is older; the older one is kept as a copy."""
    database = Database(file)
    if database.version == VERSION:
        return database
    database.close()
    body, notes = legacy.body_in(file)
    body = replace(body, book=body.book or _new_book())
    folder, name = backups.folder_of(file.parent), body.document.settings.name
    notes_kept = {name: value for name, value in notes.items() if name not in ("done", "gone", "book")}
    try:
        data = file.read_bytes()  # closed, so that nothing of it is in a log beside it
        backups.keep(folder, body.book, name, data, datetime.datetime.now(), before_update=True, suffix=SESSION)
        begun = file.with_suffix(BEGUN)
        made(begun, body, {**notes_kept, "updated_from": str(database.version)})
        begun.replace(file)
        sync_folder(file.parent)
    except OSError as trouble:
        raise in_words(trouble, _("The work could not be brought to this version"), file.parent) from None
    return Database(file)


def restored(folder: Path, copy: Path) -> Session:
    """New work that begins as a kept copy is, with its history; it has no file yet. NotAWorkbook; StorageTrouble."""
    return begin(folder, legacy.body_in(copy)[0] if copy.suffix == SESSION else read(copy).body)


def _new_book() -> str:
    return os.urandom(8).hex()


def _begun(folder: Path, body: BookBody, **notes: str) -> Session:
    """A new session with its content: whole or not at all."""
    try:
        own_folder(folder)
        file = folder / f"{os.urandom(16).hex()}{SESSION}"
        lock = Lock(file.with_suffix(".lock"))
        lock.take()
    except OSError as trouble:
        raise not_kept(trouble, folder) from None
    try:
        begun = file.with_suffix(BEGUN)
        made(begun, body, notes)
        begun.replace(file)
        sync_folder(folder)
        return Session(Database(file), lock)
    except BaseException as trouble:
        lock.leave()
        remove(file.with_suffix(BEGUN))
        if isinstance(trouble, OSError):
            raise not_kept(trouble, folder) from None
        raise
