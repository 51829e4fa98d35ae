"""Replacing a workbook's file whole, unless someone else has changed it."""

from pathlib import Path

from workbook.storage.file import digest
from workbook.storage.trouble import ChangedElsewhere, in_words
from workbook.system.files import read_file
from workbook.system.replacing import replace_file
from workbook.texts import _

MISSING = ""  # digest of a missing file


def digest_at(path: Path) -> str:
    """The digest of the file at a path; `MISSING` when there is none. OSError when it cannot be read."""
    try:
        return digest(read_file(path))
    except FileNotFoundError:
        return MISSING


def digest_or_missing(path: Path) -> str:
    """The digest of the file at a path; `MISSING` when there is none or it cannot be read."""
    try:
        return digest_at(path)
    except OSError:
        return MISSING


def replace_whole(path: Path, data: bytes, expected: str, *, private: bool = False) -> None:
    """Write data to a path, if the file there still has the `expected` digest or is missing.
    `private`: readable by this user alone.

    ChangedElsewhere when it differs; StorageTrouble when it cannot be written. Either way the file is unchanged.
    """
    changed = ChangedElsewhere(_("{name} was changed by someone else since it was opened.", name=path.name), _("Both are kept."))

    def expect() -> None:
        if digest_at(path) not in (expected, MISSING):
            raise changed

    try:
        replace_file(path, data, check=expect, private=private)
    except FileExistsError:  # it appeared after the check
        raise changed from None
    except OSError as trouble:
        raise in_words(trouble, _("{name} could not be saved", name=path.name)) from None
