"""Files as URLs and back, also those whose names are no text: Qt itself would change them."""

import os
from pathlib import Path

from PySide6.QtCore import QUrl


def url_of(path: Path) -> QUrl:
    """The URL of a file."""
    return QUrl.fromEncoded(path.absolute().as_uri().encode())


def path_of(url: QUrl) -> Path:
    """The file a URL names."""
    if os.name == "nt":
        return Path(url.toLocalFile())
    from urllib.parse import unquote_to_bytes

    return Path(os.fsdecode(unquote_to_bytes(url.path(QUrl.ComponentFormattingOption.FullyEncoded))))
