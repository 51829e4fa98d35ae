"""Where the shipped resources lie (beside the package in a checkout, inside it once installed), the user's data and cache."""

import os
from pathlib import Path

from workbook.system.folders import user_cache, user_data
from workbook.system.names import shown
from workbook.system.owners import NotOurs, own_folder, read_own
from workbook.system.replacing import replace_file
from workbook.texts import _

_ELSEWHERE = _("Start it with --portable in a folder that you alone can write, or let MAKERS_WORKBOOK_DATA name one.")
_PACKAGE = Path(__file__).resolve().parent


def resource(*parts: str) -> Path:
    """Path of a shipped file or folder, such as `resource("data", "drills.csv")`. FileNotFoundError when absent."""
    for root in (_PACKAGE.parent / "resources", _PACKAGE / "resources"):
        path = root.joinpath(*parts)
        if path.exists():
            return path
    raise FileNotFoundError(_("The program's own file {names} is missing; install the program again.", names="/".join(parts)))


def own_cache(*parts: str) -> Path | None:
    """The program's folder in the user's cache, or one in it; None where that cannot be written by this user, and by him alone.

    There is no other place for it: what lies there is run, and in a folder for all anybody could have put it there.
    """
    try:
        own = own_folder(user_cache() / "makers-workbook")
        for part in parts:
            own = own_folder(own / part)
    except OSError:
        return None
    return own if os.access(own, os.W_OK) else None


def data_place() -> Path:
    """Where what must not be lost is to be kept: MAKERS_WORKBOOK_DATA, or the user's own data folder. OSError: none is known."""
    named = os.environ.get("MAKERS_WORKBOOK_DATA")
    return Path(named) if named else user_data() / "makers-workbook"


def data_folder() -> Path:
    """That place, made where it lacks. OSError when it cannot be had for this user alone; `no_place` says so in words."""
    return own_folder(data_place())


def kept_data(name: str) -> bytes:
    """What is in a file of the data folder. OSError when there is none, or none that this user alone can write."""
    return read_own(data_folder() / name)


def keep_data(name: str, content: bytes) -> None:
    """Replaces a file of the data folder, whole. OSError when it cannot be."""
    replace_file(data_folder() / name, content, private=True)


def no_place() -> str:
    """Why no work can be kept on this computer, and what to do about it; "" when it can."""
    try:
        if os.access(folder := data_folder(), os.W_OK):
            return ""
        why = _("{folder} cannot be written", folder=shown(folder))
    except NotOurs as trouble:
        why = str(trouble)
    except OSError as trouble:
        where = f"{shown(str(trouble.filename))}: " if trouble.filename else ""
        why = f"{where}{trouble.strerror}"
    return _("Your work cannot be kept on this computer: {why}. {elsewhere}", why=why, elsewhere=_ELSEWHERE)
