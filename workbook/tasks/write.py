"""Files that appear whole or not at all."""

import os
from collections.abc import Mapping
from errno import EISDIR
from pathlib import Path

from workbook.problems import JobError, Mistake

_PART = ".part-of-workbook"


def write_all(folder: Path, files: Mapping[str, bytes]) -> None:
    """Writes every file under the folder: first all of them under passing names, flushed to disk, then each is renamed.

    Raises JobError when the folder cannot be written; then every file is as it was before.
    """
    passing: dict[Path, Path] = {}
    try:
        for name, content in files.items():
            final = folder / name
            final.parent.mkdir(parents=True, exist_ok=True)
            if final.is_dir():
                raise IsADirectoryError(EISDIR, "a folder has this name", str(final))
            passing[final] = final.with_name(f".{final.name}{_PART}")
            _write(passing[final], content)
        _rename(passing)
    except OSError as trouble:
        where = trouble.filename or folder
        what = f"cannot be written: {trouble.strerror}."
        raise JobError([Mistake(place=str(where), what=what, right="Choose another folder.")]) from None
    finally:  # also when interrupted: no passing name stays behind
        for part in passing.values():
            part.unlink(missing_ok=True)


def _rename(passing: Mapping[Path, Path]) -> None:
    """Gives every file its final name; should one fail, those already renamed get their old content back."""
    before: list[tuple[Path, bytes | None]] = []
    try:
        for final, part in passing.items():
            before.append((final, final.read_bytes() if final.exists() else None))
            part.replace(final)
    except BaseException:  # an interrupt too leaves every file as it was
        for final, content in before:
            if content is None:
                final.unlink(missing_ok=True)
            else:
                final.write_bytes(content)
        raise


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
