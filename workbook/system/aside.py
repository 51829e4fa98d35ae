"""The old version of a file that is replaced, kept under a temporary name until all files of a set are written."""

import os
from contextlib import suppress
from pathlib import Path

from workbook.system.files import read_file
from workbook.system.replacing import Waiting, new_part


class Aside:
    """The old file: a hard link where the disk supports them, else a copy; nothing where there was none. Raises OSError."""

    def __init__(self, waiting: Waiting) -> None:
        self._one = waiting
        self._link: Path | None = None
        self._copy: Waiting | None = None
        if waiting.old is not None:
            link = waiting.target.with_name(new_part())
            try:
                os.link(waiting.target, link, follow_symlinks=False)
                self._link = link
            except OSError:
                self._copy = Waiting(waiting.target, read_file(waiting.target))

    def put_back(self) -> None:
        """Restore the old file if the new one is in place. A disk that has gone away keeps what it has."""
        with suppress(OSError):
            if not self._one.is_there():
                return
            if self._link is not None:
                self._link.replace(self._one.target)
            elif self._copy is not None:
                self._copy.put()
            else:
                self._one.target.unlink()

    def drop(self) -> None:
        """Discard the old file: it is no longer needed."""
        with suppress(OSError):
            if self._link is not None:
                self._link.unlink(missing_ok=True)
            elif self._copy is not None:
                self._copy.drop()
