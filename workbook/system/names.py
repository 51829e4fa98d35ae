"""Names of files: which some system reserves, and how any of them is shown."""

from pathlib import PurePath

_RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in "0123456789¹²³")}  # by Windows
_NO_TEXT = dict.fromkeys(range(0xD800, 0xE000), "\N{REPLACEMENT CHARACTER}")  # how Python holds bytes that are no text


def is_reserved(name: str) -> bool:
    """Whether Windows takes a name for a device, with whatever suffix, or drops the dots and blanks it ends in."""
    return name.split(".")[0].rstrip(" ").lower() in _RESERVED or name != name.rstrip(". ")


def shown(path: PurePath | str) -> str:
    """A path, or words with one in them, as they can be printed, kept and shown: what is no text stands as a question mark in a
    diamond.
    """
    return str(path).translate(_NO_TEXT)
