"""A lock that the system lets go when the process ends, however it ends."""

import os
import sys
from pathlib import Path

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl


class Lock:
    """Held from `take` until `leave` or the end of the process."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._handle: int | None = None

    def take(self) -> bool:
        """True when it was free. OSError when its folder cannot be written."""
        handle = os.open(self._path, os.O_RDWR | os.O_CREAT, 0o600)
        try:
            if sys.platform == "win32":
                msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
            else:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            os.close(handle)
            return False
        self._handle = handle
        return True

    def tell(self, text: str) -> None:
        """What others may read while it is held."""
        if self._handle is not None:
            os.ftruncate(self._handle, 0)
            os.pwrite(self._handle, text.encode(), 0)

    def told(self) -> str:
        """What its holder tells."""
        return self._path.read_text(encoding="utf-8")

    def free(self) -> bool:
        """Whether nobody holds it. OSError as for `take`."""
        taken = self.take()
        self.leave()
        return taken

    def leave(self) -> None:
        """Lets go."""
        if self._handle is not None:
            os.close(self._handle)
            self._handle = None
