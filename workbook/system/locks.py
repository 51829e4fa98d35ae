"""A lock that the system releases when the process ends, however it ends, and a message from its holder to others."""

import errno
import os
import sys
import zlib
from contextlib import suppress
from pathlib import Path

from workbook.system.claims import Claim
from workbook.system.owners import open_own, require_own
from workbook.texts import _

if sys.platform != "win32":
    import fcntl

MOST = 16_000  # bytes of a message
_BYTE = 1 << 30  # the byte that Windows locks: others cannot read what is locked, so it lies far behind the message
_HELD = {errno.EWOULDBLOCK, errno.EAGAIN, errno.EACCES, errno.EDEADLK, getattr(errno, "EDEADLOCK", errno.EDEADLK)}
_NO_LOCKS = {errno.ENOLCK, errno.ENOSYS, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EINVAL}
_LOOKS = 3  # attempts to read a message that is being changed


class Lock:
    """Held from `take` until `leave` or the end of the process.

    On a disk without locks, a file beside it (`NAME.held`) says which process holds it; it no longer counts once that
    process has ended.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._handle: int | None = None
        self._claim: Claim | None = None

    def take(self) -> bool:
        """Take the lock; True when it was free, False when it is held.

        Raises OSError when that cannot be determined: the folder cannot be written, or the folder or file is another user's.
        """
        require_own(self._path.parent)
        while True:
            handle = open_own(self._path, os.O_RDWR | os.O_CREAT)
            claim = None
            try:
                acquired = _hold(handle)
                if acquired is None:
                    claim = Claim(self._path.with_name(f"{self._path.name}.held"))
                    acquired = claim.take()
                stale = acquired and not _is_at(handle, self._path)  # its holder removed it while it was opened here
            except BaseException:
                os.close(handle)
                raise
            if acquired and not stale:
                self._handle, self._claim = handle, claim
                os.ftruncate(handle, 0)  # the message of a killed holder
                return True
            os.close(handle)
            if claim is not None and acquired:
                claim.leave()
            if not acquired:
                return False

    def free(self) -> bool:
        """Whether nobody holds the lock. Raises OSError as `take` does."""
        probe = Lock(self._path)
        is_free = probe.take()
        probe.leave()
        return is_free

    def tell(self, word: str) -> None:
        """Leave a message for others while the lock is held.

        Raises ValueError for a message over `MOST` bytes or a lock that is not held; OSError when it cannot be written.
        """
        data = word.encode("utf-8", "surrogateescape")
        if self._handle is None or len(data) > MOST:
            raise ValueError(_("a lock that is not held tells nothing, and none tells more than a few lines"))
        record = b"%08x\n" % zlib.crc32(data) + data
        os.lseek(self._handle, 0, os.SEEK_SET)
        remaining = memoryview(record)
        while remaining:
            remaining = remaining[os.write(self._handle, remaining) :]
        os.ftruncate(self._handle, len(record))

    def told(self) -> str:
        """The message its holder left; "" without one. That of a killed holder stays until the lock is taken again."""
        for _unused in range(_LOOKS):
            try:
                handle = open_own(self._path, os.O_RDONLY)
            except OSError:
                return ""
            try:
                sum_, _, data = os.read(handle, MOST + 16).partition(b"\n")
            finally:
                os.close(handle)
            if sum_ == b"%08x" % zlib.crc32(data):
                return data.decode("utf-8", "surrogateescape")
        return ""

    def leave(self) -> None:
        """Release the lock and withdraw the message."""
        if self._handle is None:
            return
        with suppress(OSError):  # a full or missing disk: the message stays, the lock is released all the same
            os.ftruncate(self._handle, 0)
        if self._claim is not None:
            self._claim.leave()
        os.close(self._handle)
        self._handle = self._claim = None


def _hold(handle: int) -> bool | None:
    """Take the system's lock on an open file; whether it was free, or None on a disk without locks."""
    try:
        if sys.platform == "win32":
            import msvcrt  # needed only there

            os.lseek(handle, _BYTE, os.SEEK_SET)
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as trouble:
        if trouble.errno in _HELD:
            return False
        if trouble.errno in _NO_LOCKS:
            return None
        raise
    return True


def _is_at(handle: int, path: Path) -> bool:
    """Whether the open file is still the one at the path."""
    try:
        return os.path.samestat(os.fstat(handle), path.stat(follow_symlinks=False))
    except FileNotFoundError:
        return False
