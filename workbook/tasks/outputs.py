"""What commands write into a folder: over what they wrote there themselves and nobody has changed since, and over nothing else.

A list in the folder says what that is: the digest of each file as it was written, in the form that `sha256sum` reads and checks.
"""

import hashlib
from collections.abc import Collection, Mapping
from pathlib import Path

from workbook.system.files import read_file
from workbook.tasks.write import WouldReplace, in_the_way, write_all
from workbook.texts import _

LIST = ".written-by-makers-workbook"
FORCE = _("Choose another folder, or add --force to replace what is there.")


def write_outputs(folder: Path, files: Mapping[str, bytes], *, force: bool = False) -> None:
    """Writes every file under the folder, or none. WouldReplace where one is there that no command wrote, or that was changed
    since; `force` replaces it. JobError when it cannot be written.
    """
    known, way = _known(folder), in_the_way(folder, files)
    foreign = [name for name in way if (name, _digest_at(folder / name)) not in known]
    if foreign and not force:
        raise WouldReplace(folder, foreign, FORCE)
    there = {(name, digest) for name, digest in known if _digest_at(folder / name) == digest}
    new = {(name, hashlib.sha256(content).hexdigest()) for name, content in files.items()}
    # Both are listed, and the list first: a process that is killed on the way leaves some files old and some new.
    write_all(folder, {LIST: _text(there | new), **files}, over={*way, LIST})
    write_all(folder, {LIST: _text({one for one in there if one[0] not in files} | new)}, over={LIST})


def refuse_foreign(folder: Path, names: Collection[str], *, force: bool = False) -> None:
    """WouldReplace at once, as `write_outputs` would in the end: before work that takes its time."""
    known = _known(folder)
    foreign = [name for name in names if (folder / name).exists() and (name, _digest_at(folder / name)) not in known]
    if foreign and not force:
        raise WouldReplace(folder, foreign, FORCE)


def _text(entries: set[tuple[str, str]]) -> bytes:
    return "".join(f"{digest}  {name}\n" for name, digest in sorted(entries)).encode("utf-8", "surrogateescape")


def _known(folder: Path) -> set[tuple[str, str]]:
    """Names and digests on the list."""
    try:
        lines = read_file(folder / LIST).decode("utf-8", "surrogateescape").split("\n")
    except OSError:
        return set()
    return {(name, digest) for digest, _, name in (line.partition("  ") for line in lines) if digest and name}


def _digest_at(path: Path) -> str:
    """Of a file; "" where none can be read."""
    try:
        return hashlib.sha256(read_file(path)).hexdigest()
    except OSError:
        return ""
