"""The session's database: records, history and a few notes, each change one durable transaction."""

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from msgspec.json import decode

from workbook.document.codec import CodecError
from workbook.document.document import Document, Edit
from workbook.document.records import SETTINGS_ID, SettingsRecord
from workbook.storage.body import Body, Step, json_of, record_of, record_value
from workbook.storage.trouble import KeepingTrouble, NotAWorkbook, in_words

_SCHEMA = """
CREATE TABLE note(name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
CREATE TABLE record(id TEXT PRIMARY KEY, place INTEGER NOT NULL, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
CREATE TABLE step(number INTEGER PRIMARY KEY, words TEXT NOT NULL, at TEXT NOT NULL, changes TEXT NOT NULL) STRICT;
"""
_APPLICATION_ID, _VERSION = 0x53484F50, 1
_DOING = "The change could not be kept"


class Database:
    """One session's database. Every method is one transaction, on the disk when it returns."""

    def __init__(self, path: Path) -> None:
        self.path = path
        try:
            self._at = sqlite3.connect(path, isolation_level=None, timeout=5.0)
            self._at.execute("PRAGMA journal_mode=WAL")
            self._at.execute("PRAGMA synchronous=FULL")
            self._check()
        except sqlite3.DatabaseError as trouble:
            self._at.close()
            if isinstance(trouble, sqlite3.OperationalError):
                raise in_words(trouble, "The work could not be opened") from None
            raise NotAWorkbook(f"The session {path.name} is damaged.") from None

    def _check(self) -> None:
        (version,) = self._at.execute("PRAGMA user_version").fetchone()
        if version == 0 and not self._at.execute("SELECT 1 FROM sqlite_schema").fetchone():
            with self._transaction():
                for statement in _SCHEMA.split(";"):
                    self._at.execute(statement)
                self._at.execute(f"PRAGMA application_id={_APPLICATION_ID}")
                self._at.execute(f"PRAGMA user_version={_VERSION}")
        elif version != _VERSION or self._at.execute("PRAGMA application_id").fetchone() != (_APPLICATION_ID,):
            raise NotAWorkbook(f"The session {self.path.name} is of another version of this program.")

    @contextmanager
    def _transaction(self, doing: str = _DOING) -> Iterator[None]:
        """All or nothing, and on the disk."""
        try:
            self._at.execute("BEGIN IMMEDIATE")
            yield
            self._at.execute("COMMIT")
        except sqlite3.Error as trouble:
            self._give_up()
            told = in_words(trouble, doing)
            raise KeepingTrouble(told.what, told.cure) from None
        except BaseException:
            self._give_up()
            raise

    def _give_up(self) -> None:
        try:
            if self._at.in_transaction:
                self._at.execute("ROLLBACK")
        except sqlite3.Error:
            return

    def note(self, name: str, default: str = "") -> str:
        """A note; the default where there is none."""
        try:
            row = self._at.execute("SELECT value FROM note WHERE name=?", (name,)).fetchone()
        except sqlite3.Error as trouble:
            raise in_words(trouble, "The work could not be read") from None
        return str(row[0]) if row else default

    def set_notes(self, **notes: str) -> None:
        """Writes notes."""
        with self._transaction():
            self._write_notes(notes)

    def _write_notes(self, notes: dict[str, str]) -> None:
        self._at.executemany(
            "INSERT INTO note VALUES(?,?) ON CONFLICT(name) DO UPDATE SET value=excluded.value", list(notes.items())
        )

    def fill(self, body: Body, **notes: str) -> None:
        """A whole body in place of what is there."""
        with self._transaction("The work could not be opened"):
            self._at.execute("DELETE FROM record")
            self._at.execute("DELETE FROM step")
            rows = [(record.id, n, json_of(record_value(record))) for n, record in enumerate(body.document.records.values(), 1)]
            self._at.executemany("INSERT INTO record VALUES(?,?,?)", rows)
            steps = [(n, s.told, s.at, s.changes) for n, s in enumerate(body.steps, 1)]
            self._at.executemany("INSERT INTO step VALUES(?,?,?,?)", steps)
            self._write_notes({"done": str(body.done), **notes})

    def body(self) -> Body:
        """Everything there is. NotAWorkbook when it cannot be understood."""
        try:
            rows = self._at.execute("SELECT value FROM record ORDER BY place, id").fetchall()
            steps = self._at.execute("SELECT words, at, changes FROM step ORDER BY number").fetchall()
            found = [record_of(decode(value)) for (value,) in rows]
            records = {record.id: record for record in found if record is not None}
            history = tuple(Step(*row) for row in steps)
            return Body(Document(records), history, int(self.note("done", "0")))
        except (CodecError, ValueError, sqlite3.DatabaseError) as trouble:
            raise NotAWorkbook(f"The session {self.path.name} cannot be read: {trouble}.") from None

    def name(self) -> str:
        """The workbook's name, without reading the rest."""
        try:
            row = self._at.execute("SELECT value FROM record WHERE id=?", (SETTINGS_ID,)).fetchone()
            settings = record_of(decode(row[0])) if row else None
        except (CodecError, ValueError, sqlite3.Error) as trouble:
            raise NotAWorkbook(f"The session {self.path.name} cannot be read: {trouble}.") from None
        return settings.name if isinstance(settings, SettingsRecord) else SettingsRecord().name

    def last(self) -> str:
        """When the last step was made; "" when there is none."""
        try:
            row = self._at.execute("SELECT at FROM step ORDER BY number DESC LIMIT 1").fetchone()
        except sqlite3.Error as trouble:
            raise in_words(trouble, "The work could not be read") from None
        return str(row[0]) if row else ""

    def edit(self, step: Step, number: int, changed: int) -> None:
        """Records an edit as step `number`, dropping those that were undone. `changed` counts all changes ever made."""
        with self._transaction():
            self._at.execute("DELETE FROM step WHERE number>=?", (number,))
            row = (number, step.told, step.at, step.changes)
            self._at.execute("INSERT INTO step VALUES(?,?,?,?)", row)
            self._apply(step.edit)
            self._write_notes({"done": str(number), "changed": str(changed)})

    def move(self, edit: Edit, done: int, changed: int, after: Sequence[Step] | None = None) -> None:
        """Applies an edit that undoes or does again a step; `done` steps are done then. `after`: the steps behind them, where
        these are others than were there.
        """
        with self._transaction():
            self._apply(edit)
            if after is not None:
                self._at.execute("DELETE FROM step WHERE number>?", (done,))
                rows = [(n, s.told, s.at, s.changes) for n, s in enumerate(after, done + 1)]
                self._at.executemany("INSERT INTO step VALUES(?,?,?,?)", rows)
            self._write_notes({"done": str(done), "changed": str(changed)})

    def _apply(self, edit: Edit) -> None:
        for change in edit.changes:
            if change.after is None:
                self._at.execute("DELETE FROM record WHERE id=?", (change.id,))
            else:
                self._at.execute(
                    "INSERT INTO record VALUES(?,(SELECT ifnull(max(place),0)+1 FROM record),?) "
                    "ON CONFLICT(id) DO UPDATE SET value=excluded.value",
                    (change.id, json_of(record_value(change.after))),
                )

    def close(self) -> None:
        """Closes; what is recorded stays."""
        self._at.close()
