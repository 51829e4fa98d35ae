"""The sessions in a folder: which workbook each belongs to, whether a window has it open, and whether it can be read."""

import datetime
import os
from contextlib import suppress
from pathlib import Path

from msgspec import Struct
from msgspec.json import decode, encode

from workbook.storage.database import Database
from workbook.storage.trouble import StorageTrouble
from workbook.system.locks import Lock
from workbook.system.owners import is_own
from workbook.texts import _

SESSION, BEGUN = ".session", ".session-begun"  # a complete one, and one still being created or left by a killed process
BESIDE = ".makers-workbook"


class UnsavedSession(Struct, frozen=True):
    """A session that can be read."""

    file: Path
    path: Path | None  # the workbook's file; None while it has none
    name: str
    in_use: bool = False
    saved: bool = False  # the file holds all of it
    base: str = ""  # digest of the file it began from or last wrote
    at: str = ""  # time of its last step


class Unreadable(Struct, frozen=True):
    """A session that cannot be read: damaged, or of a newer program. It is left in place."""

    file: Path
    why: str
    changed: float  # when its file was last changed, in seconds since the epoch

    @property
    def day(self) -> str:
        """The local date and time of that change."""
        return f"{datetime.datetime.fromtimestamp(self.changed):%Y-%m-%d %H:%M}"


def kept_name(path: Path | None) -> str:
    """Encode a path as a note, including names that are not valid Unicode. "" for None."""
    if path is None:
        return ""
    name = str(path)
    try:
        name.encode()
    except UnicodeEncodeError:
        return f"bytes:{os.fsencode(name).hex()}"
    return name


def named_path(name: str) -> Path | None:
    """Decode a path from a note. ValueError when it is no path."""
    if name.startswith("bytes:"):
        name = os.fsdecode(bytes.fromhex(name.removeprefix("bytes:")))
    if "\0" in name:
        raise ValueError(_("a path has no such letter"))
    return Path(name) if name else None


def said_by_lock(path: Path | None, name: str) -> str:
    """The JSON by which a session's lock tells other windows its path and name."""
    return encode({"path": kept_name(path), "name": name[:200]}).decode()


def look_over(folder: Path) -> list[UnsavedSession | Unreadable]:
    """List all sessions of a folder, and remove any that a killed process left unfinished."""
    if not is_own(folder):
        return []
    _sweep(folder)
    return [entry for file in sorted(folder.glob(f"*{SESSION}")) if (entry := _look(file)) is not None]


def sessions(folder: Path) -> list[UnsavedSession]:
    """The sessions of a folder that can be read."""
    return [entry for entry in look_over(folder) if isinstance(entry, UnsavedSession)]


def unreadable(folder: Path) -> list[Unreadable]:
    """The sessions of a folder that cannot be read."""
    return [entry for entry in look_over(folder) if isinstance(entry, Unreadable)]


def held(folder: Path) -> list[Path]:
    """The files of the sessions that a window has open, found by their locks alone."""
    files: list[Path] = []
    for file in sorted(folder.glob(f"*{SESSION}")) if is_own(folder) else ():
        with suppress(OSError):
            files += [] if lock_of(file).free() else [file]
    return files


def lock_of(file: Path) -> Lock:
    """The lock of a session."""
    return Lock(file.with_suffix(".lock"))


def _look(file: Path) -> UnsavedSession | Unreadable | None:
    """Read one session; remove an empty one and return None."""
    try:
        lock = lock_of(file)
        if not lock.take():
            return _in_use(file, lock)
        try:
            session = _of(file)
            if session is None:
                remove(file)
            return session
        finally:
            lock.leave()
    except (StorageTrouble, OSError, ValueError) as trouble:
        return Unreadable(file, str(trouble), _changed(file))


def _in_use(file: Path, lock: Lock) -> UnsavedSession:
    try:
        note = decode(lock.told())
        return UnsavedSession(file, named_path(str(note["path"])), str(note["name"]), in_use=True)
    except (OSError, ValueError, KeyError, TypeError):
        return UnsavedSession(file, None, "", in_use=True)


def _of(file: Path) -> UnsavedSession | None:
    database = Database(file)
    try:
        if database.empty:
            return None
        path = named_path(database.note("path"))
        return UnsavedSession(
            file,
            path,
            database.name(),
            saved=path is not None and database.note("published", "-1") == database.note("changed", "0"),
            base=database.note("base"),
            at=database.last(),
        )
    finally:
        database.close()


def _changed(file: Path) -> float:
    try:
        return file.stat().st_mtime
    except OSError:
        return 0.0


def _sweep(folder: Path) -> None:
    for file in folder.glob(f"*{BEGUN}"):
        with suppress(OSError):
            if lock_of(file).free():
                remove(file)


def remove(file: Path) -> None:
    """Delete a session with its lock. OSError."""
    for suffix in ("", "-wal", "-shm", "-journal"):
        file.with_name(file.name + suffix).unlink(missing_ok=True)
    file.with_suffix(".lock").unlink(missing_ok=True)
    if file.parent.name == BESIDE:
        with suppress(OSError):  # other sessions may still be there
            file.parent.rmdir()
