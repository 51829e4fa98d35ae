"""What a running program has kept, seen from outside: of a copy, since the program has its session locked."""

import shutil
import tempfile
from contextlib import suppress
from pathlib import Path

from workbook.document.document import Document
from workbook.storage.database import Database
from workbook.storage.unsaved import sessions


class Looked(Database):
    """A copy of a session and its log as they are now; it goes when it is closed."""

    def __init__(self, file: Path) -> None:
        self._folder = Path(tempfile.mkdtemp())
        shutil.copy(file, self._folder)
        with suppress(FileNotFoundError):  # a session may have no log
            shutil.copy(file.with_name(f"{file.name}-wal"), self._folder)
        super().__init__(self._folder / file.name)

    def close(self) -> None:
        super().close()
        shutil.rmtree(self._folder, ignore_errors=True)


def looked_at(folder: Path) -> Document:
    """The document of the only session there is; of an own book, once there is one beside the sample."""
    documents = []
    for each in sessions(folder):
        try:
            database = Looked(each.file)
        except FileNotFoundError:  # it was let go while we looked: the sample's, once there is an own book
            continue
        try:
            documents.append(database.body().document)
        finally:
            database.close()
    return min(documents, key=lambda each: each.settings.sample)
