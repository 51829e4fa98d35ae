"""Owners of files and folders. What the program reads as its own must be this user's, and no other user may be able to write it.

Windows itself protects a user's folders from others and does not tell Python about it: there everything counts as the user's.
"""

import errno
import os
import stat
import sys
from contextlib import suppress
from pathlib import Path

from workbook.texts import _

if sys.platform != "win32":
    import grp
    import pwd

from workbook.system.names import shown

# Not inherited by other programs, never through a link, never waiting for the writer of a pipe.
OPENING = (
    getattr(os, "O_CLOEXEC", 0)
    | getattr(os, "O_NOFOLLOW", 0)
    | getattr(os, "O_NONBLOCK", 0)
    | getattr(os, "O_BINARY", 0)
    | getattr(os, "O_NOINHERIT", 0)
)
_MOST = 64_000_000  # bytes read from a file of the program's own, at most


class NotOurs(PermissionError):
    """A path that should be the program's own belongs to another user, can be written by others, or is no file or folder."""

    def __init__(self, path: Path, why: str) -> None:
        super().__init__(errno.EACCES, why, str(path))
        self.why = why

    def __str__(self) -> str:
        return _("{path} ({why})", path=shown(str(self.filename)), why=self.why)


def distrust(status: os.stat_result) -> str:
    """Why a file or folder may not be read as the program's own: "belongs to another user"; "" when it may."""
    if sys.platform != "win32":
        if status.st_uid != os.geteuid():
            return _("belongs to another user")
        if status.st_mode & stat.S_IWOTH or (status.st_mode & stat.S_IWGRP and not _is_alone_in(status.st_gid)):
            return _("can be written by other users")
    return ""


def _is_alone_in(group: int) -> bool:
    """Whether a group is this user's alone: it has the same name, as most systems create one per user, and no other members."""
    if sys.platform == "win32":
        return True
    else:
        try:
            name, entry = pwd.getpwuid(os.geteuid()).pw_name, grp.getgrgid(group)
        except KeyError:
            return False
        return entry.gr_name == name and not set(entry.gr_mem) - {name}


def open_own(path: Path, flags: int) -> int:
    """Open a file of the program's own and return its handle; with O_CREAT it is created, for this user alone.

    Raises OSError; NotOurs for a link, a pipe, a device, a folder, or what `distrust` rejects.
    """
    try:
        handle = os.open(path, flags | OPENING, 0o600)
    except OSError as trouble:
        if trouble.errno in (errno.ELOOP, errno.EMLINK, errno.ENXIO):
            raise NotOurs(path, _("is not a file")) from None
        raise
    status = os.fstat(handle)
    reason = distrust(status) if stat.S_ISREG(status.st_mode) else _("is not a file")
    if reason:
        os.close(handle)
        raise NotOurs(path, reason)
    return handle


def read_own(path: Path) -> bytes:
    """Read a file of the program's own. Raises OSError; NotOurs as `open_own` does."""
    with os.fdopen(open_own(path, os.O_RDONLY), "rb") as file:
        return file.read(_MOST)


def own_folder(path: Path) -> Path:
    """A folder of the program's own, created for this user alone if missing. Raises OSError; NotOurs if `distrust` rejects it."""
    try:
        path.mkdir(mode=0o700, parents=True, exist_ok=True)
    except FileExistsError:
        raise NotOurs(path, _("is not a folder")) from None
    require_own(path)
    return path


def require_own(path: Path) -> None:
    """Raise NotOurs for a folder that is not this user's alone, OSError where there is none."""
    reason = distrust(path.stat())
    if reason:
        raise NotOurs(path, reason)


def is_own(folder: Path) -> bool:
    """Whether a folder exists and is this user's alone."""
    try:
        require_own(folder)
    except OSError:
        return False
    return folder.is_dir()


def remove_foreign(folder: Path) -> bool:
    """Remove everything below a folder of this user that may not be trusted; whether none of it is left.

    For content that can be made again. Nobody else can add anything there meanwhile.
    """
    sound = True
    for parent, folders, files in os.walk(folder):
        for name in (*folders, *files):
            status = Path(parent, name).lstat()
            if distrust(status) or not (stat.S_ISREG(status.st_mode) or stat.S_ISDIR(status.st_mode)):
                sound = _removed(Path(parent, name)) and sound
    return sound


def _removed(place: Path) -> bool:
    with suppress(OSError):
        place.rmdir() if place.is_dir() and not place.is_symlink() else place.unlink()
        return True
    return False
