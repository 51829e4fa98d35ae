"""What is on the disk and stays there when the power goes."""

import errno
import os
import sys
from pathlib import Path

if sys.platform != "win32":
    import fcntl

_CANNOT = {errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EBADF, errno.EACCES, errno.EPERM, errno.ENOSYS, errno.ENOTTY}


def sync(handle: int) -> None:
    """Makes what was written to an open file durable. OSError."""
    if sys.platform == "darwin":
        try:  # fsync stops at the disk's own memory there
            fcntl.fcntl(handle, fcntl.F_FULLFSYNC)
            return
        except OSError as trouble:
            if trouble.errno not in _CANNOT:  # a network disk
                raise
    os.fsync(handle)


def sync_folder(folder: Path) -> None:
    """Makes the names in a folder durable, where the disk can: Windows does so by itself. OSError for a disk with errors."""
    if sys.platform != "win32":
        try:
            handle = os.open(folder, os.O_RDONLY | os.O_CLOEXEC | os.O_DIRECTORY)
            try:
                os.fsync(handle)
            finally:
                os.close(handle)
        except OSError as trouble:
            if trouble.errno not in _CANNOT:  # one in which names may be made, but not read; one on a network
                raise
