"""What a file has besides its content: owner, group, permissions, extended attributes and access lists."""

import os
import stat
import sys
from contextlib import suppress
from pathlib import Path

_LISTS = "system.posix_acl_access"
_ACL, _XATTR = 1 << 0, 1 << 2  # macOS, copyfile.h


def make_like(handle: int, old: Path, status: os.stat_result) -> None:
    """Give an open new file the attributes of an old one, as far as this user may. On Windows its folder decides them.

    Where the group cannot be kept, this user's group gets no more rights than everybody.
    """
    if sys.platform != "win32":
        mode, group_kept = stat.S_IMODE(status.st_mode) & 0o777, _owned_like(handle, status)
        os.fchmod(handle, mode if group_kept else mode & ~0o070 | (mode & 0o007) << 3 & mode)
        if sys.platform == "darwin":
            _copy_on_macos(handle, old)
        else:
            _copy_attributes(handle, old, lists=group_kept)


def _owned_like(handle: int, stat: os.stat_result) -> bool:
    """Copy owner and group, or the group alone; whether the group is the old one."""
    if sys.platform == "win32":
        return True
    else:
        now = os.fstat(handle)
        if (now.st_uid, now.st_gid) == (stat.st_uid, stat.st_gid):
            return True
        for owner in (stat.st_uid, -1):
            with suppress(OSError):
                os.fchown(handle, owner, stat.st_gid)
                return True
        return now.st_gid == stat.st_gid


def _copy_attributes(handle: int, old: Path, *, lists: bool) -> None:
    """Copy each attribute that this user may read and the disk accepts."""
    if sys.platform == "linux":
        with suppress(OSError):  # a disk without attributes
            for name in os.listxattr(old, follow_symlinks=False):
                with suppress(OSError):
                    if lists or name != _LISTS:
                        os.setxattr(handle, name, os.getxattr(old, name, follow_symlinks=False))


def _copy_on_macos(handle: int, old: Path) -> None:
    import ctypes  # needed only there

    with suppress(OSError, AttributeError):
        before = os.open(old, os.O_RDONLY)
        try:
            ctypes.CDLL(None).fcopyfile(before, handle, None, _ACL | _XATTR)
        finally:
            os.close(before)
