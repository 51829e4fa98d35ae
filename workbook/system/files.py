"""Reading of regular files only: a pipe or a device of that name is reported, not waited for."""

import errno
import os
import stat
from pathlib import Path

from workbook.system.owners import OPENING
from workbook.texts import _

_KINDS = ((stat.S_ISDIR, "a folder"), (stat.S_ISFIFO, "a pipe"), (stat.S_ISSOCK, "a socket"))


class NotAFile(OSError):
    """A path that is not a file to be read or replaced: a folder, a pipe, a device, or a file marked read-only."""

    def __init__(self, number: int, words: str, path: Path) -> None:
        super().__init__(number, words, str(path))

    def __str__(self) -> str:
        return str(self.strerror)


def require_file(status: os.stat_result, path: Path) -> None:
    """Raise NotAFile for anything but a regular file."""
    if not stat.S_ISREG(status.st_mode):
        kind = next((words for is_one, words in _KINDS if is_one(status.st_mode)), "a device")
        raise NotAFile(errno.EISDIR if kind == "a folder" else errno.EINVAL, _("{kind} has this name", kind=kind), path)


def read_file(path: Path) -> bytes:
    """Read all of a file, also through a link. Raises OSError; NotAFile for a pipe, a device or a folder."""
    require_file(path.stat(), path)
    with os.fdopen(os.open(path, os.O_RDONLY | OPENING & ~getattr(os, "O_NOFOLLOW", 0)), "rb") as file:
        require_file(os.fstat(file.fileno()), path)
        return file.read()
