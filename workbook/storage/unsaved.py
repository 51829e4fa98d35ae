"""Sessions as they lie in their folder: what each is of, whether a window has it, and those that cannot be read."""

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

SESSION, BEGUN = ".session", ".session-begun"  # one that is whole, and one that a killed process did not finish
BESIDE = ".makers-workbook"


class UnsavedSession(Struct, frozen=True):
    """A session that can be read."""

    file: Path
    path: Path | None  # the workbook's file; None while it has none
    name: str
    in_use: bool = False
    saved: bool = False  # the file held all of it
    base: str = ""  # digest of the file it began from or last wrote
    at: str = ""  # of its last step, as it was given


class Unreadable(Struct, frozen=True):
    """A session that cannot be read: damaged, or of a newer program. It stays where it is."""

    file: Path
    why: str
    changed: float  # when its file was last changed, in seconds as the system counts them

    @property
    def day(self) -> str:
        """When that was, as a date and a time."""
        return f"{datetime.datetime.fromtimestamp(self.changed):%Y-%m-%d %H:%M}"


def kept_name(path: Path | None) -> str:
    """A path as a note; names that are no Unicode text too. "" for none."""
    if path is None:
        return ""
    name = str(path)
    try:
        name.encode()
    except UnicodeEncodeError:
        return f"bytes:{os.fsencode(name).hex()}"
    return name


def named_path(name: str) -> Path | None:
    """The path again. ValueError for what is none."""
    if name.startswith("bytes:"):
        name = os.fsdecode(bytes.fromhex(name.removeprefix("bytes:")))
    if "\0" in name:
        raise ValueError(_("a path has no such letter"))
    return Path(name) if name else None


def said_by_lock(path: Path | None, name: str) -> str:
    """What the lock of a session in use says of it."""
    return encode({"path": kept_name(path), "name": name[:200]}).decode()


def look_over(folder: Path) -> list[UnsavedSession | Unreadable]:
    """All sessions of a folder; what a killed process began there and did not finish is taken away."""
    if not is_own(folder):
        return []
    _sweep(folder)
    return [found for file in sorted(folder.glob(f"*{SESSION}")) if (found := _look(file)) is not None]


def sessions(folder: Path) -> list[UnsavedSession]:
    """All sessions of a folder that can be read."""
    return [one for one in look_over(folder) if isinstance(one, UnsavedSession)]


def unreadable(folder: Path) -> list[Unreadable]:
    """Those that cannot."""
    return [one for one in look_over(folder) if isinstance(one, Unreadable)]


def held(folder: Path) -> list[Path]:
    """Sessions of a folder that a window has open: their locks tell, and no more is read."""
    found: list[Path] = []
    for file in sorted(folder.glob(f"*{SESSION}")) if is_own(folder) else ():
        with suppress(OSError):
            found += [] if lock_of(file).free() else [file]
    return found


def lock_of(file: Path) -> Lock:
    """The lock of a session."""
    return Lock(file.with_suffix(".lock"))


def _look(file: Path) -> UnsavedSession | Unreadable | None:
    """None for one in which nothing was begun, which is taken away."""
    try:
        lock = lock_of(file)
        if not lock.take():
            return _in_use(file, lock)
        try:
            found = _of(file)
            if found is None:
                remove(file)
            return found
        finally:
            lock.leave()
    except (StorageTrouble, OSError, ValueError) as trouble:
        return Unreadable(file, str(trouble), _changed(file))


def _in_use(file: Path, lock: Lock) -> UnsavedSession:
    try:
        told = decode(lock.told())
        return UnsavedSession(file, named_path(str(told["path"])), str(told["name"]), in_use=True)
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
    """Takes a session away."""
    for suffix in ("", "-wal", "-shm", "-journal"):
        file.with_name(file.name + suffix).unlink(missing_ok=True)
    file.with_suffix(".lock").unlink(missing_ok=True)
    if file.parent.name == BESIDE:
        with suppress(OSError):  # other work is kept there still
            file.parent.rmdir()
