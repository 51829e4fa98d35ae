"""The session's database: records, history, pictures and a few notes; each change is one durable transaction.

A lock file ensures that a session has one user, so the whole database is locked: SQLite then needs no shared memory, whose
pages would kill the process on a full disk.
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
_DOING = _("The change could not be saved")


def made(file: Path, body: BookBody, notes: Mapping[str, str]) -> None:
    """Create a session's database with its content, whole or not at all. On StorageTrouble no file is left."""
    connection = None
    try:
        connection = sqlite3.connect(file, isolation_level=None)
        connection.execute("PRAGMA synchronous=EXTRA")
        connection.execute("BEGIN IMMEDIATE")
        for statement in _SCHEMA.split(";"):
            connection.execute(statement)
        connection.execute(f"PRAGMA application_id={APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version={VERSION}")
        _fill(connection, body, notes)
        connection.execute("COMMIT")
    except (sqlite3.Error, MemoryError) as trouble:
        _discard(connection, file)
        if isinstance(trouble, MemoryError):
            raise StorageTrouble(
                _("There is not enough memory to save the work."), _("Close other programs, then try again.")
            ) from None
        raise not_kept(trouble, file.parent) from None
    except BaseException:
        _discard(connection, file)
        raise
    connection.close()


def _discard(connection: sqlite3.Connection | None, path: Path) -> None:
    if connection is not None:
        connection.close()
    for suffix in ("", "-journal"):
        path.with_name(path.name + suffix).unlink(missing_ok=True)


def _fill(connection: sqlite3.Connection, body: BookBody, notes: Mapping[str, str]) -> None:
    rows = list(zip(body.document.records, range(1, len(body.document.records) + 1), content_of(body).records, strict=True))
    connection.executemany("INSERT INTO record VALUES(?,?,?)", rows)
    steps = [(body.gone + n, s.action_text, s.at, s.changes) for n, s in enumerate(body.steps, 1)]
    connection.executemany("INSERT INTO step VALUES(?,?,?,?)", steps)
    connection.executemany(
        "INSERT INTO attachment VALUES(?,?,?)",
        [(key, attachment.kind, attachment.data) for key, attachment in body.attachments.items()],
    )
    _note(connection, {"done": str(body.gone + body.done), "gone": str(body.gone), "book": body.book, **notes})


def _note(connection: sqlite3.Connection, notes: dict[str, str]) -> None:
    rows = list(notes.items())
    connection.executemany("INSERT INTO note VALUES(?,?) ON CONFLICT(name) DO UPDATE SET value=excluded.value", rows)


