"""Where the shipped resources lie (beside the package in a checkout, inside it once installed), and the user's cache."""

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
    """Where the program keeps what it can make again; it may not exist yet."""
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA", Path.home() / "AppData" / "Local"))
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Caches"
    else:
        base = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
    return base / "makers-workbook"
