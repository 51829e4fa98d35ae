"""What a running program has kept, seen from outside: of a copy, since the program has its session locked."""

import shutil
import tempfile
from pathlib import Path

from workbook.storage.database import Database


class Looked(Database):
    """A copy of a session and its log as they are now; it goes when it is closed."""

    def __init__(self, file: Path) -> None:
        self._folder = Path(tempfile.mkdtemp())
        for part in (file, file.with_name(f"{file.name}-wal")):
            if part.exists():
                shutil.copy(part, self._folder / part.name)
        super().__init__(self._folder / file.name)

    def close(self) -> None:
        super().close()
        shutil.rmtree(self._folder, ignore_errors=True)
