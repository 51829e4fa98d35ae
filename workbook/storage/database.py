"""The session's database: records, history, pictures and a few notes, each change one durable transaction.

A session has one user, which a lock beside it says, so the database is locked whole: then SQLite needs no shared memory, whose
pages a full disk would turn into a killed process.
"""

import os
import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from threading import RLock

from msgspec.json import decode

from workbook.document.codec import CodecError
from workbook.document.document import Document, Edit
from workbook.document.records import SETTINGS_ID
from workbook.storage.attachment import Attachment
from workbook.storage.body import BookBody, content_of, judge
from workbook.storage.legacy import version_of
from workbook.storage.migrations import VERSION
from workbook.storage.step import Step, action_of, record_of
from workbook.storage.trouble import KeepingTrouble, NotAWorkbook, StorageTrouble, in_words, not_kept
from workbook.system.owners import NotOurs, open_own
from workbook.texts import _

_SCHEMA = """
CREATE TABLE note(name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
CREATE TABLE record(id TEXT PRIMARY KEY, place INTEGER NOT NULL, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
CREATE TABLE step(number INTEGER PRIMARY KEY, action TEXT NOT NULL, at TEXT NOT NULL, changes TEXT NOT NULL) STRICT;
CREATE TABLE attachment(digest TEXT PRIMARY KEY, kind TEXT NOT NULL, data BLOB NOT NULL) STRICT;
"""
APPLICATION_ID = 0x53484F50  # "SHOP"
_DOING = _("The change could not be kept")


def made(file: Path, body: BookBody, notes: Mapping[str, str]) -> None:
    """Makes a session's database with its content, whole or not at all. StorageTrouble; then there is no such file."""
    at = None
    try:
        at = sqlite3.connect(file, isolation_level=None)
        at.execute("PRAGMA synchronous=EXTRA")
        at.execute("BEGIN IMMEDIATE")
        for statement in _SCHEMA.split(";"):
            at.execute(statement)
        at.execute(f"PRAGMA application_id={APPLICATION_ID}")
        at.execute(f"PRAGMA user_version={VERSION}")
        _fill(at, body, notes)
        at.execute("COMMIT")
    except (sqlite3.Error, MemoryError) as trouble:
        _discard(at, file)
        if isinstance(trouble, MemoryError):
            raise StorageTrouble(
                _("There is not enough memory to keep the work."), _("Close other programs, then try again.")
            ) from None
        raise not_kept(trouble, file.parent) from None
    except BaseException:
        _discard(at, file)
        raise
    at.close()


def _discard(at: sqlite3.Connection | None, path: Path) -> None:
    if at is not None:
        at.close()
    for suffix in ("", "-journal"):
        path.with_name(path.name + suffix).unlink(missing_ok=True)


def _fill(at: sqlite3.Connection, body: BookBody, notes: Mapping[str, str]) -> None:
    rows = list(zip(body.document.records, range(1, len(body.document.records) + 1), content_of(body).records, strict=True))
    at.executemany("INSERT INTO record VALUES(?,?,?)", rows)
    steps = [(body.gone + n, s.action_text, s.at, s.changes) for n, s in enumerate(body.steps, 1)]
    at.executemany("INSERT INTO step VALUES(?,?,?,?)", steps)
    at.executemany("INSERT INTO attachment VALUES(?,?,?)", [(key, one.kind, one.data) for key, one in body.attachments.items()])
    _note(at, {"done": str(body.gone + body.done), "gone": str(body.gone), "book": body.book, **notes})


def _note(at: sqlite3.Connection, notes: dict[str, str]) -> None:
    rows = list(notes.items())
    at.executemany("INSERT INTO note VALUES(?,?) ON CONFLICT(name) DO UPDATE SET value=excluded.value", rows)


