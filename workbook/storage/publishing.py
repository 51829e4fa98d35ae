"""Replacing a workbook's file whole, unless somebody else has changed it."""

from pathlib import Path

from workbook.storage.file import digest
from workbook.storage.trouble import ChangedElsewhere, in_words
from workbook.system.files import read_file
from workbook.system.replacing import replace_file
from workbook.texts import _

MISSING = ""  # digest of a file that is not there


def digest_at(path: Path) -> str:
    """Digest of the file at a path; `MISSING` when there is none. OSError."""
    try:
        return digest(read_file(path))
    except FileNotFoundError:
        return MISSING


def digest_or_missing(path: Path) -> str:
    """The same; `MISSING` also for a file that cannot be read."""
    try:
        return digest_at(path)
    except OSError:
        return MISSING


def replace_whole(path: Path, data: bytes, expected: str, *, private: bool = False) -> None:
    """Puts data at a path, if what stands there is still what was expected there, or nothing any more.
    `private`: for this user alone.

    ChangedElsewhere when it is not; StorageTrouble when it cannot be written. Either way the file is as it was.
    """
    changed = ChangedElsewhere(_("{name} was changed by someone else since it was opened.", name=path.name), _("Both are kept."))

    def expect() -> None:
        if digest_at(path) not in (expected, MISSING):
            raise changed

    try:
        replace_file(path, data, check=expect, private=private)
    except FileExistsError:  # it came after the last look
        raise changed from None
    except OSError as trouble:
        raise in_words(trouble, _("{name} could not be saved", name=path.name)) from None
