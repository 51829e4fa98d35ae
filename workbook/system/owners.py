"""Whose a file or folder is. What the program reads as its own must be this user's, and no other user may be able to write it.

Windows keeps a user's folders from others by itself, and Python is told nothing of it there: what is there counts as one's own.
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

# Not into other programs, never through a link, never waiting for whoever writes into a pipe.
OPENING = (
    getattr(os, "O_CLOEXEC", 0)
    | getattr(os, "O_NOFOLLOW", 0)
    | getattr(os, "O_NONBLOCK", 0)
    | getattr(os, "O_BINARY", 0)
    | getattr(os, "O_NOINHERIT", 0)
)
_MOST = 64_000_000  # bytes of a file that the program keeps for itself


class NotOurs(PermissionError):
    """What the program was to read as its own is another user's, can be written by others, or is no file or folder."""

    def __init__(self, path: Path, why: str) -> None:
        super().__init__(errno.EACCES, why, str(path))
        self.why = why

    def __str__(self) -> str:
        return f"{shown(str(self.filename))} {self.why}"


def distrust(status: os.stat_result) -> str:
    """Why a file or folder may not be read as the program's own: "belongs to another user"; "" when it may."""
    if sys.platform != "win32":
        if status.st_uid != os.geteuid():
            return _("belongs to another user")
        if status.st_mode & stat.S_IWOTH or (status.st_mode & stat.S_IWGRP and not _is_alone_in(status.st_gid)):
            return _("can be written by other users")
    return ""


def _is_alone_in(group: int) -> bool:
    """Whether a group is this user's own: of the same name, as most systems make one for each, and without other members."""
    if sys.platform == "win32":
        return True
    else:
        try:
            name, known = pwd.getpwuid(os.geteuid()).pw_name, grp.getgrgid(group)
        except KeyError:
            return False
        return known.gr_name == name and not set(known.gr_mem) - {name}


def open_own(path: Path, flags: int) -> int:
    """A handle on a file of the program's own, made (for this user alone) where the flags have O_CREAT.

    OSError; NotOurs for a link, a pipe, a device, a folder, or what `distrust` says.
    """
    try:
        handle = os.open(path, flags | OPENING, 0o600)
    except OSError as trouble:
        if trouble.errno in (errno.ELOOP, errno.EMLINK, errno.ENXIO):
            raise NotOurs(path, _("is no file")) from None
        raise
    found = os.fstat(handle)
    why = distrust(found) if stat.S_ISREG(found.st_mode) else _("is no file")
    if why:
        os.close(handle)
        raise NotOurs(path, why)
    return handle


def read_own(path: Path) -> bytes:
    """What is in a file of the program's own. OSError; NotOurs as for `open_own`."""
    with os.fdopen(open_own(path, os.O_RDONLY), "rb") as file:
        return file.read(_MOST)


def own_folder(path: Path) -> Path:
    """A folder of the program's own, made for this user alone where there is none. OSError; NotOurs as `distrust` says."""
    try:
        path.mkdir(mode=0o700, parents=True, exist_ok=True)
    except FileExistsError:
        raise NotOurs(path, _("is no folder")) from None
    require_own(path)
    return path


def require_own(path: Path) -> None:
    """NotOurs for a folder that is not this user's alone. OSError where there is none."""
    why = distrust(path.stat())
    if why:
        raise NotOurs(path, why)


def is_own(folder: Path) -> bool:
    """Whether there is such a folder, and it is this user's alone."""
    try:
        require_own(folder)
    except OSError:
        return False
    return folder.is_dir()


def remove_foreign(folder: Path) -> bool:
    """Removes what lies anywhere below a folder of one's own and may not be trusted; whether nothing of that is left.

    For what can be made again. Nobody else can put anything there meanwhile.
    """
    sound = True
    for place, folders, files in os.walk(folder):
        for name in (*folders, *files):
            found = Path(place, name).lstat()
            if distrust(found) or not (stat.S_ISREG(found.st_mode) or stat.S_ISDIR(found.st_mode)):
                sound = _removed(Path(place, name)) and sound
    return sound


def _removed(place: Path) -> bool:
    with suppress(OSError):
        place.rmdir() if place.is_dir() and not place.is_symlink() else place.unlink()
        return True
    return False
