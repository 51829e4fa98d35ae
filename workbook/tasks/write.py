"""Files that appear whole or not at all."""

import os
from collections.abc import Mapping
from pathlib import Path

from workbook.problems import JobError, Mistake

_PART = ".part-of-workbook"


def write_all(folder: Path, files: Mapping[str, bytes]) -> None:
    """Writes every file under the folder: first all of them under passing names, flushed to disk, then each is renamed.

    Raises JobError when the folder cannot be written; then none of the files has changed.
    """
    passing: dict[Path, Path] = {}
    try:
        for name, content in files.items():
            final = folder / name
            final.parent.mkdir(parents=True, exist_ok=True)
            passing[final] = final.with_name(f".{final.name}{_PART}")
            _write(passing[final], content)
        for final, part in passing.items():
            part.replace(final)
    except OSError as trouble:
        for part in passing.values():
            part.unlink(missing_ok=True)
        where = trouble.filename or folder
        raise JobError(
            [Mistake(place=str(where), what=f"cannot be written: {trouble.strerror}.", right="Choose another folder.")]
        ) from None


def _write(path: Path, content: bytes) -> None:
    with path.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def file_name(name: str, taken: set[str]) -> str:
    """A template's name as a file name any system takes, not yet in `taken` (which it joins)."""
    plain = "-".join("".join(c if c.isalnum() and c.isascii() else " " for c in name).split()).lower() or "template"
    candidate, n = plain, 2
    while candidate in taken:
        candidate, n = f"{plain}-{n}", n + 1
    taken.add(candidate)
    return candidate
