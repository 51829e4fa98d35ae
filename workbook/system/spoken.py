"""The languages that the user of this system reads, as the system has them set."""

import locale
import os
import plistlib
import sys
from pathlib import Path

_SETTINGS = ("LC_ALL", "LC_MESSAGES", "LANG")  # the first that is set counts (POSIX, environment variables)
_NONE = ("C", "POSIX")


def languages() -> list[str]:
    """Codes such as "de", the preferred one first; none where the system names none."""
    if sys.platform == "win32":
        return [code[:2] for code in _of_windows()]
    elif sys.platform == "darwin":
        return [code[:2] for code in of_macos()]
    else:
        return [code[:2] for code in _of_environment()]


def _of_environment() -> list[str]:
    """As gettext has it: LANGUAGE may list several, unless messages are in no language at all."""
    named = next((os.environ[name] for name in _SETTINGS if os.environ.get(name)), "C")
    if named.split(".")[0] in _NONE:
        return []
    return [*filter(None, os.environ.get("LANGUAGE", "").split(":")), named]


def _of_windows() -> list[str]:
    if sys.platform == "win32":
        import ctypes  # where it can ask Windows, and nowhere else

        code = locale.windows_locale.get(ctypes.windll.kernel32.GetUserDefaultUILanguage())
        return [code] if code else []
    else:
        return []


def of_macos() -> list[str]:
    """The languages of the user's preferences on macOS, most wanted first; none where they cannot be read."""
    try:
        with (Path.home() / "Library" / "Preferences" / ".GlobalPreferences.plist").open("rb") as file:
            return list(plistlib.load(file).get("AppleLanguages", []))
    except (OSError, RuntimeError, ValueError, plistlib.InvalidFileException):
        return []
