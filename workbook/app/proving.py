"""Read large workbooks back after writing, in a process of their own: until then no older copy is removed."""

from __future__ import annotations

from pathlib import Path
from threading import Thread

from PySide6.QtCore import QObject, Signal

from workbook.app.threads import begun
from workbook.problems import JobError
from workbook.storage.file import digest_of
from workbook.tasks.guarded import guarded


class Proving(QObject):
    """Reads files back, one after another."""

    proved = Signal(str)  # the digest of a file that opens
    failed = Signal(str, str)  # a file's name, and why it does not open

    def __init__(self) -> None:
        super().__init__()
        self._going: Thread | None = None

    def begin(self, path: Path, digest: str) -> None:
        """Read a file back, unless another is being read: the caller then asks again."""
        if self._going is None or not self._going.is_alive():
            self._going = begun(lambda: self._prove(path, digest), "proving")

    def _prove(self, path: Path, digest: str) -> None:
        try:
            if guarded(digest_of, path) == digest:  # otherwise someone else has written there since
                self.proved.emit(digest)
        except JobError as trouble:
            self.failed.emit(path.name, "; ".join(trouble.lines()))
        except RuntimeError:
            return  # the window is gone
