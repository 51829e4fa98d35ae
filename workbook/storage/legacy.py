"""Sessions of older programs brought to today's form: their content goes through the same migrations as a file's.

Until version 7 a session did not say of which version its content was: it had the form of version 6, or of an earlier one
that lacks only fields.
"""

import sqlite3
from pathlib import Path
from typing import Any

from msgspec.json import decode

from workbook.document.codec import CodecError
from workbook.storage.attachment import Attachment
from workbook.storage.body import BookBody, body_of
from workbook.storage.migrations import VERSION, migrated
from workbook.storage.trouble import NotAWorkbook, in_words
from workbook.texts import _

_APPLICATION_ID = 0x53484F50
_UNNUMBERED, _THEN = 1, 6  # what such a session calls its version, and which version it has


def version_of(at: sqlite3.Connection, name: str) -> int:
    """The version of a session's content; 0 for a database in which nothing was begun. NotAWorkbook when it is none, or of a
    newer program.
    """
    if at.execute("SELECT count(*) FROM sqlite_schema").fetchone() == (0,):
        return 0
    (version,) = at.execute("PRAGMA user_version").fetchone()
    (application,) = at.execute("PRAGMA application_id").fetchone()
    if application != _APPLICATION_ID:
        raise NotAWorkbook(_("The session {name} holds no work.", name=name))
    if version > VERSION:
        raise NotAWorkbook(
            _("The session {name} is of a newer version of this program.", name=name), _("Start that version to go on with it.")
        )
    return _THEN if version == _UNNUMBERED else int(version)


def body_in(path: Path) -> tuple[BookBody, dict[str, str]]:
    """The content and the notes of an older session that nobody has open; it stays as it is. NotAWorkbook; StorageTrouble."""
    try:
        at = sqlite3.connect(path.absolute().as_uri() + "?mode=ro&immutable=1", uri=True)
        try:
            notes = {str(name): str(value) for name, value in at.execute("SELECT name, value FROM note")}
            version = version_of(at, path.name)
            value, attachments = (_value(at, notes), {}) if version <= _THEN else (_numbered(at, notes), _attachments(at))
            return body_of(migrated(value, version), attachments), notes
        finally:
            at.close()
    except (CodecError, ValueError) as trouble:
        raise NotAWorkbook(_("The session {name} cannot be read: {trouble}.", name=path.name, trouble=trouble)) from None
    except sqlite3.Error as trouble:
        raise in_words(trouble, _("The work could not be opened"), path.parent) from None


def _numbered(at: sqlite3.Connection, notes: dict[str, str]) -> Any:
    """The content of a session that says its version, in the form a file of that version has."""
    steps = at.execute("SELECT action, at, changes FROM step ORDER BY number").fetchall()
    gone = int(notes.get("gone", "0"))
    return {
        "book": notes.get("book", ""),
        "records": [decode(value) for (value,) in at.execute("SELECT value FROM record ORDER BY place, id")],
        "history": [[decode(action), moment, decode(changes)] for action, moment, changes in steps],
        "done": int(notes.get("done", "0")) - gone,
        "gone": gone,
        "attachments": [],
    }


def _attachments(at: sqlite3.Connection) -> dict[str, Attachment]:
    return {
        str(key): Attachment(str(kind), bytes(data))
        for key, kind, data in at.execute("SELECT digest, kind, data FROM attachment")
    }


def _value(at: sqlite3.Connection, notes: dict[str, str]) -> Any:
    """The content of an older session, in the form a file of that version has."""
    rows = at.execute("SELECT value FROM record ORDER BY place, id").fetchall()
    steps = at.execute("SELECT words, at, changes FROM step ORDER BY number").fetchall()
    history = [[words, moment, decode(changes)] for words, moment, changes in steps]
    return {"records": [decode(value) for (value,) in rows], "history": history, "done": int(notes.get("done", "0"))}
