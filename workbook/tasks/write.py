"""Files that appear whole or not at all, and over nothing that nobody asked to have replaced."""

import os
from collections.abc import Collection, Mapping
from contextlib import suppress
from pathlib import Path

from workbook.problems import JobError, Mistake
from workbook.system.aside import Aside
from workbook.system.files import read_file
from workbook.system.names import is_reserved, shown
from workbook.system.replacing import Waiting, is_part
from workbook.texts import _

_LONGEST = 80  # signs of a name: with what is added to it no system's limit of 255 bytes
_NAMED = 8  # files told by name


class WouldReplace(JobError):
    """Files are there that nobody asked to have replaced; `names` under the folder. Nothing was written."""

    def __init__(self, folder: Path, names: Collection[str], right: str = "Choose another folder.") -> None:
        self.names = tuple(names)
        what = f"{listed(names)} {'is' if len(names) == 1 else 'are'} there already and would be replaced."
        super().__init__([Mistake(place=shown(folder), what=what, right=right)])


def listed(names: Collection[str]) -> str:
    """Names in a row, of many the first: "a.dxf, b.dxf and 7 more"."""
    first = ", ".join(shown(name) for name in list(names)[:_NAMED])
    return first if len(names) <= _NAMED else _("{first} and {count} more", first=first, count=len(names) - _NAMED)


def in_the_way(folder: Path, files: Mapping[str, bytes]) -> list[str]:
    """Names under the folder that are there with another content than is to be written."""
    return [name for name, content in files.items() if os.path.lexists(folder / name) and not _holds(folder / name, content)]


def _holds(path: Path, content: bytes) -> bool:
    try:
        return read_file(path) == content
    except OSError:
        return False


def write_all(folder: Path, files: Mapping[str, bytes], *, over: Collection[str] = ()) -> None:
    """Writes every file under the folder: first all of them under passing names, durable, then each gets its own.

    `over`: names that may be replaced; others are WouldReplace. JobError when something cannot be written. Then every file and
    folder is as it was before. What is there with the same content is left alone.
    """
    refused = [name for name in in_the_way(folder, files) if name not in over and not (folder / name).is_dir()]
    if refused:
        raise WouldReplace(folder, refused)
    waiting: list[Waiting] = []
    made: list[Path] = []
    final = folder
    try:
        for name, content in files.items():
            final = folder / name
            if _holds(final, content):
                continue
            made += _made_folders(final.parent)
            waiting.append(Waiting(final, content))
            if waiting[-1].old is not None and name not in over:  # it came after the look above
                raise WouldReplace(folder, [name])
        _put(waiting)
        made.clear()
    except OSError as trouble:
        raise JobError([_cannot(trouble, final)]) from None
    finally:  # also when interrupted: no passing name and no new folder stays behind
        for one in waiting:
            one.drop()
        for new in reversed(made):
            with suppress(OSError):
                new.rmdir()


def _cannot(trouble: OSError, final: Path) -> Mistake:
    """Told of the file that was to be, not of the passing name."""
    named = Path(os.fsdecode(trouble.filename)) if trouble.filename else final
    place = final if is_part(named.name) else named
    return Mistake(
        place=shown(place), what=_("cannot be written: {strerror}.", strerror=trouble.strerror), right=_("Choose another folder.")
    )


def _made_folders(folder: Path) -> list[Path]:
    """Makes a folder with those above it; the new ones, the outermost first."""
    new = [one for one in (folder, *folder.parents) if not one.exists()]
    folder.mkdir(parents=True, exist_ok=True)
    return new[::-1]


def _put(waiting: list[Waiting]) -> None:
    """Gives every file its name; should one fail, those that have theirs make room again for what was there."""
    before: list[Aside] = []
    try:
        for one in waiting:
            before.append(Aside(one))
            one.put()
    except BaseException:  # an interrupt too leaves every file as it was
        for old in reversed(before):
            old.put_back()
        raise
    finally:
        for old in before:
            old.drop()


def file_name(name: str, taken: set[str]) -> str:
    """A template's name as a file name any system takes, not yet in `taken` (which it joins)."""
    plain = "-".join("".join(c if c.isalnum() and c.isascii() else " " for c in name).split()).lower() or "template"
    plain = plain[:_LONGEST].rstrip("-")
    plain = f"{plain}-1" if is_reserved(plain) else plain
    candidate, n = plain, 2
    while candidate in taken:
        candidate, n = f"{plain}-{n}", n + 1
    taken.add(candidate)
    return candidate
