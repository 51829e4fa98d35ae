"""What a file was before it is replaced, kept under a passing name until all that belongs together is written."""

import os
from contextlib import suppress
from pathlib import Path

from workbook.system.files import read_file
from workbook.system.replacing import Waiting, new_part


class Aside:
    """The very file by a hard link, where the disk has them, else a copy; nothing where there was none. OSError."""

    def __init__(self, one: Waiting) -> None:
        self._one = one
        self._link: Path | None = None
        self._copy: Waiting | None = None
        if one.old is not None:
            link = one.target.with_name(new_part())
            try:
                os.link(one.target, link, follow_symlinks=False)
                self._link = link
            except OSError:
                self._copy = Waiting(one.target, read_file(one.target))

    def put_back(self) -> None:
        """As it was before, if the new one has its place. A disk that is gone keeps what it has."""
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
        """It is not wanted any more."""
        with suppress(OSError):
            if self._link is not None:
                self._link.unlink(missing_ok=True)
            elif self._copy is not None:
                self._copy.drop()
