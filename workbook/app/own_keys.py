"""The keys that the maker has given to actions of the menus, kept between starts by the names of the actions."""

from functools import cache

from msgspec import ValidationError
from msgspec.json import decode, encode
from PySide6.QtGui import QAction, QKeySequence

from workbook.paths import keep_data, kept_data

_FILE = "keys.json"
NAME, USUAL = "action name", "usual key"  # properties of an action
_PORTABLE = QKeySequence.SequenceFormat.PortableText


def name_of(menu: str, words: str) -> str:
    """The name of an action by the title of its menu and its own words: "File: Save"."""
    return f"{unmarked(menu)}: {unmarked(words)}"


def unmarked(words: str) -> str:
    """Words without the marks of the letters to press."""
    return words.replace("&&", "\0").replace("&", "").replace("\0", "&")


def give(item: QAction, name: str, usual: QKeySequence) -> None:
    """Give an action its key: the maker's, else the usual one."""
    item.setProperty(NAME, name)
    item.setProperty(USUAL, usual.toString(_PORTABLE))
    own = kept_keys().get(name)
    item.setShortcut(usual if own is None else QKeySequence.fromString(own, _PORTABLE))


def change(item: QAction, key: QKeySequence | None) -> bool:
    """Give an action another key, an empty one for none, or None for the usual one. Returns whether it could be kept."""
    name, usual = item.property(NAME), QKeySequence.fromString(item.property(USUAL), _PORTABLE)
    own = {other: told for other, told in kept_keys().items() if other != name}
    if key is not None and key != usual:
        own[name] = key.toString(_PORTABLE)
    try:
        keep_data(_FILE, encode(own))
    except OSError:
        return False
    kept_keys.cache_clear()
    give(item, name, usual)
    return True


@cache
def kept_keys() -> dict[str, str]:
    """The keys that were changed, by the names of their actions."""
    try:
        return decode(kept_data(_FILE), type=dict[str, str])
    except (OSError, ValueError, ValidationError):
        return {}
