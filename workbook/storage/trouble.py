"""Errors of disks and files in words a maker understands: what happened, and what to do about it."""

import errno
import shutil
import sqlite3
from pathlib import Path

from workbook.system.names import shown
from workbook.system.owners import NotOurs
from workbook.texts import _, labelled


class StorageTrouble(Exception):
    """Something outside the program kept it from reading or writing. No existing data is damaged."""

    def __init__(self, what: str, cure: str = "") -> None:
        self.what, self.cure = shown(what), shown(cure)  # a path in them may not be valid text
        super().__init__(f"{self.what} {self.cure}".strip())


class InUse(StorageTrouble):
    """The workbook is open in another window, as the session `file`."""

    def __init__(self, what: str, cure: str = "", file: Path | None = None) -> None:
        super().__init__(what, cure)
        self.file = file


class KeepingTrouble(StorageTrouble):
    """The folder on this computer that holds the sessions cannot be written any more."""


class NotAWorkbook(StorageTrouble):
    """A file or session that is no workbook, is damaged, or is of a newer program."""


class ChangedElsewhere(StorageTrouble):
    """The file has changed since it was opened: someone else has written it."""


_FULL = _("Free some space, or save somewhere else.")
_OF_SYSTEM = {
    errno.ENOSPC: (_("the disk is full."), _FULL),
    errno.EDQUOT: (_("the space you may use there is full."), _FULL),
    errno.EACCES: (_("you may not write there."), _("Save somewhere else.")),
    errno.EPERM: (_("you may not write there."), _("Save somewhere else.")),
    errno.EROFS: (_("the disk is read-only."), _("Save somewhere else.")),
    errno.ENOENT: (_("the folder no longer exists."), _("Put the disk back, or save somewhere else.")),
    errno.ENOTDIR: (_("the folder no longer exists."), _("Save somewhere else.")),
    errno.EIO: (_("the disk gives errors."), _("Save to another disk, and do not trust this one.")),
    errno.ENAMETOOLONG: (_("the name is too long."), _("Choose a shorter one.")),
}
_OF_DATABASE = {
    "SQLITE_FULL": errno.ENOSPC,
    "SQLITE_READONLY": errno.EROFS,
    "SQLITE_CANTOPEN": errno.ENOENT,
    "SQLITE_IOERR": errno.EIO,
    "SQLITE_PERM": errno.EACCES,
}


_LITTLE = 256_000  # bytes free, below which a full disk is why a database cannot write


def in_words(trouble: OSError | sqlite3.Error, doing: str, folder: Path | None = None) -> StorageTrouble:
    """Describe an error met while `doing` something ("The workbook could not be saved"). `folder`: where it happened, since a
    database reports a full disk only as a failure to write.
    """
    if isinstance(trouble, NotOurs):
        return StorageTrouble(
            labelled(doing, _("{trouble}.", trouble=trouble)), _("Save to a folder that only you can write to.")
        )
    if isinstance(trouble, OSError):
        number = trouble.errno or 0
    else:
        name = getattr(trouble, "sqlite_errorname", "")
        number = next((code for word, code in _OF_DATABASE.items() if name.startswith(word)), 0)
        if number in (errno.EIO, errno.ENOENT) and folder is not None and _full(folder):
            number = errno.ENOSPC
    unknown = _("{trouble}.", trouble=trouble), _("Try again, or save somewhere else.")
    problem, cure = _OF_SYSTEM.get(number, unknown)
    return StorageTrouble(labelled(doing, problem), cure)


def not_kept(trouble: OSError | sqlite3.Error, folder: Path) -> StorageTrouble:
    """Describe why a session cannot be created in a folder. There is no work yet that could be saved elsewhere."""
    problem = in_words(trouble, _("The work cannot be saved on this computer, in {folder}", folder=folder), folder)
    if problem.cure == _FULL:
        cure = _("Free some space there, or start the program with --portable in a folder you can write to. Work is saved in it.")
    else:
        cure = _(
            "Allow writing to that folder, or start the program with --portable in a folder you can write to. "
            "Work is saved in it."
        )
    return StorageTrouble(problem.what, cure)


def _full(folder: Path) -> bool:
    try:
        return shutil.disk_usage(folder).free < _LITTLE
    except OSError:
        return False
