"""Symbolic links: where data written to a path ends up."""

import errno
import os
import stat
import sys
from pathlib import Path

from workbook.texts import _

_MOST = 40  # links in a chain, as many as Linux follows


def written_at(path: Path) -> Path:
    """Where a path leads through all links; a link to a missing file leads to where that file would be.

    Raises OSError for links that form a loop, and for one that another user has placed in a folder open to all.
    """
    current = path
    for _unused in range(_MOST):
        current = Path(os.path.realpath(current.parent)) / current.name
        if not current.is_symlink():
            return current
        if _is_planted(current):
            raise PermissionError(errno.EACCES, _("a link of another user has this name"), str(path))
        current = current.parent / current.readlink()
    raise OSError(errno.ELOOP, _("links lead to themselves"), str(path))


def _is_planted(link: Path) -> bool:
    """Whether a link in a folder like /tmp may lead where its creator may not write: neither this user's nor the folder owner's.

    Linux itself refuses to follow the same links (protected_symlinks).
    """
    if sys.platform == "win32":
        return False
    else:
        folder, owner = link.parent.stat(), link.lstat().st_uid
        shared = folder.st_mode & (stat.S_ISVTX | stat.S_IWOTH) == stat.S_ISVTX | stat.S_IWOTH
        return shared and owner not in (os.geteuid(), folder.st_uid)
