"""A file put in its place whole: written beside it under a name of chance, made durable, and only then given its name.

A file that is replaced keeps its permissions, owner and attributes (`likeness`); a link stays a link and what it leads to is
replaced. Of several hard links only the one that is named becomes the new file: the others go on as the old one. Writing into the
old one would change all, and leave half a file when the power goes.
"""

import errno
import os
import re
import stat
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from workbook.system.durable import sync, sync_folder
from workbook.system.files import NotAFile, require_file
from workbook.system.likeness import make_like
from workbook.system.links import written_at
from workbook.system.owners import OPENING
from workbook.texts import _

_PART = re.compile(r"\.workbook-[0-9a-f]{16}\.part")
_OLD = 3600.0  # s since the last byte: whoever wrote it is gone
_NO_LINKS = {errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK, errno.EINVAL}
_PAUSES = (0.01, 0.03, 0.1, 0.2, 0.4, 0.8)  # s: on Windows, until who reads the old file has done so
_swept: set[Path] = set()  # folders in which leftovers were looked for


def replace_file(path: Path, data: bytes, *, check: Callable[[], None] | None = None, private: bool = False) -> None:
    """Puts data at a path, whole and durable, in the place of what is there. `private`: for this user alone, whatever was there.

    `check` is called right before; what it raises keeps the old file. OSError when it cannot be written; NotAFile;
    FileExistsError when there was nothing and somebody else put a file there meanwhile. Either way all is as it was.
    """
    waiting = Waiting(path, data, private=private)
    try:
        if check is not None:
            check()
        waiting.put()
    finally:
        waiting.drop()


class Waiting:
    """Content that lies beside the file it is to become. OSError when it cannot be written; then nothing lies there."""

    def __init__(self, path: Path, data: bytes, *, private: bool = False) -> None:
        self.target = path if private else written_at(path)
        self.old = replaceable(self.target)
        self.part = self.target.with_name(new_part())
        handle = os.open(self.part, os.O_WRONLY | os.O_CREAT | os.O_EXCL | OPENING, 0o600 if self.old or private else 0o666)
        try:
            try:
                left = memoryview(data)
                while left:
                    left = left[os.write(handle, left) :]
                if self.old is not None and not private:
                    make_like(handle, self.target, self.old)
                sync(handle)
                self._written = os.fstat(handle)
            finally:
                os.close(handle)
        except BaseException:
            self.drop()
            raise
        if self.target.parent not in _swept:
            _swept.add(self.target.parent)
            remove_leftovers(self.target.parent, self._written.st_ctime, self.part.name)

    def put(self) -> None:
        """Gives it its name. OSError; FileExistsError as for `replace_file`."""
        if self.old is None:
            _name(self.part, self.target)
        else:
            _patiently(lambda: self.part.replace(self.target))
        sync_folder(self.target.parent)

    def is_there(self) -> bool:
        """Whether it has its name, and nothing else has got it since."""
        try:
            return os.path.samestat(self._written, self.target.lstat())
        except OSError:
            return False

    def drop(self) -> None:
        """Takes it away, if it has not got its name."""
        with suppress(OSError):
            self.part.unlink(missing_ok=True)


def new_part() -> str:
    """A name nobody can foresee, by which what a killed process left is known."""
    return f".workbook-{os.urandom(8).hex()}.part"


def is_part(name: str) -> bool:
    """Whether a file's name is a passing one."""
    return _PART.fullmatch(name) is not None


def replaceable(target: Path) -> os.stat_result | None:
    """The file at a path that no link leads on from; None when there is none. NotAFile; OSError."""
    try:
        found = target.lstat()
    except FileNotFoundError:
        return None
    require_file(found, target)
    if not found.st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH):
        raise NotAFile(errno.EACCES, _("the file is marked read-only"), target)
    return found


def _name(part: Path, target: Path) -> None:
    """A name that nothing has. FileExistsError."""
    if sys.platform == "win32":
        _patiently(lambda: part.rename(target))  # which never replaces there
    else:
        try:
            os.link(part, target, follow_symlinks=False)
            part.unlink()
        except OSError as trouble:
            if trouble.errno not in _NO_LINKS:
                raise
            if os.path.lexists(target):
                raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(target)) from None
            part.rename(target)


def _patiently(rename: Callable[[], object]) -> None:
    """Windows refuses while somebody reads the old file, a virus scanner say."""
    for pause in _PAUSES if sys.platform == "win32" else ():
        try:
            rename()
            return
        except PermissionError:
            time.sleep(pause)
    rename()


def remove_leftovers(folder: Path, now: float, but: str = "") -> None:
    """Removes what processes of this user left that were killed while they wrote, long before `now` by the disk's own clock.

    `but`: a name that stays.
    """
    with suppress(OSError):
        for entry in os.scandir(folder):
            with suppress(OSError):
                if is_part(entry.name) and entry.name != but and _is_left(entry.stat(follow_symlinks=False), now):
                    Path(entry.path).unlink()


def _is_left(status: os.stat_result, now: float) -> bool:
    """Whether a part is this user's and nobody writes it any more."""
    mine = sys.platform == "win32" or status.st_uid == os.geteuid()
    last = max(status.st_mtime, status.st_ctime)  # an old file set aside by a link has an old time of its content
    return mine and stat.S_ISREG(status.st_mode) and now - last > _OLD
