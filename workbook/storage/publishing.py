"""Replacing a file whole: written beside it, made durable, and only then put in its place."""

import os
import sys
from pathlib import Path

from workbook.storage.file import digest
from workbook.storage.trouble import ChangedElsewhere, in_words

MISSING = ""  # digest of a file that is not there


def digest_at(path: Path) -> str:
    """Digest of the file at a path; `MISSING` when there is none."""
    try:
        return digest(path.read_bytes())
    except FileNotFoundError:
        return MISSING


def digest_or_missing(path: Path) -> str:
    """The same; `MISSING` also for a file that cannot be read."""
    try:
        return digest_at(path)
    except OSError:
        return MISSING


def replace_whole(path: Path, data: bytes, expected: str) -> None:
    """Puts data at a path, if what stands there is still what was expected there, or nothing any more.

    ChangedElsewhere when it is not; StorageTrouble when it cannot be written. Either way the file is as it was.
    """
    part = path.with_name(f".{path.name}.part")
    try:
        _write(part, data)
        if digest_at(path) not in (expected, MISSING):
            raise ChangedElsewhere(f"{path.name} was changed by someone else since it was opened.", "Both are kept.")
        part.replace(path)
        sync_folder(path.parent)
    except OSError as trouble:
        raise in_words(trouble, f"{path.name} could not be saved") from None
    finally:
        _remove(part)


def _write(part: Path, data: bytes) -> None:
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC | getattr(os, "O_BINARY", 0), 0o666)
    try:
        left = memoryview(data)
        while left:
            left = left[os.write(handle, left) :]
        os.fsync(handle)
    finally:
        os.close(handle)


def sync_folder(folder: Path) -> None:
    """Makes the new name durable; Windows does that by itself."""
    if sys.platform != "win32":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _remove(part: Path) -> None:
    try:
        part.unlink(missing_ok=True)
    except OSError:
        return  # the next save uses the same name
