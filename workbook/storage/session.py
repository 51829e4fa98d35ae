"""A maker's work on one workbook: edits durable at once, undo and redo, and the file brought up to date when asked."""

import os
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from workbook.document.document import Document, Edit, joined
from workbook.storage.body import Body, Step, step_of
from workbook.storage.database import Database
from workbook.storage.file import SUFFIX, digest, read, written
from workbook.storage.publishing import MISSING, digest_at, replace_whole
from workbook.storage.trouble import ChangedElsewhere, InUse, StorageTrouble, in_words
from workbook.system.locks import Lock

SESSION = ".session"
_BESIDE = ".makers-workbook"


class Session:
    """Work on a workbook that has a file, or none yet. Made by `open_path`, `begin` and `recover`."""

    read_only = False

    def __init__(self, database: Database, lock: Lock) -> None:
        self._database, self._lock, body = database, lock, database.body()
        self.document: Document = body.document
        self._steps, self._done = list(body.steps), body.done
        self._changed = int(database.note("changed", "0"))
        self._cut_off: list[Step] = []  # steps that could be done again until the last one was made
        self._finish_publishing()

    @property
    def path(self) -> Path | None:
        """The workbook's file; None while it has none."""
        name = self._database.note("path")
        return Path(name) if name else None

    @property
    def file(self) -> Path | None:
        """Where the work lies on this computer."""
        return self._database.path

    @property
    def saved(self) -> bool:
        """Whether the file holds all that is here."""
        return self.path is not None and self._database.note("published", "-1") == str(self._changed)

    @property
    def steps(self) -> Sequence[Step]:
        """The whole history, oldest first."""
        return tuple(self._steps)

    @property
    def done(self) -> int:
        """How many of its steps are done; the others can be done again."""
        return self._done

    @property
    def body(self) -> Body:
        """Everything there is."""
        return Body(self.document, tuple(self._steps), self._done)

    def edit(self, edit: Edit, at: str, *, same_step: bool = False) -> None:
        """Makes an edit, durable when this returns. StorageTrouble when it could not be kept; then nothing has changed.

        `same_step`: it goes on with the last step (a number nudged again) and is undone together with it.
        """
        if not edit.changes:
            return
        after = self.document.applied(edit)
        number = self._done if same_step and self._done else self._done + 1
        step = step_of(joined(self._steps[number - 1].edit, edit) if number == self._done else edit, at)
        self._database.edit(step, number, self._changed + 1)
        self.document, self._changed = after, self._changed + 1
        self._cut_off = self._cut_off if number == self._done else self._steps[number - 1 :]
        self._steps[number - 1 :] = [step]
        self._done = number

    def undo(self) -> Edit | None:
        """Takes the last step back, durable; the edit that did so. None at the beginning."""
        return self._move(self._steps[self._done - 1].edit.inverse, self._done - 1) if self._done else None

    def redo(self) -> Edit | None:
        """Does the next step again; None at the end."""
        return self._move(self._steps[self._done].edit, self._done + 1) if self._done < len(self._steps) else None

    def forget(self) -> Edit | None:
        """Takes the last step back as if it had not been made, durable: what could be done again before can be again."""
        if not self._done:
            return None
        done, edit = self._done - 1, self._steps[self._done - 1].edit.inverse
        after = self.document.applied(edit)
        self._database.move(edit, done, self._changed + 1, self._cut_off)
        self.document, self._changed, self._done = after, self._changed + 1, done
        self._steps[done:], self._cut_off = self._cut_off, []
        return edit

    def _move(self, edit: Edit, done: int) -> Edit:
        after = self.document.applied(edit)
        self._database.move(edit, done, self._changed + 1)
        self.document, self._changed, self._done = after, self._changed + 1, done
        self._cut_off = []
        return edit

    def publish(self) -> None:
        """Brings the file up to date. ChangedElsewhere, StorageTrouble: the file is as it was, the work is kept here."""
        path = self.path
        if path is None:
            raise StorageTrouble("The workbook has no file yet.", "Save it under a name.")
        self._write(path, self._database.note("base"))

    def save_as(self, path: Path) -> None:
        """The same work under another name, which it has from then on; a file that stood there is replaced."""
        target = path.absolute()
        others = (left for left in sessions(self._database.path.parent) if left.file != self._database.path)
        if any(left.path == target and left.in_use for left in others):
            raise InUse(f"{target.name} is open in another window.", "Choose another name.")
        try:
            expected = digest_at(target)
        except OSError as trouble:
            raise in_words(trouble, f"{target.name} could not be saved") from None
        self._write(target, expected)

    def keep_both(self, stamp: str) -> Path:
        """Where someone else has changed the file: this work goes to a file of its own beside it. Its path."""
        path = self.path
        assert path is not None
        beside = path.with_name(f"{path.stem} ({stamp}){SUFFIX}")
        self.save_as(beside)
        return beside

    def _write(self, path: Path, expected: str) -> None:
        data = written(self.body)
        mine, changed = digest(data), str(self._changed)
        self._database.set_notes(pending=f"{mine} {changed} {path}")
        replace_whole(path, data, expected)
        self._database.set_notes(base=mine, published=changed, pending="", path=str(path))

    def _finish_publishing(self) -> None:
        """After a crash between putting the file in its place and noting it."""
        pending = self._database.note("pending")
        if not pending:
            return
        mine, changed, name = pending.split(" ", 2)
        if _digest_or_missing(Path(name)) == mine:
            self._database.set_notes(base=mine, published=changed, pending="", path=name)
        else:
            self._database.set_notes(pending="")

    def let_go_of_a_file_that_is_gone(self) -> None:
        """Work all of which is in a file that is not there any more has none."""
        path = self.path
        if path is not None and self.saved and _digest_or_missing(path) == MISSING:
            self._database.set_notes(path="", base=MISSING, published="-1")

    def changed_elsewhere(self) -> bool:
        """Whether the file is not the one this work began from or last wrote."""
        path = self.path
        return path is not None and _digest_or_missing(path) not in (self._database.note("base"), MISSING)

    def close(self) -> None:
        """Ends the work here; a session goes whose file is there with everything, or in which nothing was done."""
        path, base = self.path, self._database.note("base")
        finished = (self.saved and _digest_or_missing(path) == base) if path else not self._changed
        self._end(finished)

    def _end(self, finished: bool) -> None:
        self._database.close()
        if finished:
            _remove(self._database.path)
        self._lock.leave()

    def moved(self, path: Path) -> "Session":
        """The same work kept beside a file, and saved there, where this computer's own place cannot be written any more."""
        session = begun_at(beside(path), self.body, path)
        self._end(finished=True)
        return session


