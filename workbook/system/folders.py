"""Where this system keeps a user's data and cache."""

import errno
import os
import sys
from pathlib import Path

_NOWHERE = Path("/nonexistent")  # the usual home of users who have none


class NoHome(OSError):
    """The system names no home folder for this user."""

    def __init__(self) -> None:
        from workbook.texts import _  # when it is said, and not before the language is chosen

        super().__init__(errno.ENOENT, _("no home folder is known for this user"))


def user_data() -> Path:
    """The folder in which programs keep the user's data. Raises NoHome."""
    if sys.platform == "win32":
        return _named("APPDATA") or _home() / "AppData" / "Roaming"
    elif sys.platform == "darwin":
        return _home() / "Library" / "Application Support"
    else:
        return _named("XDG_DATA_HOME") or _home() / ".local" / "share"


def data_place() -> Path:
    """Where the user's work is kept: MAKERS_WORKBOOK_DATA, or the user's own data folder. Raises OSError when there is none."""
    setting = os.environ.get("MAKERS_WORKBOOK_DATA")
    return Path(setting) if setting else user_data() / "makers-workbook"


def user_cache() -> Path:
    """The folder in which programs keep what they can make again. Raises NoHome."""
    if sys.platform == "win32":
        return _named("LOCALAPPDATA") or _home() / "AppData" / "Local"
    elif sys.platform == "darwin":
        return _home() / "Library" / "Caches"
    else:
        return _named("XDG_CACHE_HOME") or _home() / ".cache"


def hide_unreadable() -> None:
    """Turn off libraries' own settings where there is no home folder, or where the settings would lie below a folder
    that cannot be read: libraries fail there.
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
    """The folder that an environment variable names; a relative one is ignored, as the XDG base directory specification says."""
    folder = Path(os.environ.get(setting, ""))
    return folder if folder.is_absolute() else None


def _home() -> Path:
    try:
        home = Path.home()
    except RuntimeError:
        raise NoHome from None
    if home == _NOWHERE:
        raise NoHome
    return home
