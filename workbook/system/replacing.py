"""Files replaced as a whole: the new content is written beside the file under a random name, made durable, and then renamed.

A replaced file keeps its permissions, owner and attributes (`likeness`); a link stays a link and its target is replaced. Of
several hard links only the named one becomes the new file; the others keep the old content. Writing into the old file would
change them all, and a power failure would leave half a file.
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
_OLD = 3600.0  # s since the last change: its writer is gone
_NO_LINKS = {errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK, errno.EINVAL}
_PAUSES = (0.01, 0.03, 0.1, 0.2, 0.4, 0.8)  # s: on Windows, to wait for readers of the old file
_swept: set[Path] = set()  # folders already searched for leftovers


def replace_file(path: Path, data: bytes, *, check: Callable[[], None] | None = None, private: bool = False) -> None:
    """Write data to a path, whole and durable, replacing what is there. `private`: for this user alone, whatever was there.

    `check` is called just before the replacement; if it raises, the old file stays. Raises OSError when the file cannot be
    written; NotAFile; FileExistsError when there was no file and somebody else created one meanwhile. On any error everything
    stays as it was.
    """
    waiting = Waiting(path, data, private=private)
    try:
        if check is not None:
            check()
        waiting.put()
    finally:
        waiting.drop()


class Waiting:
    """Content that lies beside the file it is to become. Raises OSError when it cannot be written, and leaves nothing there."""

    def __init__(self, path: Path, data: bytes, *, private: bool = False) -> None:
        self.target = path if private else written_at(path)
        self.old = replaceable(self.target)
        self.part = self.target.with_name(new_part())
        handle = os.open(self.part, os.O_WRONLY | os.O_CREAT | os.O_EXCL | OPENING, 0o600 if self.old or private else 0o666)
        try:
            try:
                remaining = memoryview(data)
                while remaining:
                    remaining = remaining[os.write(handle, remaining) :]
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
        """Rename the content into place. Raises OSError; FileExistsError as `replace_file` does."""
        if self.old is None:
            _name(self.part, self.target)
        else:
            _patiently(lambda: self.part.replace(self.target))
        sync_folder(self.target.parent)

    def is_there(self) -> bool:
        """Whether the content is in place and has not been replaced since."""
        try:
            return os.path.samestat(self._written, self.target.lstat())
        except OSError:
            return False

    def drop(self) -> None:
        """Remove the content unless it is in place."""
        with suppress(OSError):
            self.part.unlink(missing_ok=True)


def new_part() -> str:
    """A name that nobody can predict, and by which leftovers of a killed process are recognised."""
    return f".workbook-{os.urandom(8).hex()}.part"


def is_part(name: str) -> bool:
    """Whether a file name is a temporary one."""
    return _PART.fullmatch(name) is not None


def replaceable(target: Path) -> os.stat_result | None:
    """The status of the file at a path that is not a link; None when there is none. Raises NotAFile; OSError."""
    try:
        status = target.lstat()
    except FileNotFoundError:
        return None
    require_file(status, target)
    if not status.st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH):
        raise NotAFile(errno.EACCES, _("the file is marked read-only"), target)
    return status


def _name(part: Path, target: Path) -> None:
    """Rename a part to a name that is free. Raises FileExistsError."""
    if sys.platform == "win32":
        _patiently(lambda: part.rename(target))  # on Windows it never replaces a file
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
    """Rename, with retries: Windows refuses while another program, such as a virus scanner, reads the old file."""
    for pause in _PAUSES if sys.platform == "win32" else ():
        try:
            rename()
            return
        except PermissionError:
            time.sleep(pause)
    rename()


def remove_leftovers(folder: Path, now: float, but: str = "") -> None:
    """Remove what this user's processes left when they were killed while writing, long before `now` by the disk's own clock.

    `but`: a name that is kept.
    """
    with suppress(OSError):
        for entry in os.scandir(folder):
            with suppress(OSError):
                if is_part(entry.name) and entry.name != but and _is_left(entry.stat(follow_symlinks=False), now):
                    Path(entry.path).unlink()


def _is_left(status: os.stat_result, now: float) -> bool:
    """Whether a part is this user's and nobody is writing it any more."""
    mine = sys.platform == "win32" or status.st_uid == os.geteuid()
    last = max(status.st_mtime, status.st_ctime)  # a link to an old file keeps its modification time
    return mine and stat.S_ISREG(status.st_mode) and now - last > _OLD
