"""Convert between paths and URLs, also for file names that are not valid text, which Qt would change."""

import os
from pathlib import Path
from urllib.parse import unquote_to_bytes

from PySide6.QtCore import QMimeData, QUrl

from workbook.formats.drawing_in import is_outline
from workbook.tasks.work import is_workbook


def url_of(path: Path) -> QUrl:
    """The URL of a file."""
    return QUrl.fromEncoded(path.absolute().as_uri().encode())


def path_of(url: QUrl) -> Path:
    """The path that a URL names."""
    if os.name == "nt":
        return Path(url.toLocalFile())

    return Path(os.fsdecode(unquote_to_bytes(url.path(QUrl.ComponentFormattingOption.FullyEncoded))))


def openable(dropped: QMimeData) -> Path | None:
    """The first dragged file that the window can open; None if there is none."""
    paths = [path_of(url) for url in dropped.urls() if url.isLocalFile()]
    return next((path for path in paths if is_workbook(path) or is_outline(path) or path.suffix.lower() == ".toml"), None)
