"""numpy, shapely and json for what is imported at the start: they load when something is first asked of them.

The window's first picture needs no arrays and no polygons, and does not wait the tenth of a second that they take. What it reads
of JSON msgspec reads, which is there.
"""

import sys
from importlib import import_module
from typing import TYPE_CHECKING, Any

__all__ = ["are_loaded", "json", "load", "np", "shapely"]


class _Later:
    """A library by its name."""

    def __init__(self, name: str) -> None:
        self._name = name

    def __getattr__(self, what: str) -> Any:
        found = getattr(import_module(self._name), what)
        setattr(self, what, found)  # so that it is asked once
        return found


if TYPE_CHECKING:
    import json

    import numpy as np
    import shapely
else:
    json, np, shapely = _Later("json"), _Later("numpy"), _Later("shapely")


def are_loaded() -> bool:
    """Whether arrays and polygons are there, so that nothing waits for them."""
    return "numpy" in sys.modules and "shapely" in sys.modules


def load() -> None:
    """Brings arrays and polygons."""
    import_module("numpy")
    import_module("shapely")
