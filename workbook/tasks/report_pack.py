"""What a maker may send when something went wrong: a zip of a few texts, each of which can be read before."""

import io
import os
import platform
import sys
import zipfile
from collections.abc import Iterable, Sequence
from importlib.metadata import version
from pathlib import Path
from typing import NamedTuple

from workbook import __version__
from workbook.document.document import Document
from workbook.paths import data_folder, kept_data
from workbook.system.owners import read_own
from workbook.texts import _, labelled, language

_REPORTS = 5  # the newest
_MOMENT = (1980, 1, 1, 0, 0, 0)  # of every file: when it was packed is nobody's business


class ReportFile(NamedTuple):
    """A file of the zip: its name there, its content, and whether it is packed unless the maker says otherwise."""

    name: str
    content: bytes
    usual: bool = True

    @property
    def text(self) -> str:
        """What it says; of a shop book only how large it is."""
        if self.name.endswith(".shopbook"):
            words = _("The whole shop book, with customers, prices and notes. Pack it only for somebody you trust.")
            return f"{words}\n{len(self.content) / 1000:,.0f} kB"
        return self.content.decode("utf-8", "replace")


def parts(document: Document, window: Sequence[str], book: Path | None) -> list[ReportFile]:
    """What can be packed: the program and the computer, the state of the window, the newest error reports, the shop book's file.

    `window`: what is to be told of Qt and the screen, in lines. A file that cannot be read is left out.
    """
    found = [ReportFile("program.txt", _plain("\n".join([*_program(), *window, "", *_counted(document)]).encode()))]
    for name, path in (("window.json", Path("window.json")), *_reports()):
        try:
            found.append(ReportFile(name, _plain(kept_data(str(path)))))
        except OSError:
            continue
    if book is not None:
        try:
            found.append(ReportFile(f"{book.stem}.shopbook", read_own(book), usual=False))
        except OSError:
            return found
    return found


def packed(chosen: Iterable[ReportFile]) -> bytes:
    """The zip of some parts."""
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w", zipfile.ZIP_DEFLATED) as archive:
        for part in chosen:
            archive.writestr(zipfile.ZipInfo(part.name, _MOMENT), part.content, zipfile.ZIP_DEFLATED)
    return content.getvalue()


def _program() -> list[str]:
    """The program and what it runs on; in English, for those who are to read it."""
    kind = "packed" if hasattr(sys, "frozen") else "installed"
    libraries = ", ".join(f"{name} {version(name)}" for name in ("numpy", "shapely", "ezdxf", "reportlab"))
    return [
        f"Maker's Workbook {__version__}, {kind}, language {language() or 'en'}",
        f"{platform.platform()}, Python {sys.version.split()[0]}, {os.cpu_count()} processors",
        libraries,
    ]


def _counted(document: Document) -> list[str]:
    """How many records of each kind the shop book has, and nothing of what they say."""
    counts: dict[str, int] = {}
    for record in document.records.values():
        name = type(record).__name__
        counts[name] = counts.get(name, 0) + 1
    return [labelled(name, count) for name, count in sorted(counts.items())]


def _reports() -> list[tuple[str, Path]]:
    """The newest reports of errors: names in the zip, and in the data folder."""
    try:
        names = sorted(entry.name for entry in os.scandir(data_folder() / "reports") if entry.name.endswith(".txt"))
    except OSError:
        return []
    return [(f"reports/{name}", Path("reports") / name) for name in reversed(names[-_REPORTS:])]


def _plain(content: bytes) -> bytes:
    """A text without the name of the user, which stands in the paths of files."""
    try:
        home = str(Path.home())
    except RuntimeError:
        return content
    return content.replace(home.encode(), b"~") if len(home) > 1 else content
