"""Modules that load when something is first asked of them, and numpy, shapely and json so.

The window's first picture needs no arrays and no polygons, and does not wait the tenth of a second that they take; what it reads
of JSON msgspec reads, which is there. Who brings a module so has an import of it for the type checker beside it.
"""

import sys
from importlib import import_module
from typing import TYPE_CHECKING, Any

__all__ = ["are_loaded", "json", "library", "load", "modules", "np", "shapely"]


class _Module:
    """A module by its name."""

    def __init__(self, name: str) -> None:
        self._name = name

    def __getattr__(self, what: str) -> Any:
        return getattr(import_module(self._name), what)


class _Library(_Module):
    """One of which nothing changes: each thing is looked up once."""

    def __getattr__(self, what: str) -> Any:
        found = super().__getattr__(what)
        setattr(self, what, found)
        return found


def modules(*names: str) -> list[Any]:
    """Modules of the program."""
    return [_Module(f"workbook.{name}") for name in names]


def library(name: str) -> Any:
    """A module of a library."""
    return _Library(name)


if TYPE_CHECKING:
    import json

    import numpy as np
    import shapely
else:
    json, np, shapely = library("json"), library("numpy"), library("shapely")


def are_loaded() -> bool:
    """Whether arrays and polygons are there, so that nothing waits for them."""
    return "numpy" in sys.modules and "shapely" in sys.modules


def load() -> None:
    """Brings arrays and polygons."""
    import_module("numpy")
    import_module("shapely")
