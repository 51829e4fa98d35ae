"""Licences of the program and of all that it is made of, read from what is installed."""

import re
from collections.abc import Iterator
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path, PurePath
from typing import NamedTuple

from workbook.paths import resource
from workbook.texts import _

PROGRAM = "makers-workbook"
_QT = (
    _("Qt and its Python modules are used under the GNU Lesser General Public License, version 3."),
    _("They are files of their own in the program's folder. You may replace them with versions of your own."),
    _("You may also take the program apart to find faults in such a version."),
    _("The Qt project offers their source under the version told here."),
)
_GEOS = (
    _("This package brings the library GEOS, under the GNU Lesser General Public License, version 2.1."),
    _("It is a file of its own, which you may replace. The GEOS project offers its source."),
)
# packages whose licence asks for more words than theirs, with texts of the program's own where theirs are missing
_WORDS = {"pyside6-essentials": _QT, "shiboken6": _QT, "shapely": _GEOS}
_TEXTS = {
    "pyside6-essentials": ("LGPL-3.0", "GPL-3.0"),
    "shiboken6": ("LGPL-3.0", "GPL-3.0"),
}


class Notice(NamedTuple):
    """What is to be told of a part: its name, version and licence, and the licence's text."""

    name: str
    version: str
    licence: str
    text: str


def notices() -> list[Notice]:
    """The program's own, those of its packages by name, and of the packed program those of Python and its libraries."""
    packages = [notice_of(package) for package in distributions()]
    own = [notice for notice in packages if notice.name == PROGRAM]
    try:
        packed = list(packed_in(resource("licences", "packed")))
    except FileNotFoundError:  # it runs from its source or as a package
        packed = []
    return [*own, *(notice for notice in packages if notice.name != PROGRAM), *packed]


def distributions() -> list[Distribution]:
    """The program and all packages that it needs on this system, each once, by name."""
    found: dict[str, Distribution] = {}
    waiting = [PROGRAM]
    while waiting:
        name = _key(waiting.pop())
        if name not in found:
            try:
                found[name] = distribution(name)
            except PackageNotFoundError:  # needed on another system or by an older Python
                continue
            waiting += _needed_by(found[name])
    return [found[name] for name in sorted(found)]


def licence_files(package: Distribution) -> Iterator[PurePath]:
    """The files with the licences that a package brings, below the folder it is installed in."""
    for file in package.files or ():
        name = PurePath(file).as_posix().lower()
        if ".dist-info/" in name and re.search("licen[cs]|copying|notice", name) and not name.endswith(".py"):
            yield PurePath(file)


def _key(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def _needed_by(package: Distribution) -> Iterator[str]:
    for line in package.requires or ():
        requirement, _semicolon, marker = line.partition(";")
        if "extra" not in marker:
            yield re.split(r"[^\w.-]", requirement.strip(), maxsplit=1)[0]


def notice_of(package: Distribution) -> Notice:
    """What is to be told of a package; its text is empty when it brings none and the program has none for it."""
    name = _key(package.metadata["Name"])
    brought = [text_of(Path(str(package.locate_file(file)))) for file in licence_files(package)]
    kept = [resource("licences", f"{title}.txt").read_text(encoding="utf-8") for title in _TEXTS.get(name, ())]
    words = " ".join(_WORDS.get(name, ()))
    text = "\n\n\n".join(part.strip("\n") for part in (words, *kept, *brought) if part)
    return Notice(name, package.version, _licence(package), text)


def text_of(file: Path) -> str:
    """A text; authors' names are not always in UTF-8."""
    content = file.read_bytes()
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError:
        return content.decode("latin-1")


def _licence(package: Distribution) -> str:
    """A licence's short name as the package tells it, in one of three ways."""
    told = package.metadata
    for field in ("License-Expression", "License"):
        if field in told:
            return str(told[field]).splitlines()[0].split(" (")[0]
    classes = [entry.split(" :: ")[-1] for entry in told.get_all("Classifier", []) if entry.startswith("License :: ")]
    return ", ".join(classes)


def packed_in(folder: Path) -> Iterator[Notice]:
    """What the packed program brings besides packages: packaging/shipped.py writes a file of each, a head line and the text."""
    for file in sorted(folder.glob("*.txt")):
        head, _end, text = file.read_text(encoding="utf-8").partition("\n")
        name, version, licence = head.split("\t")
        yield Notice(name, version, licence, text.strip("\n"))
