"""Writing files whole or not at all, and replacing nothing unless asked to."""

import os
from collections.abc import Collection, Mapping
from contextlib import suppress
from pathlib import Path

from workbook.problems import JobError, Mistake
from workbook.system.aside import Aside
from workbook.system.files import read_file
from workbook.system.names import is_reserved, shown
from workbook.system.replacing import Waiting, is_part
from workbook.texts import _, ngettext

_LONGEST = 80  # characters of a name: with what is added it stays within any system's limit of 255 bytes
_NAMED = 8  # files listed by name


class WouldReplace(JobError):
    """Files exist that nobody asked to replace, `names` under the folder. Nothing was written."""

    def __init__(self, folder: Path, names: Collection[str], right: str = "") -> None:
        self.names = tuple(names)
        message = ngettext(
            "{count} file exists and would be replaced: {names}.",
            "{count} files exist and would be replaced: {names}.",
            len(names),
            names=listed(names),
        )
        super().__init__([Mistake(place=shown(folder), what=message, right=right or _("Choose another folder."))])


def listed(names: Collection[str]) -> str:
    """Names in a row, only the first of many: "a.dxf, b.dxf and 7 more"."""
    first = ", ".join(shown(name) for name in list(names)[:_NAMED])
    return first if len(names) <= _NAMED else _("{first} and {count} more", first=first, count=len(names) - _NAMED)


def in_the_way(folder: Path, files: Mapping[str, bytes]) -> list[str]:
    """Names of files that exist under the folder with other content than is to be written."""
    return [name for name, content in files.items() if os.path.lexists(folder / name) and not _holds(folder / name, content)]


def _holds(path: Path, content: bytes) -> bool:
    try:
        return read_file(path) == content
    except OSError:
        return False


def write_all(folder: Path, files: Mapping[str, bytes], *, over: Collection[str] = ()) -> None:
    """Write every file under the folder: first all under temporary names, durably, then each gets its own name.

    `over`: names that may be replaced; others raise WouldReplace. Raises JobError if something cannot be written; every file
    and folder is then as it was before. A file that exists with the same content is left alone.
    """
    refused = [name for name in in_the_way(folder, files) if name not in over and not (folder / name).is_dir()]
    if refused:
        raise WouldReplace(folder, refused)
    waiting: list[Waiting] = []
    folders: list[Path] = []
    final = folder
    try:
        for name, content in files.items():
            final = folder / name
            if _holds(final, content):
                continue
            folders += _made_folders(final.parent)
            waiting.append(Waiting(final, content))
            if waiting[-1].old is not None and name not in over:  # it appeared after the check above
                raise WouldReplace(folder, [name])
        _put(waiting)
        folders.clear()
    except OSError as trouble:
        raise JobError([_cannot(trouble, final)]) from None
    finally:  # also when interrupted: no temporary name and no new folder stays behind
        for file in waiting:
            file.drop()
        for new in reversed(folders):
            with suppress(OSError):
                new.rmdir()


def _cannot(trouble: OSError, final: Path) -> Mistake:
    """The mistake, which names the file to be written and not its temporary name."""
    path = Path(os.fsdecode(trouble.filename)) if trouble.filename else final
    place = final if is_part(path.name) else path
    return Mistake(
        place=shown(place), what=_("cannot be written: {strerror}.", strerror=trouble.strerror), right=_("Choose another folder.")
    )


def _made_folders(folder: Path) -> list[Path]:
    """Make a folder and its parents; returns the new ones, outermost first."""
    new = [path for path in (folder, *folder.parents) if not path.exists()]
    folder.mkdir(parents=True, exist_ok=True)
    return new[::-1]


def _put(waiting: list[Waiting]) -> None:
    """Give every file its name; if one fails, put back what was there before."""
    before: list[Aside] = []
    try:
        for file in waiting:
            before.append(Aside(file))
            file.put()
    except BaseException:  # an interrupt too leaves every file as it was
        for old in reversed(before):
            old.put_back()
        raise
    finally:
        for old in before:
            old.drop()


def file_name(name: str, taken: set[str]) -> str:
    """A template's name as a file name valid on any system and not yet in `taken`, to which it is added."""
    plain = "-".join("".join(c if c.isalnum() and c.isascii() else " " for c in name).split()).lower() or "template"
    plain = plain[:_LONGEST].rstrip("-")
    plain = f"{plain}-1" if is_reserved(plain) else plain
    candidate, n = plain, 2
    while candidate in taken:
        candidate, n = f"{plain}-{n}", n + 1
    taken.add(candidate)
    return candidate
