"""A maker's work on one workbook: edits durable at once, undo and redo, and saving to the file on request."""

import datetime
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from threading import RLock

from workbook.document.document import Document, Edit, joined
from workbook.storage import backups
from workbook.storage.attachment import Attachment, admitted, digest_in, named_in, reference
from workbook.storage.body import BookBody, Content
from workbook.storage.database import Database
from workbook.storage.file import SUFFIX, bytes_of, digest, opened, read
from workbook.storage.publishing import MISSING, digest_at, digest_or_missing, replace_whole
from workbook.storage.scales import texts_of, weighed
from workbook.storage.step import Step, step_of
from workbook.storage.trouble import InUse, NotAWorkbook, StorageTrouble, in_words
from workbook.storage.unsaved import BESIDE, kept_name, named_path, remove, said_by_lock, sessions
from workbook.storage.weight import HISTORY, KEPT_STEPS, Weight, first_kept, total
from workbook.system.locks import Lock
from workbook.texts import _

_SMALL = 300_000  # bytes; a file up to this size is test-opened before it is written: a larger one would block the window
_NOT_LONG = 3_000_000  # bytes; the same when the session is closed
_GATHERED = Weight(HISTORY.size * 11 // 10, HISTORY.parts * 11 // 10)


class Session:
    """Work on a workbook, with or without a file. Created by `opening`."""

    read_only = False
    updated_from = 0  # the older version this work was updated from, until the maker was told what changed; else 0

    def __init__(self, database: Database, lock: Lock) -> None:
        self._database, self._lock, body = database, lock, database.body()
        self._changing = RLock()  # changes are made one at a time, from any thread
        self.document: Document = body.document
        self._steps, self._done, self._gone = list(body.steps), body.done, body.gone
        self.book, version = body.book, database.note("updated_from", "0")
        self.updated_from = int(version) if version.isdecimal() else 0
        self._changed = _changes_told(database)
        self._cut_off: list[Step] = []  # the steps that could be redone until the last step replaced them
        self._last: Edit | None = None  # the edit of the last step, where it is known
        self._scales = weighed(self.document, database.records())
        self._history = total([step.weight for step in self._steps])
        self.no_backup = ""  # why the last copy could not be kept
        self._finish_publishing()
        self._say()

    def update_told(self) -> None:
        """Note that the maker has been told what changed since the older version."""
        self.updated_from = 0
        with suppress(StorageTrouble):  # it is then told once more
            self._database.set_notes(updated_from="0")

    @property
    def path(self) -> Path | None:
        """The workbook's file; None while it has none."""
        return named_path(self._database.note("path"))

    @property
    def file(self) -> Path | None:
        """The session's file on this computer."""
        return self._database.path

    @property
    def saved(self) -> bool:
        """Whether the file holds all that is here."""
        return self.path is not None and self._database.note("published", "-1") == str(self._changed)

    @property
    def steps(self) -> Sequence[Step]:
        """The kept history, oldest first."""
        return tuple(self._steps)

    @property
    def done(self) -> int:
        """The number of its steps that are done; the others can be redone."""
        return self._done

    @property
    def gone(self) -> int:
        """The number of older steps dropped to keep the workbook small."""
        return self._gone

    @property
    def body(self) -> BookBody:
        """The document with its history and the attachments it names."""
        texts = (*self._database.records(), *(step.changes for step in self._steps))
        attachments = self._database.attachments(named_in(texts))
        return BookBody(self.document, tuple(self._steps), self._done, self._gone, self.book, attachments)

    @property
    def last_edit(self) -> Edit | None:
        """The edit of the last step done; None at the beginning. NotAWorkbook when it cannot be read."""
        if self._last is None and self._done:
            self._last = self._steps[self._done - 1].undone(self.document).inverse
        return self._last

    def edit(self, edit: Edit, at: str, *, same_step: bool = False) -> None:
        """Make an edit, durable when this returns. StorageTrouble when it could not be stored; then nothing has changed.

        `same_step`: it continues the last step (a number nudged again) and is undone together with it.
        """
        if not edit.changes:
            return
        with self._changing:
            self._edit(edit, at, self.last_edit if same_step else None)

    def _edit(self, edit: Edit, at: str, before: Edit | None) -> None:
        """Make an edit; `before`: the one it continues."""
        after = self.document.applied(edit, before)
        texts = texts_of(edit)
        scales = self._scales.after(edit, texts)
        number = self._done + (before is None)
        step_edit = edit if before is None else joined(before, edit)
        step = step_of(step_edit, at, texts)
        with self._database.turn:
            self._database.edit(edit, texts, step, self._gone + number, self._changed + 1)
            self.document, self._changed, self._scales, self._last = after, self._changed + 1, scales, step_edit
            self._cut_off = self._cut_off if before is not None else self._steps[number - 1 :]
            self._steps[number - 1 :] = [step]
            self._done, self._history = number, self._history + step.weight
            with suppress(StorageTrouble):  # the edit is stored; old steps can be dropped next time
                self._thin()

    def _thin(self) -> None:
        """Drop old steps once the history is a tenth over its limit, so that many go at a time."""
        if len(self._steps) <= KEPT_STEPS * 1.1 and self._history.within(_GATHERED):
            return
        weights = [step.weight for step in self._steps]
        first = first_kept(weights, self._done)
        if first:
            self._database.thin(self._gone + first)
        self._gone, self._done, self._steps = self._gone + first, self._done - first, self._steps[first:]
        self._history = total(weights[first:])

    def undo(self) -> Edit | None:
        """Undo the last step, durably, and return the edit that did so; None at the beginning."""
        with self._changing:
            return self._move(self._steps[self._done - 1].undone(self.document), self._done - 1) if self._done else None

    def redo(self) -> Edit | None:
        """Redo the next step, durably, and return the edit that did so; None at the end."""
        with self._changing:
            available = self._done < len(self._steps)
            return self._move(self._steps[self._done].done_again(self.document), self._done + 1) if available else None

    def forget(self) -> Edit | None:
        """Undo the last step as if it had never been made, durably: what could be redone before it can be redone again."""
        if not self._done:
            return None
        with self._changing, self._database.turn:
            edit, cut_off = self._steps[self._done - 1].undone(self.document), self._cut_off
            self._move(edit, self._done - 1, cut_off)
            self._steps[self._done :] = cut_off
        return edit

    def _move(self, edit: Edit, done: int, behind: Sequence[Step] | None = None) -> Edit:
        after, texts = self.document.applied(edit), texts_of(edit)
        scales = self._scales.after(edit, texts)
        with self._database.turn:
            self._database.move(edit, texts, self._gone + done, self._changed + 1, behind)
            self.document, self._changed, self._done, self._scales = after, self._changed + 1, done, scales
            self._cut_off, self._last = [], None
        return edit

    def attach(self, attachment: Attachment) -> str:
        """Store a picture, durably, and return the reference by which a record names it. StorageTrouble when it does not fit."""
        sizes = self._database.attachment_sizes()
        key = admitted(attachment, sum(sizes.values()), len(sizes))
        self._database.attach(key, attachment)
        return reference(key)

    def attachment(self, named: str) -> Attachment | None:
        """The picture that a reference names; None where it is missing. ValueError when it is no reference."""
        key = digest_in(named)
        return self._database.attachments([key]).get(key)

    def publish(self) -> None:
        """Save the work, as it is when this begins, to its file; from any thread, one call at a time.

        ChangedElsewhere, StorageTrouble: the session still holds the work.
        """
        path = self.path
        if path is None:
            raise StorageTrouble(_("The shop book has no file yet."), _("Save it under a name."))
        self._write(path, self._database.note("base"))

    def save_as(self, path: Path) -> None:
        """Save under another name, which the work then keeps, replacing any file there.

        InUse when another window has that file open; ChangedElsewhere; StorageTrouble.
        """
        target = path.absolute()
        others = (session for session in sessions(self._database.path.parent) if session.file != self._database.path)
        if any(session.path == target and session.in_use for session in others):
            raise InUse(_("{name} is open in another window.", name=target.name), _("Choose another name."))
        try:
            expected = digest_at(target)
        except OSError as trouble:
            raise in_words(trouble, _("{name} could not be saved", name=target.name)) from None
        self._write(target, expected)
        self._say()

    def keep_both(self, stamp: str) -> Path:
        """Save the work beside a file that someone else has changed, with `stamp` in its name, and return the new path."""
        path = self.path
        assert path is not None
        beside = path.with_name(f"{path.stem} ({stamp}){SUFFIX}")
        self.save_as(beside)
        return beside

    def _write(self, path: Path, expected: str) -> None:
        with self._database.turn:
            content, document, changed = self._content(), self.document, str(self._changed)
        data = self._bytes(content)
        file_digest, small = digest(data), len(data) <= _SMALL
        if small:
            _try(data, path, document)
        self._database.set_notes(pending=f"{file_digest} {changed} {kept_name(path)}")
        replace_whole(path, data, expected)
        if digest_or_missing(path) != file_digest:
            raise StorageTrouble(
                _("{name} is not what was written to it.", name=path.name), _("Save to another disk, and do not trust this one.")
            )
        proved = file_digest if small else ""
        self._database.set_notes(base=file_digest, published=changed, pending="", path=kept_name(path), proved=proved)
        if backups.due(self._backups, self.book, datetime.datetime.now()):
            self._back_up(data)

    def _content(self) -> Content:
        return Content(self.book, self._database.records(), tuple(self._steps), self._done, self._gone)

    def _bytes(self, content: Content) -> bytes:
        """Encode content as a file. Pictures are read one by one, without the lock: a digest always names the same bytes."""
        named = named_in((*content.records, *(step.changes for step in content.steps)))
        return bytes_of(content, self._database.attachments(named))

    @property
    def to_prove(self) -> tuple[Path, str] | None:
        """The path and digest of a file that holds all the work and has not been read back yet; else None."""
        path, base = self.path, self._database.note("base")
        return (path, base) if path is not None and self.saved and self._database.note("proved") != base else None

    def proved(self, read_back: str) -> None:
        """Note that the file with this digest was read back and opens."""
        if read_back == self._database.note("base"):
            self._database.set_notes(proved=read_back)

    def back_up(self) -> None:
        """Keep a backup of the work as it is."""
        self._back_up(self._bytes(self._content()))

    def _back_up(self, data: bytes) -> None:
        """Keep a backup; `no_backup` says why one could not be kept. A session beside its file, a stopgap, has none."""
        if self._database.path.parent.name == BESIDE:
            return
        try:
            backups.keep(self._backups, self.book, self.document.settings.name, data, datetime.datetime.now())
            self.no_backup = ""
        except (StorageTrouble, OSError) as trouble:
            self.no_backup = str(trouble)

    @property
    def _backups(self) -> Path:
        return backups.folder_of(self._database.path.parent)

    def _say(self) -> None:
        """Write to the lock which workbook this is, for other windows."""
        with suppress(OSError):
            self._lock.tell(said_by_lock(self.path, self.document.settings.name))

    def _finish_publishing(self) -> None:
        """Complete a save that a crash interrupted between replacing the file and noting it."""
        pending = self._database.note("pending")
        if not pending:
            return
        file_digest, changed, name = (*pending.split(" ", 2), "", "")[:3]
        try:
            path = named_path(name)
        except ValueError:
            path = None
        if path is not None and digest_or_missing(path) == file_digest:
            self._database.set_notes(base=file_digest, published=changed, pending="", path=name)
        else:
            self._database.set_notes(pending="")

    def let_go_of_a_file_that_is_gone(self) -> None:
        """Forget the file of fully saved work if that file is missing, so that the work counts as unsaved."""
        path = self.path
        if path is not None and self.saved and digest_or_missing(path) == MISSING:
            self._database.set_notes(path="", base=MISSING, published="-1")

    def changed_elsewhere(self) -> bool:
        """Whether the file exists and differs from the one this work began from or last wrote."""
        path = self.path
        return path is not None and digest_or_missing(path) not in (self._database.note("base"), MISSING)

    def close(self) -> None:
        """Close the session, and delete it if it has no file and no changes, or if its file holds everything and opens."""
        self._end(self._all_there(_NOT_LONG) if self.path else not self._changed)

    def _all_there(self, most: float) -> bool:
        """Whether the file holds everything and opens; one over `most` bytes that has not been read back counts as not."""
        path, base = self.path, self._database.note("base")
        if path is None or not self.saved or digest_or_missing(path) != base:
            return False
        try:
            if self._database.note("proved") != base:
                if path.stat().st_size > most or read(path).body.document != self.document:
                    return False
                self.proved(base)
            if self._changed:
                self._back_up(path.read_bytes())
        except (StorageTrouble, OSError):
            return False
        return True

    def let_go(self) -> None:
        """Close the session and delete it with all its content."""
        self._end(finished=True)

    def _end(self, finished: bool) -> None:
        self._database.close()
        if finished:
            remove(self._database.path)
        self._lock.leave()


def _try(data: bytes, path: Path, document: Document) -> None:
    """Check that the bytes to be written decode to this document. NotAWorkbook when they do not."""
    if opened(data, path.name).body.document != document:
        raise NotAWorkbook(
            _("{name} would not be the same work when it is opened again.", name=path.name), _("Your work is autosaved here.")
        )


def _changes_told(database: Database) -> int:
    """The number of changes ever made. NotAWorkbook where that, or the path of the file, is invalid."""
    try:
        named_path(database.note("path"))
        return int(database.note("changed", "0"))
    except ValueError:
        raise NotAWorkbook(_("The session {name} cannot be read: its notes are damaged.", name=database.path.name)) from None
