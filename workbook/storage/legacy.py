"""Sessions of older programs, converted to the current form by the same migrations as files.

Before version 7 a session did not record the version of its content: it had the form of version 6, or of an earlier version
that only lacks fields.
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
_UNNUMBERED, _THEN = 1, 6  # the version such a session records, and the one it has


def version_of(connection: sqlite3.Connection, name: str) -> int:
    """The version of a session's content; 0 for an empty database. NotAWorkbook when it is no session, or is newer."""
    if connection.execute("SELECT count(*) FROM sqlite_schema").fetchone() == (0,):
        return 0
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    if application != _APPLICATION_ID:
        raise NotAWorkbook(_("The session {name} holds no work.", name=name))
    if version > VERSION:
        raise NotAWorkbook(
            _("The session {name} is from a newer version of this program.", name=name),
            _("Start that version to continue with it."),
        )
    return _THEN if version == _UNNUMBERED else int(version)


def body_in(path: Path) -> tuple[BookBody, dict[str, str]]:
    """Read the content and notes of an older session that is not open anywhere, without changing it.

    NotAWorkbook when it cannot be understood; StorageTrouble when it cannot be opened.
    """
    try:
        connection = sqlite3.connect(path.absolute().as_uri() + "?mode=ro&immutable=1", uri=True)
        try:
            notes = {str(name): str(value) for name, value in connection.execute("SELECT name, value FROM note")}
            version = version_of(connection, path.name)
            value, attachments = (
                (_value(connection, notes), {}) if version <= _THEN else (_numbered(connection, notes), _attachments(connection))
            )
            return body_of(migrated(value, version), attachments), notes
        finally:
            connection.close()
    except (CodecError, ValueError) as trouble:
        raise NotAWorkbook(_("The session {name} cannot be read: {trouble}.", name=path.name, trouble=trouble)) from None
    except sqlite3.Error as trouble:
        raise in_words(trouble, _("The work could not be opened"), path.parent) from None


def _numbered(connection: sqlite3.Connection, notes: dict[str, str]) -> Any:
    """The content of a session that records its version, in the form of a file of that version."""
    steps = connection.execute("SELECT action, at, changes FROM step ORDER BY number").fetchall()
    gone = int(notes.get("gone", "0"))
    return {
        "book": notes.get("book", ""),
        "records": [decode(value) for (value,) in connection.execute("SELECT value FROM record ORDER BY place, id")],
        "history": [[decode(action), moment, decode(changes)] for action, moment, changes in steps],
        "done": int(notes.get("done", "0")) - gone,
        "gone": gone,
        "attachments": [],
    }


def _attachments(connection: sqlite3.Connection) -> dict[str, Attachment]:
    return {
        str(key): Attachment(str(kind), bytes(data))
        for key, kind, data in connection.execute("SELECT digest, kind, data FROM attachment")
    }


def _value(connection: sqlite3.Connection, notes: dict[str, str]) -> Any:
    """The content of a session without a version, in the form of a file of version 6."""
    rows = connection.execute("SELECT value FROM record ORDER BY place, id").fetchall()
    steps = connection.execute("SELECT words, at, changes FROM step ORDER BY number").fetchall()
    history = [[words, moment, decode(changes)] for words, moment, changes in steps]
    return {"records": [decode(value) for (value,) in rows], "history": history, "done": int(notes.get("done", "0"))}
