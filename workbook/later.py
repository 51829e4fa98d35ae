"""Modules that load when first used, among them numpy, shapely and json.

The window's first picture needs no arrays and no polygons, and does not wait the tenth of a second that they take to load; its
JSON is read by msgspec, which is loaded anyway. Code that loads a module this way also imports it for the type checker.
"""

import sys
from importlib import import_module
from typing import TYPE_CHECKING, Any

__all__ = ["are_loaded", "json", "library", "load", "modules", "np", "shapely"]


class _Module:
    """A module that is imported when first used."""

    def __init__(self, name: str) -> None:
        self._name = name

    def __getattr__(self, attribute: str) -> Any:
        return getattr(import_module(self._name), attribute)


class _Library(_Module):
    """A module that does not change: each attribute is looked up once."""

    def __getattr__(self, attribute: str) -> Any:
        value = super().__getattr__(attribute)
        setattr(self, attribute, value)
        return value


def modules(*names: str) -> list[Any]:
    """Modules of the program, loaded when first used."""
    return [_Module(f"workbook.{name}") for name in names]


def library(name: str) -> Any:
    """A module of a library, loaded when first used."""
    return _Library(name)


if TYPE_CHECKING:
    import json

    import numpy as np
    import shapely
else:
    json, np, shapely = library("json"), library("numpy"), library("shapely")


def are_loaded() -> bool:
    """Whether numpy and shapely are loaded, so that nothing waits for them."""
    return "numpy" in sys.modules and "shapely" in sys.modules


def load() -> None:
    """Load numpy and shapely."""
    import_module("numpy")
    import_module("shapely")
