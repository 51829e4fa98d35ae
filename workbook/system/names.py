"""File names: which of them a system reserves, and how any of them is displayed."""

from pathlib import PurePath

_RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in "0123456789¹²³")}  # by Windows
_NO_TEXT = dict.fromkeys(range(0xD800, 0xE000), "\N{REPLACEMENT CHARACTER}")  # how Python represents bytes that are not text


def is_reserved(name: str) -> bool:
    """Whether Windows treats a name as a device, with any suffix, or drops the dots and blanks at its end."""
    return name.split(".")[0].rstrip(" ").lower() in _RESERVED or name != name.rstrip(". ")


def shown(path: PurePath | str) -> str:
    """A path, or a text with one in it, fit to be printed, stored and displayed: what is not text becomes a question mark in a
    diamond.
    """
    return str(path).translate(_NO_TEXT)
