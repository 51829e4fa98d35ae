"""What a maker types in one line for a hole: "pin 1/8 at 1 1/4", "bolt 3/16 at 3.5, 0.4"."""

import re

from msgspec import Struct

from workbook.length_in import LengthError, parse_length
from workbook.template.hole_places import ACROSS, ALONG, SIZES
from workbook.template.model import Purpose
from workbook.texts import _
from workbook.units import HABITS, Unit, show

_PURPOSES = {
    "pin": Purpose.PIN,
    "pins": Purpose.PIN,
    "bolt": Purpose.BOLT,
    "handle bolt": Purpose.BOLT,
    "tube": Purpose.LANYARD,
    "lanyard": Purpose.LANYARD,
    "lanyard tube": Purpose.LANYARD,
    "epoxy": Purpose.EPOXY,
    "epoxy hole": Purpose.EPOXY,
    "hole": Purpose.EPOXY,
}
_LINE = re.compile(r"\s*(?P<what>.*?)\s*(?:\bat\b|@)\s*(?P<place>.+)", re.IGNORECASE)
_PARTED = re.compile(r"(?<!\d),|,(?!\d)|;")  # a comma between two digits is a decimal mark
_NUMBER = re.compile(r"[\d.,½¼¾⅛⅜⅝⅞].*?(?=\s+(?!inch|thou|feet|foot|met|mill|cent)[^\W\d]{3,}|$)", re.IGNORECASE)


class HoleEntryError(ValueError):
    """A line that is no hole; says what is wrong and what would be right."""


class HoleEntry(Struct, frozen=True, kw_only=True):
    """What a line says. mm."""

    purpose: Purpose
    size: float | None  # None: the usual one
    along: float
    across: float | None  # None: on the center line


def hole_entry(text: str, unit: Unit) -> HoleEntry:
    """The hole of a line: what it is for and what it takes, "at", how far along, and after a comma how far across.

    Raises HoleEntryError.
    """
    example = HABITS[unit].hole
    line = _LINE.fullmatch(text)
    if line is None:
        raise HoleEntryError(_("Type what it is and where, e.g. {example}", example=example))
    place = [part for part in _PARTED.split(line["place"]) if part.strip()]
    if len(place) not in (1, 2):
        raise HoleEntryError(_("Type one number along the knife, and one across it after a comma: {example}", example=example))
    purpose, size = _what(line["what"], unit, example)
    along = _length(place[0], unit, ALONG)
    return HoleEntry(purpose=purpose, size=size, along=along, across=_length(place[1], unit, ACROSS) if len(place) > 1 else None)


def purpose_of(words: str) -> Purpose | None:
    """The purpose that some words name; None for none."""
    return _PURPOSES.get(" ".join(words.split()).casefold())


def _what(text: str, unit: Unit, example: str) -> tuple[Purpose, float | None]:
    """What a hole is for, and the size before or behind that."""
    number = _NUMBER.search(text)
    words = (text[: number.start()] + text[number.end() :] if number else text).strip()
    purpose = purpose_of(words)
    if not words:
        raise HoleEntryError(_("Type what it is and where, e.g. {example}", example=example))
    if purpose is None:
        raise HoleEntryError(
            _("“{words}” is not a pin, bolt, tube or epoxy hole. Type e.g. {example}", words=words[:40], example=example)
        )
    return purpose, _length(number[0], unit, SIZES) if number else None


def _length(text: str, unit: Unit, limits: tuple[float, float]) -> float:
    try:
        length = parse_length(text.strip(), unit, limits)
    except LengthError as trouble:
        raise HoleEntryError(_("“{text}”: {what}", text=text.strip()[:40], what=trouble.what)) from None
    low, high = (show(mm, unit) for mm in limits)
    if not limits[0] <= length <= limits[1]:
        raise HoleEntryError(_("“{text}”: from {low} to {high} {unit}", text=text.strip()[:40], low=low, high=high, unit=unit))
    return length
