"""Read a `layout.json` back: the bars, and where blanks lie on them. Mistakes are reported with their place."""

import json
from pathlib import Path
from typing import Any

import numpy as np
from msgspec import Struct

from workbook.geometry.path import Points
from workbook.problems import JobError, Mistake
from workbook.system.files import read_file
from workbook.texts import _

_MOST_BYTES = 50_000_000
_FARTHEST = 1e6  # mm, degrees


class WrittenPiece(Struct, frozen=True, eq=False):
    """A blank in the file; x and y in mm, angle in degrees, outline (n, 2) on its bar in mm."""

    serial: str
    template: str
    x: float
    y: float
    angle: float
    mirrored: bool
    outline: Points


class WrittenBar(Struct, frozen=True):
    """A bar in the file: its name, where it came from ("rack", "offcut" or "buy") and its blanks."""

    name: str
    source: str
    pieces: tuple[WrittenPiece, ...]


def read_layout(file: Path) -> tuple[WrittenBar, ...]:
    """Read the bars of a layout file. Raises JobError when it cannot be read or is not a layout."""
    data = _parsed(file)
    try:
        bars = data["bars"]
        return tuple(_bar(bar, f"bars[{n}]") for n, bar in enumerate(bars, 1))
    except (KeyError, TypeError, ValueError, AttributeError) as trouble:
        text = _("is not a layout.json of lay-out: {said}.", said=_said(trouble))
        raise JobError(
            [Mistake(place=_("layout"), what=text, right=_("Use the layout.json of an earlier lay-out."))], file.name
        ) from None


def _said(trouble: Exception) -> str:
    return _("{trouble} is missing", trouble=trouble) if isinstance(trouble, KeyError) else str(trouble)


def _parsed(file: Path) -> Any:
    try:
        if file.stat().st_size > _MOST_BYTES:
            raise JobError([Mistake(place=_("layout"), what=_("is too large for a layout.json."))], file.name)
        return json.loads(read_file(file).decode("utf-8-sig"))
    except OSError as trouble:
        text = _("cannot be read: {reason}.", reason=trouble.strerror or trouble)
        raise JobError([Mistake(place=_("layout"), what=text)], file.name) from None
    except (ValueError, RecursionError) as trouble:
        raise JobError([Mistake(place=_("layout"), what=_("is not JSON: {trouble}.", trouble=trouble))], file.name) from None


def _bar(data: Any, place: str) -> WrittenBar:
    pieces = tuple(_piece(piece, f"{place}.pieces[{n}]") for n, piece in enumerate(data["pieces"], 1))
    return WrittenBar(str(data["name"]), str(data["from"]), pieces)


def _piece(data: Any, place: str) -> WrittenPiece:
    x, y, angle = (_number(data[key], f"{place}.{key}") for key in ("x", "y", "angle"))
    outline = np.array(data["outline"], np.float64)
    if outline.ndim != 2 or outline.shape[1] != 2 or len(outline) < 3 or not np.isfinite(outline).all():
        raise ValueError(_("{place}.outline is not a list of points", place=place))
    if not isinstance(data["mirrored"], bool) or not isinstance(data["serial"], str):
        raise ValueError(_("{place} has no serial, or does not say if it is mirrored", place=place))
    return WrittenPiece(data["serial"], str(data["template"]), x, y, angle, data["mirrored"], outline)


def _number(value: Any, place: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) <= _FARTHEST:
        raise ValueError(_("{place} is not a number in range", place=place))
    return float(value)
