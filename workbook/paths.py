"""Where the shipped resources lie (beside the package in a checkout, inside it once installed), the user's data and cache."""

import os
import sys
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def resource(*parts: str) -> Path:
    """Path of a shipped file or folder, such as `resource("data", "drills.csv")`. FileNotFoundError when absent."""
    for root in (_PACKAGE.parent / "resources", _PACKAGE / "resources"):
        path = root.joinpath(*parts)
        if path.exists():
            return path
    raise FileNotFoundError(f"The program's own file {'/'.join(parts)} is missing; install the program again.")


def cache_folder() -> Path:
    """Where the program keeps what it can make again: the user's cache, or a temporary folder where that cannot be written."""
    own = own_cache()
    if own is not None:
        return own
    import tempfile

    return Path(tempfile.gettempdir()) / "makers-workbook"


def own_cache() -> Path | None:
    """The program's folder in the user's cache; None where that cannot be written."""
    own = _user_cache() / "makers-workbook"
    try:
        own.mkdir(parents=True, exist_ok=True)
    except OSError:
        return None
    return own if os.access(own, os.W_OK) else None


def data_folder() -> Path:
    """Where the program keeps what must not be lost: MAKERS_WORKBOOK_DATA, or the user's own data folder."""
    own = os.environ.get("MAKERS_WORKBOOK_DATA")
    return Path(own) if own else _user_data() / "makers-workbook"


def _user_data() -> Path:
    if sys.platform == "win32":
        return Path(os.environ.get("APPDATA", Path.home() / "AppData" / "Roaming"))
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support"
    return Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")


def _user_cache() -> Path:
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA", Path.home() / "AppData" / "Local"))
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Caches"
    return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