class Database:
    """One session's database. Every writing method is one transaction, on disk when it returns.

    Steps are numbered from the first ever made. Threads take turns: related calls are made while holding `turn`.
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
        """Run the body as one durable transaction. KeepingTrouble when it cannot be written; nothing is changed then."""
        with self.turn:
            connection = self._open
            try:
                connection.execute("BEGIN IMMEDIATE")
                yield connection
                connection.execute("COMMIT")
            except sqlite3.Error as trouble:
                self._give_up()
                problem = in_words(trouble, doing, self.path.parent)
                raise KeepingTrouble(problem.what, problem.cure) from None
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
        """Read a note; the default where there is none. StorageTrouble when the database cannot be read."""
        rows = self._rows("SELECT value FROM note WHERE name=?", name)
        return str(rows[0][0]) if rows else default

    def set_notes(self, **notes: str) -> None:
        """Write notes. KeepingTrouble."""
        with self._transaction() as connection:
            _note(connection, notes)

    @property
    def empty(self) -> bool:
        """Whether it has no content: an older program was killed at its first start."""
        return self.version == 0 or not self._rows("SELECT 1 FROM note LIMIT 1")

    def records(self) -> tuple[str, ...]:
        """The JSON of all records, in their order."""
        return tuple(value for (value,) in self._rows("SELECT value FROM record ORDER BY place, id"))

    def body(self) -> BookBody:
        """Read everything except the attachments. NotAWorkbook when it cannot be understood."""
        try:
            entries = [record_of(decode(value)) for value in self.records()]
            records = {record.id: record for record in entries if record is not None}
            judge(records)
            rows = self._rows("SELECT action, at, changes FROM step ORDER BY number")
            history = tuple(Step(action_of(decode(action)), at, changes) for action, at, changes in rows)
            gone, done = int(self.note("gone", "0")), int(self.note("done", "0"))
            if not 0 <= done - gone <= len(history):
                raise CodecError(_("the history has other steps than were done"))
            return BookBody(Document(records), history, done - gone, gone, self.note("book"))
        except (CodecError, ValueError, TypeError) as trouble:
            raise NotAWorkbook(_("The session {name} cannot be read: {trouble}.", name=self.path.name, trouble=trouble)) from None

    def name(self) -> str:
        """The workbook's name, at most 200 characters, without reading the rest; "" where it cannot be read."""
        try:
            rows = self._rows("SELECT value FROM record WHERE id=?", SETTINGS_ID)
            return str(decode(rows[0][0])["record"]["name"])[:200] if rows else ""
        except (ValueError, KeyError, TypeError):
            return ""

    def last(self) -> str:
        """The time of the last step; "" when there is none."""
        rows = self._rows("SELECT at FROM step ORDER BY number DESC LIMIT 1")
        return str(rows[0][0]) if rows else ""

    def edit(self, edit: Edit, texts: Mapping[str, str], step: Step, number: int, changed: int) -> None:
        """Record an edit as step `number`, dropping undone steps. `texts`: the JSON of its records, by id; `changed`: the count
        of all changes ever made. KeepingTrouble.
        """
        with self._transaction() as connection:
            connection.execute("DELETE FROM step WHERE number>=?", (number,))
            connection.execute("INSERT INTO step VALUES(?,?,?,?)", (number, step.action_text, step.at, step.changes))
            _apply(connection, edit, texts)
            _note(connection, {"done": str(number), "changed": str(changed)})

    def move(self, edit: Edit, texts: Mapping[str, str], done: int, changed: int, after: Sequence[Step] | None = None) -> None:
        """Apply an edit that undoes or redoes a step, leaving `done` steps done. `after`: the steps that follow them, where they
        replace the stored ones. KeepingTrouble.
        """
        with self._transaction() as connection:
            _apply(connection, edit, texts)
            if after is not None:
                connection.execute("DELETE FROM step WHERE number>?", (done,))
                rows = [(n, s.action_text, s.at, s.changes) for n, s in enumerate(after, done + 1)]
                connection.executemany("INSERT INTO step VALUES(?,?,?,?)", rows)
            _note(connection, {"done": str(done), "changed": str(changed)})

    def thin(self, gone: int) -> None:
        """Drop the oldest steps, up to and including number `gone`. KeepingTrouble."""
        with self._transaction() as connection:
            connection.execute("DELETE FROM step WHERE number<=?", (gone,))
            _note(connection, {"gone": str(gone)})

    def attach(self, digest: str, attachment: Attachment) -> None:
        """Store an attachment, unless it is already there. KeepingTrouble."""
        with self._transaction(_("The picture could not be saved")) as connection:
            connection.execute("INSERT OR IGNORE INTO attachment VALUES(?,?,?)", (digest, attachment.kind, attachment.data))

    def attachments(self, digests: Iterable[str]) -> dict[str, Attachment]:
        """The stored attachments among some digests."""
        attachments = {}
        for digest in digests:
            for kind, data in self._rows("SELECT kind, data FROM attachment WHERE digest=?", digest):
                attachments[digest] = Attachment(kind, bytes(data))  # type: ignore[arg-type]  # a blob comes as bytes
        return attachments

    def attachment_sizes(self) -> dict[str, int]:
        """The size of each attachment in bytes, by digest."""
        return {str(digest): int(size) for digest, size in self._rows("SELECT digest, length(data) FROM attachment")}

    def drop_attachments(self, digests: Iterable[str]) -> None:
        """Delete attachments. KeepingTrouble."""
        with self._transaction() as connection:
            connection.executemany("DELETE FROM attachment WHERE digest=?", [(digest,) for digest in digests])

    def close(self) -> None:
        """Close the database; stored data stays."""
        with self.turn:
            if self._at is not None:
                self._at.close()
                self._at = None


def _require_own(path: Path) -> None:
    """NotOurs where another user wrote, or could have written, the session or a log that SQLite replays into it."""
    for suffix in ("", "-wal", "-journal"):
        try:
            os.close(open_own(path.with_name(path.name + suffix), os.O_RDONLY))
        except FileNotFoundError:
            continue


def _apply(connection: sqlite3.Connection, edit: Edit, texts: Mapping[str, str]) -> None:
    """Apply an edit to the records; new ones follow the others, in their order."""
    (last,) = connection.execute("SELECT ifnull(max(place),0) FROM record").fetchone()
    deletions = [(change.id,) for change in edit.changes if change.after is None]
    rows = [(c.id, last + n, texts[c.id]) for n, c in enumerate(edit.changes, 1) if c.after is not None]
    connection.executemany("DELETE FROM record WHERE id=?", deletions)
    connection.executemany("INSERT INTO record VALUES(?,?,?) ON CONFLICT(id) DO UPDATE SET value=excluded.value", rows)
