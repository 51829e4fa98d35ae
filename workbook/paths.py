"""Paths of the shipped resources (beside the package in a checkout, inside it once installed), the user's data and cache."""

import os
from pathlib import Path

from workbook.system.folders import data_place, user_cache
from workbook.system.names import shown
from workbook.system.owners import NotOurs, own_folder, read_own
from workbook.system.replacing import replace_file
from workbook.texts import _, labelled

_ELSEWHERE = _("Start it with --portable in a folder that only you can write to, or name one in MAKERS_WORKBOOK_DATA.")
_PACKAGE = Path(__file__).resolve().parent


def resource(*parts: str) -> Path:
    """The path of a shipped file or folder, such as `resource("data", "drills.csv")`. Raises FileNotFoundError when absent."""
    for root in (_PACKAGE.parent / "resources", _PACKAGE / "resources"):
        path = root.joinpath(*parts)
        if path.exists():
            return path
    raise FileNotFoundError(_("The program's own file {names} is missing. Install the program again.", names="/".join(parts)))


def own_cache(*parts: str) -> Path | None:
    """The program's folder in the user's cache, or one in it; None unless this user, and nobody else, can write it.

    No other place will do: its content is executed, and in a shared folder anybody could have put it there.
    """
    try:
        folder = own_folder(user_cache() / "makers-workbook")
        for part in parts:
            folder = own_folder(folder / part)
    except OSError:
        return None
    return folder if os.access(folder, os.W_OK) else None


def data_folder() -> Path:
    """The data folder, created if missing. Raises OSError when it is not for this user alone; `no_place` explains it in words."""
    return own_folder(data_place())


def kept_data(name: str) -> bytes:
    """Read a file of the data folder. Raises OSError when there is none, or none that this user alone can write."""
    return read_own(data_folder() / name)


def keep_data(name: str, content: bytes) -> None:
    """Replace a file of the data folder as a whole. Raises OSError when that fails."""
    replace_file(data_folder() / name, content, private=True)


def no_place() -> str:
    """Why no work can be kept on this computer, and what to do about it; "" when it can."""
    try:
        if os.access(folder := data_folder(), os.W_OK):
            return ""
        reason = _("{folder} cannot be written", folder=shown(folder))
    except NotOurs as trouble:
        reason = str(trouble)
    except OSError as trouble:
        why = str(trouble.strerror)
        reason = labelled(shown(str(trouble.filename)), why) if trouble.filename else why
    return _("Your work cannot be saved on this computer: {why}. {elsewhere}", why=reason, elsewhere=_ELSEWHERE)