def _digest_or_missing(path: Path) -> str:
    try:
        return digest_at(path)
    except OSError:
        return MISSING


def begin(folder: Path, body: Body | None = None) -> Session:
    """Work on a new workbook that has no file yet."""
    database, lock = _made(folder)
    database.fill(body or Body(Document()), path="", base=MISSING, changed="0")
    return Session(database, lock)


def begun_at(folder: Path, body: Body, path: Path) -> Session:
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
    return path.absolute().parent / _BESIDE


def open_path(folder: Path, path: Path, *, known: bool = False) -> Session:
    """Work on the workbook at a path; goes on where work was left that never reached the file. `known`: used here before.

    InUse when another window has it; NotAWorkbook; StorageTrouble.
    """
    target = path.absolute()
    for left in sessions(folder):
        if left.path == target:
            if left.in_use:
                raise InUse(f"{target.name} is open in another window.", "Go on there, or open a copy.", left.file)
            if not left.saved or _digest_or_missing(target) in (left.base, MISSING):
                return recover(left.file)
            # all of it reached the file, which someone has changed since: gone only if theirs can be read
            read(target, known=known)
            _remove(left.file)
    body, mine = read(target, known=known)
    database, lock = _made(folder)
    database.fill(body, path=str(target), base=mine, changed="0", published="0")
    return Session(database, lock)


def recover(file: Path) -> Session:
    """Goes on with a session that was left. InUse when another window has it.

    Where all of it had reached a file that is gone since, it is work without a file again: nobody is told it is saved.
    """
    lock = Lock(file.with_suffix(".lock"))
    if not lock.take():
        raise InUse("This work is open in another window.", file=file)
    try:
        session = Session(Database(file), lock)
        session.let_go_of_a_file_that_is_gone()
        return session
    except BaseException:
        lock.leave()
        raise


def _made(folder: Path) -> tuple[Database, Lock]:
    """A new session's database, locked."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        file = folder / f"{os.urandom(16).hex()}{SESSION}"
        lock = Lock(file.with_suffix(".lock"))
        lock.take()
    except OSError as trouble:
        raise in_words(trouble, "The work cannot be kept on this computer") from None
    return Database(file), lock


class Left:
    """A session as it lies in its folder."""

    def __init__(self, file: Path) -> None:
        self.file = file
        lock = Lock(file.with_suffix(".lock"))
        self.in_use = not lock.take()
        try:
            database = Database(file)
            try:
                self._look(database)
            finally:
                database.close()
        finally:
            lock.leave()

    def _look(self, database: Database) -> None:
        name = database.note("path")
        self.path = Path(name) if name else None
        self.base = database.note("base")
        self.saved = bool(name) and database.note("published", "-1") == database.note("changed", "0")
        self.name = database.name()
        self.at = database.last()  # of its last step, as it was given


def sessions(folder: Path) -> list[Left]:
    """All sessions of a folder that can be read; damaged ones are left where they are."""
    found = []
    for file in sorted(folder.glob(f"*{SESSION}")) if folder.is_dir() else ():
        try:
            found.append(Left(file))
        except (StorageTrouble, OSError):
            continue
    return found


def held(folder: Path) -> list[Path]:
    """Sessions of a folder that a window has open: their locks tell, and no more is read."""
    found = []
    for file in sorted(folder.glob(f"*{SESSION}")):
        with suppress(OSError):
            found += [] if Lock(file.with_suffix(".lock")).free() else [file]
    return found


def _remove(file: Path) -> None:
    for suffix in ("", "-wal", "-shm"):
        file.with_name(file.name + suffix).unlink(missing_ok=True)
    file.with_suffix(".lock").unlink(missing_ok=True)
    if file.parent.name == _BESIDE:
        with suppress(OSError):  # other work is kept there still
            file.parent.rmdir()


__all__ = ["ChangedElsewhere", "Left", "Session", "begin", "begun_at", "beside", "held", "open_path", "recover", "sessions"]