class Database:
    """One session's database. Every method is one transaction, on the disk when it returns.

    Steps are numbered from the first that was ever made. Threads take turns: what belongs together is asked for within `turn`.
    """

    def __init__(self, path: Path) -> None:
        self.path, self.turn = path, RLock()
        self._at: sqlite3.Connection | None = None
        try:
            _require_own(path)
            place = path.absolute().as_uri() + "?mode=rw"
            self._at = connection = sqlite3.connect(place, uri=True, isolation_level=None, timeout=0.5, check_same_thread=False)
            connection.execute("PRAGMA locking_mode=EXCLUSIVE")
            connection.execute("PRAGMA journal_mode=WAL")
            connection.execute("PRAGMA synchronous=FULL")
            self.version = version_of(connection, path.name)
        except NotOurs as trouble:
            raise NotAWorkbook(_("The session {name} is not read: it {why}.", name=path.name, why=trouble.why)) from None
        except sqlite3.DatabaseError as trouble:
            self.close()
            if isinstance(trouble, sqlite3.OperationalError):
                raise in_words(trouble, _("The work could not be opened"), path.parent) from None
            raise NotAWorkbook(_("The session {name} is damaged.", name=path.name)) from None
        except BaseException:
            self.close()
            raise

    @property
    def _open(self) -> sqlite3.Connection:
        if self._at is None:
            raise KeepingTrouble(_("The work is closed."))
        return self._at

    @contextmanager
    def _transaction(self, doing: str = _DOING) -> Iterator[sqlite3.Connection]:
        """All or nothing, and on the disk."""
        with self.turn:
            at = self._open
            try:
                at.execute("BEGIN IMMEDIATE")
                yield at
                at.execute("COMMIT")
            except sqlite3.Error as trouble:
                self._give_up()
                told = in_words(trouble, doing, self.path.parent)
                raise KeepingTrouble(told.what, told.cure) from None
            except BaseException:
                self._give_up()
                raise

    def _give_up(self) -> None:
        try:
            if self._open.in_transaction:
                self._open.execute("ROLLBACK")
        except sqlite3.Error:
            return

    def _rows(self, question: str, *values: str | int) -> list[tuple[str, ...]]:
        try:
            with self.turn:
                return self._open.execute(question, values).fetchall()
        except sqlite3.Error as trouble:
            raise in_words(trouble, _("The work could not be read"), self.path.parent) from None

    def note(self, name: str, default: str = "") -> str:
        """A note; the default where there is none."""
        rows = self._rows("SELECT value FROM note WHERE name=?", name)
        return str(rows[0][0]) if rows else default

    def set_notes(self, **notes: str) -> None:
        """Writes notes."""
        with self._transaction() as at:
            _note(at, notes)

    @property
    def empty(self) -> bool:
        """Whether nothing was ever begun in it: a program of before was killed at its first start."""
        return self.version == 0 or not self._rows("SELECT 1 FROM note LIMIT 1")

    def records(self) -> tuple[str, ...]:
        """The JSON of all records, in their order."""
        return tuple(value for (value,) in self._rows("SELECT value FROM record ORDER BY place, id"))

    def body(self) -> BookBody:
        """Everything there is but the attachments. NotAWorkbook when it cannot be understood."""
        try:
            found = [record_of(decode(value)) for value in self.records()]
            records = {record.id: record for record in found if record is not None}
            judge(records)
            rows = self._rows("SELECT action, at, changes FROM step ORDER BY number")
            history = tuple(Step(action_of(decode(action)), at, changes) for action, at, changes in rows)
            gone, done = int(self.note("gone", "0")), int(self.note("done", "0"))
            if not 0 <= done - gone <= len(history):
                raise CodecError(_("the history has other steps than are done"))
            return BookBody(Document(records), history, done - gone, gone, self.note("book"))
        except (CodecError, ValueError, TypeError) as trouble:
            raise NotAWorkbook(_("The session {name} cannot be read: {trouble}.", name=self.path.name, trouble=trouble)) from None

    def name(self) -> str:
        """The workbook's name, without reading the rest; "" where it cannot be told."""
        try:
            rows = self._rows("SELECT value FROM record WHERE id=?", SETTINGS_ID)
            return str(decode(rows[0][0])["record"]["name"])[:200] if rows else ""
        except (ValueError, KeyError, TypeError):
            return ""

    def last(self) -> str:
        """When the last step was made; "" when there is none."""
        rows = self._rows("SELECT at FROM step ORDER BY number DESC LIMIT 1")
        return str(rows[0][0]) if rows else ""

    def edit(self, edit: Edit, texts: Mapping[str, str], step: Step, number: int, changed: int) -> None:
        """Records an edit as step `number`, dropping those that were undone. `texts`: the JSON of its records, by id; `changed`
        counts all changes ever made.
        """
        with self._transaction() as at:
            at.execute("DELETE FROM step WHERE number>=?", (number,))
            at.execute("INSERT INTO step VALUES(?,?,?,?)", (number, step.action_text, step.at, step.changes))
            _apply(at, edit, texts)
            _note(at, {"done": str(number), "changed": str(changed)})

    def move(self, edit: Edit, texts: Mapping[str, str], done: int, changed: int, after: Sequence[Step] | None = None) -> None:
        """Applies an edit that undoes or does again a step; `done` steps are done then. `after`: the steps behind them, where
        these are others than were there.
        """
        with self._transaction() as at:
            _apply(at, edit, texts)
            if after is not None:
                at.execute("DELETE FROM step WHERE number>?", (done,))
                rows = [(n, s.action_text, s.at, s.changes) for n, s in enumerate(after, done + 1)]
                at.executemany("INSERT INTO step VALUES(?,?,?,?)", rows)
            _note(at, {"done": str(done), "changed": str(changed)})

    def thin(self, gone: int) -> None:
        """Lets the oldest steps go, up to and with number `gone`."""
        with self._transaction() as at:
            at.execute("DELETE FROM step WHERE number<=?", (gone,))
            _note(at, {"gone": str(gone)})

    def attach(self, digest: str, attachment: Attachment) -> None:
        """Keeps an attachment; one that is there already stays."""
        with self._transaction(_("The picture could not be kept")) as at:
            at.execute("INSERT OR IGNORE INTO attachment VALUES(?,?,?)", (digest, attachment.kind, attachment.data))

    def attachments(self, digests: Iterable[str]) -> dict[str, Attachment]:
        """Those of some digests that are there."""
        found = {}
        for digest in digests:
            for kind, data in self._rows("SELECT kind, data FROM attachment WHERE digest=?", digest):
                found[digest] = Attachment(kind, bytes(data))  # type: ignore[arg-type]  # a blob comes as bytes
        return found

    def attachment_sizes(self) -> dict[str, int]:
        """The bytes of each attachment, by digest."""
        return {str(digest): int(size) for digest, size in self._rows("SELECT digest, length(data) FROM attachment")}

    def drop_attachments(self, digests: Iterable[str]) -> None:
        """Takes attachments out."""
        with self._transaction() as at:
            at.executemany("DELETE FROM attachment WHERE digest=?", [(digest,) for digest in digests])

    def close(self) -> None:
        """Closes; what is recorded stays."""
        with self.turn:
            if self._at is not None:
                self._at.close()
                self._at = None


def _require_own(path: Path) -> None:
    """NotOurs where another user has written the session or what SQLite takes into it, or could have."""
    for suffix in ("", "-wal", "-journal"):
        try:
            os.close(open_own(path.with_name(path.name + suffix), os.O_RDONLY))
        except FileNotFoundError:
            continue


def _apply(at: sqlite3.Connection, edit: Edit, texts: Mapping[str, str]) -> None:
    """Records that come stand behind the others, in their order."""
    (last,) = at.execute("SELECT ifnull(max(place),0) FROM record").fetchone()
    gone = [(change.id,) for change in edit.changes if change.after is None]
    put = [(c.id, last + n, texts[c.id]) for n, c in enumerate(edit.changes, 1) if c.after is not None]
    at.executemany("DELETE FROM record WHERE id=?", gone)
    at.executemany("INSERT INTO record VALUES(?,?,?) ON CONFLICT(id) DO UPDATE SET value=excluded.value", put)
