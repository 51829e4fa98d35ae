"""The files that commands write into a folder: they replace only what a command wrote there and nobody has changed since.

A list in the folder holds the digest of each file as it was written, in the form that `sha256sum` reads and checks.
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
    """Write every file under the folder, or none.

    Raises WouldReplace for a file there that no command wrote or that was changed since, unless `force` replaces it; JobError if
    a file cannot be written.
    """
    entries, conflicts = _known(folder), in_the_way(folder, files)
    foreign = [name for name in conflicts if (name, _digest_at(folder / name)) not in entries]
    if foreign and not force:
        raise WouldReplace(folder, foreign, FORCE)
    unchanged = {(name, digest) for name, digest in entries if _digest_at(folder / name) == digest}
    new = {(name, hashlib.sha256(content).hexdigest()) for name, content in files.items()}
    # The list comes first and names both: a process killed midway leaves some files old and some new.
    write_all(folder, {LIST: _text(unchanged | new), **files}, over={*conflicts, LIST})
    write_all(folder, {LIST: _text({entry for entry in unchanged if entry[0] not in files} | new)}, over={LIST})


def refuse_foreign(folder: Path, names: Collection[str], *, force: bool = False) -> None:
    """Raise WouldReplace at once, before long work, where `write_outputs` would raise it at the end."""
    entries = _known(folder)
    foreign = [name for name in names if (folder / name).exists() and (name, _digest_at(folder / name)) not in entries]
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
    """The SHA-256 digest of a file; "" if it cannot be read."""
    try:
        return hashlib.sha256(read_file(path)).hexdigest()
    except OSError:
        return ""
