"""Reading of regular files only: a pipe or a device of that name is reported, not waited for."""

import errno
import os
import stat
from pathlib import Path

from workbook.system.owners import OPENING
from workbook.texts import _

_KINDS = (
    (stat.S_ISDIR, errno.EISDIR, _("a folder has this name")),
    (stat.S_ISFIFO, errno.EINVAL, _("a pipe has this name")),
    (stat.S_ISSOCK, errno.EINVAL, _("a socket has this name")),
)
_OTHER = (errno.EINVAL, _("a device has this name"))


class NotAFile(OSError):
    """A path that is not a file to be read or replaced: a folder, a pipe, a device, or a file marked read-only."""

    def __init__(self, number: int, words: str, path: Path) -> None:
        super().__init__(number, words, str(path))

    def __str__(self) -> str:
        return str(self.strerror)


def require_file(status: os.stat_result, path: Path) -> None:
    """Raise NotAFile for anything but a regular file."""
    if not stat.S_ISREG(status.st_mode):
        number, words = next(((number, words) for is_one, number, words in _KINDS if is_one(status.st_mode)), _OTHER)
        raise NotAFile(number, words, path)


def read_file(path: Path) -> bytes:
    """Read all of a file, also through a link. Raises OSError; NotAFile for a pipe, a device or a folder."""
    require_file(path.stat(), path)
    with os.fdopen(os.open(path, os.O_RDONLY | OPENING & ~getattr(os, "O_NOFOLLOW", 0)), "rb") as file:
        require_file(os.fstat(file.fileno()), path)
        return file.read()
