"""The language that the program speaks: the one chosen in its menu, else the system's, else English.

`speak` comes before any other module of the program is loaded, for tables of texts are built while modules are. Processes that
are started later find the catalogue in the environment.
"""

import os
from pathlib import Path

from workbook import texts
from workbook.system import spoken
from workbook.system.folders import data_place

LANGUAGES = {"en": "English", "de": "Deutsch", "fr": "Français"}  # by code, each by its own name
KEPT = "language"  # the file of the user's data with the code of the one chosen; without it the system's
_HERE = Path(__file__).resolve().parent


def speak() -> None:
    """Use the catalogue of the language; where the environment names one already, even none, that counts."""
    if texts.CATALOGUE in os.environ:
        return
    code = chosen() or next((code for code in spoken.languages() if code in LANGUAGES), "en")
    file = catalogue(code)
    os.environ[texts.CATALOGUE] = str(file or "")
    if file is not None:
        texts.use(str(file))


def offered() -> dict[str, str]:
    """The languages that can be chosen: English, and those whose catalogue is here."""
    return {code: name for code, name in LANGUAGES.items() if code == "en" or catalogue(code)}


def chosen() -> str:
    """The code of the language chosen; "" for the system's."""
    try:
        code = (data_place() / KEPT).read_text(encoding="ascii").strip()
    except (OSError, ValueError):
        return ""
    return code if code in LANGUAGES else ""


def catalogue(code: str) -> Path | None:
    """The file with a language's texts; None for English, and for one whose file is missing."""
    for root in (_HERE.parent / "resources", _HERE / "resources"):
        file = root / "languages" / f"{code}.mo"
        if file.is_file():
            return file
    return None
