"""Where the shipped resources lie (beside the package in a checkout, inside it once installed), the user's data and cache."""

import os
from pathlib import Path

from workbook.system.folders import user_cache, user_data

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
    own = user_cache() / "makers-workbook"
    try:
        own.mkdir(parents=True, exist_ok=True)
    except OSError:
        return None
    return own if os.access(own, os.W_OK) else None


def data_folder() -> Path:
    """Where the program keeps what must not be lost: MAKERS_WORKBOOK_DATA, or the user's own data folder."""
    own = os.environ.get("MAKERS_WORKBOOK_DATA")
    return Path(own) if own else user_data() / "makers-workbook"
