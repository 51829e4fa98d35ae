"""Names of files: which some system reserves, and how any of them is shown."""

import os
from pathlib import PurePath

_RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in "0123456789¹²³")}  # by Windows


def is_reserved(name: str) -> bool:
    """Whether Windows takes a name for a device, with whatever suffix, or drops the dots and blanks it ends in."""
    return name.split(".")[0].rstrip(" ").lower() in _RESERVED or name != name.rstrip(". ")


def shown(path: PurePath | str) -> str:
    """A path as it can be printed and shown: what in it is no UTF-8 stands as a question mark in a diamond."""
    return os.fsencode(path).decode("utf-8", "replace")
