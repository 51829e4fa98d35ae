"""Symbolic links: where what is written to a path comes to lie."""

import errno
import os
import stat
import sys
from pathlib import Path

from workbook.texts import _

_MOST = 40  # links one after the other, as Linux follows


def written_at(path: Path) -> Path:
    """Where a path leads, through all links; a link to what is not there leads to where that would be.

    OSError for links that lead to themselves, and for one that somebody else has laid in a folder open to all.
    """
    here = path
    for _unused in range(_MOST):
        here = Path(os.path.realpath(here.parent)) / here.name
        if not here.is_symlink():
            return here
        if _is_planted(here):
            raise PermissionError(errno.EACCES, _("a link of another user has this name"), str(path))
        here = here.parent / here.readlink()
    raise OSError(errno.ELOOP, _("links lead to themselves"), str(path))


def _is_planted(link: Path) -> bool:
    """Whether a link may lead where its maker may not write: not this user's nor the folder's owner's, in a folder like /tmp.

    It is what Linux itself follows or not (protected_symlinks).
    """
    if sys.platform == "win32":
        return False
    else:
        folder, owner = link.parent.stat(), link.lstat().st_uid
        shared = folder.st_mode & (stat.S_ISVTX | stat.S_IWOTH) == stat.S_ISVTX | stat.S_IWOTH
        return shared and owner not in (os.geteuid(), folder.st_uid)
