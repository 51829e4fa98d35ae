"""Writes that survive a power failure."""

import errno
import os
import sys
from pathlib import Path

if sys.platform != "win32":
    import fcntl

_CANNOT = {errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EBADF, errno.EACCES, errno.EPERM, errno.ENOSYS, errno.ENOTTY}


def sync(handle: int) -> None:
    """Make what was written to an open file durable. Raises OSError."""
    if sys.platform == "darwin":
        try:  # there fsync does not flush the disk's own cache
            fcntl.fcntl(handle, fcntl.F_FULLFSYNC)
            return
        except OSError as trouble:
            if trouble.errno not in _CANNOT:  # a network disk
                raise
    os.fsync(handle)


def sync_folder(folder: Path) -> None:
    """Make the names in a folder durable where the disk can (Windows does so by itself). Raises OSError for a failing disk."""
    if sys.platform != "win32":
        try:
            handle = os.open(folder, os.O_RDONLY | os.O_CLOEXEC | os.O_DIRECTORY)
            try:
                os.fsync(handle)
            finally:
                os.close(handle)
        except OSError as trouble:
            if trouble.errno not in _CANNOT:  # a folder that may be written but not read, or one on a network
                raise
