"""A lock that the system lets go when the process ends, however it ends; and a word from its holder that others can read."""

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

MOST = 16_000  # bytes of a word
_BYTE = 1 << 30  # where Windows locks: nobody else can read what is locked there, so far behind the word
_HELD = {errno.EWOULDBLOCK, errno.EAGAIN, errno.EACCES, errno.EDEADLK, getattr(errno, "EDEADLOCK", errno.EDEADLK)}
_NO_LOCKS = {errno.ENOLCK, errno.ENOSYS, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EINVAL}
_LOOKS = 3  # at a word that is just being changed


class Lock:
    """Held from `take` until `leave` or the end of the process.

    On a disk that has no locks, a file beside it (`NAME.held`) says which process holds it, and counts no more when that
    process is gone.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._handle: int | None = None
        self._claim: Claim | None = None

    def take(self) -> bool:
        """True when it was free, False when it is held. OSError when neither can be told: its folder cannot be written, or that
        or what stands there is another user's.
        """
        require_own(self._path.parent)
        while True:
            handle = open_own(self._path, os.O_RDWR | os.O_CREAT)
            claim = None
            try:
                taken = _hold(handle)
                if taken is None:
                    claim = Claim(self._path.with_name(f"{self._path.name}.held"))
                    taken = claim.take()
                gone = taken and not _is_at(handle, self._path)  # its holder removed it while it was opened here
            except BaseException:
                os.close(handle)
                raise
            if taken and not gone:
                self._handle, self._claim = handle, claim
                os.ftruncate(handle, 0)  # the word of one that was killed
                return True
            os.close(handle)
            if claim is not None and taken:
                claim.leave()
            if not taken:
                return False

    def free(self) -> bool:
        """Whether nobody holds it. OSError as for `take`."""
        other = Lock(self._path)
        taken = other.take()
        other.leave()
        return taken

    def tell(self, word: str) -> None:
        """Leaves a word for others while it is held. ValueError for one over `MOST` bytes; OSError when it cannot be written."""
        data = word.encode("utf-8", "surrogateescape")
        if self._handle is None or len(data) > MOST:
            raise ValueError(_("a lock that is not held tells nothing, and none tells more than a few lines"))
        whole = b"%08x\n" % zlib.crc32(data) + data
        os.lseek(self._handle, 0, os.SEEK_SET)
        left = memoryview(whole)
        while left:
            left = left[os.write(self._handle, left) :]
        os.ftruncate(self._handle, len(whole))

    def told(self) -> str:
        """The word its holder left; "" without one. That of a holder that was killed stays until the lock is taken again."""
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
        """Lets go, and takes the word back."""
        if self._handle is None:
            return
        with suppress(OSError):  # a full or vanished disk: the word stays, the lock goes all the same
            os.ftruncate(self._handle, 0)
        if self._claim is not None:
            self._claim.leave()
        os.close(self._handle)
        self._handle = self._claim = None


def _hold(handle: int) -> bool | None:
    """Takes the system's lock on an open file: whether it was free; None on a disk that has no locks."""
    try:
        if sys.platform == "win32":
            import msvcrt  # there alone

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
    """Whether the file that is open is still the one at the path."""
    try:
        return os.path.samestat(os.fstat(handle), path.stat(follow_symlinks=False))
    except FileNotFoundError:
        return False
