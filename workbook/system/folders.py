"""Where this system keeps a user's data and what can be made again."""

import errno
import os
import sys
from pathlib import Path

from workbook.texts import _

_NOWHERE = Path("/nonexistent")  # the usual home of who has none


class NoHome(OSError):
    """The system names no home folder for this user."""

    def __init__(self) -> None:
        super().__init__(errno.ENOENT, _("no home folder is known for this user"))


def user_data() -> Path:
    """The folder for users' data of all programs. NoHome."""
    if sys.platform == "win32":
        return _named("APPDATA") or _home() / "AppData" / "Roaming"
    elif sys.platform == "darwin":
        return _home() / "Library" / "Application Support"
    else:
        return _named("XDG_DATA_HOME") or _home() / ".local" / "share"


def user_cache() -> Path:
    """The folder for what programs keep and can make again. NoHome."""
    if sys.platform == "win32":
        return _named("LOCALAPPDATA") or _home() / "AppData" / "Local"
    elif sys.platform == "darwin":
        return _home() / "Library" / "Caches"
    else:
        return _named("XDG_CACHE_HOME") or _home() / ".cache"


def hide_unreadable() -> None:
    """Sends libraries nowhere for settings of their own, where no home is known, or where they would look below
    a folder that cannot be looked into: they stumble there.
    """
    try:
        home = _home()
    except NoHome:
        home = _NOWHERE
        os.environ |= {"HOME": str(_NOWHERE), "XDG_CACHE_HOME": os.devnull, "XDG_CONFIG_HOME": os.devnull}
    for setting, usual in (("XDG_CACHE_HOME", ".cache"), ("XDG_CONFIG_HOME", ".config")):
        try:
            (Path(os.environ.get(setting) or home / usual) / "of a library" / "settings").stat()
        except (FileNotFoundError, NotADirectoryError):
            continue
        except OSError:
            os.environ[setting] = os.devnull


def _named(setting: str) -> Path | None:
    """The folder a setting of the environment names; a relative one counts for nothing, as the XDG base directories have it."""
    named = Path(os.environ.get(setting, ""))
    return named if named.is_absolute() else None


def _home() -> Path:
    try:
        home = Path.home()
    except RuntimeError:
        raise NoHome from None
    if home == _NOWHERE:
        raise NoHome
    return home
