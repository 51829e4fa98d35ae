"""A file that says which process holds something, for disks without locks; it no longer counts once that process has ended."""

import os
import time
from contextlib import suppress
from pathlib import Path

from workbook.system.owners import OPENING, read_own
from workbook.system.processes import has_ended, this_process

_TRIES = 5
_WRITING = 10.0  # s that a claim may exist before its text is written


class Claim:
    """Held from `take` until `leave` or the end of the process."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def take(self) -> bool:
        """Take the claim; True when nobody else holds it. Raises OSError when its folder cannot be written."""
        for _ in range(_TRIES):
            if self._put():
                return True
            holder = self._found()
            if holder is None:
                continue  # released just now
            if not has_ended(holder):
                return False
            self._clear(holder)
        return False

    def leave(self) -> None:
        """Release the claim."""
        with suppress(OSError):  # the disk is gone: the end of the process releases the claim too
            self._path.unlink(missing_ok=True)

    def _put(self) -> bool:
        """Create the claim if there is none."""
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
        """The text of the claim; None when it is gone. An empty one is being written, or is left from a killed process."""
        try:
            words = read_own(self._path).decode(errors="replace")
            young = time.time() - self._path.stat().st_mtime < _WRITING
        except FileNotFoundError:
            return None
        return words or (this_process() if young else "")

    def _clear(self, stale: str) -> None:
        """Remove a stale claim: move it aside first, so that a claim made meanwhile is noticed and put back."""
        aside = self._path.with_name(f"{self._path.name}.{os.urandom(8).hex()}")
        with suppress(FileNotFoundError):
            self._path.rename(aside)
            if read_own(aside).decode(errors="replace") == stale:
                aside.unlink()
            else:
                aside.rename(self._path)
