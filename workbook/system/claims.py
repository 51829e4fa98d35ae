"""A file that says which process holds something, for disks that have no locks; it counts no more when that process is gone."""

import os
import time
from contextlib import suppress
from pathlib import Path

from workbook.system.owners import OPENING, read_own
from workbook.system.processes import has_ended, this_process

_TRIES = 5
_WRITING = 10.0  # s that a claim may be there without its words


class Claim:
    """Held from `take` until `leave` or the end of the process."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def take(self) -> bool:
        """True when nobody holds it. OSError when its folder cannot be written."""
        for _ in range(_TRIES):
            if self._put():
                return True
            found = self._found()
            if found is None:
                continue  # left just now
            if not has_ended(found):
                return False
            self._clear(found)
        return False

    def leave(self) -> None:
        """Lets go."""
        with suppress(OSError):  # a disk that is gone: the process's end says the same
            self._path.unlink(missing_ok=True)

    def _put(self) -> bool:
        """Claims it, if nothing is there."""
        try:
            handle = os.open(self._path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | OPENING, 0o600)
        except FileExistsError:
            return False
        try:
            os.write(handle, this_process().encode())
        finally:
            os.close(handle)
        return True

    def _found(self) -> str | None:
        """What the claim there says; None when it is gone. One without words is being written, or was left so by a kill."""
        try:
            words = read_own(self._path).decode(errors="replace")
            young = time.time() - self._path.stat().st_mtime < _WRITING
        except FileNotFoundError:
            return None
        return words or (this_process() if young else "")

    def _clear(self, stale: str) -> None:
        """Takes a stale claim away: aside first, so that one made meanwhile is seen, and put back."""
        aside = self._path.with_name(f"{self._path.name}.{os.urandom(8).hex()}")
        with suppress(FileNotFoundError):
            self._path.rename(aside)
            if read_own(aside).decode(errors="replace") == stale:
                aside.unlink()
            else:
                aside.rename(self._path)
