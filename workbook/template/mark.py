"""A short code of a blank's shape: prints of the same shape carry the same code, other prints another."""

import hashlib

from workbook.geometry.path import flatten
from workbook.template.shape import Shape

_STEP = 0.01  # mm; coordinates are rounded to it
_LETTERS = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"  # none that is mistaken for another
_COUNT = 6


def shape_mark(blank: Shape) -> str:
    """Six letters and figures from outline, openings, holes and thickness; the same for the same shape on any computer."""
    digest = hashlib.sha256()
    for path in (blank.outline, *blank.openings):
        for x, y in flatten(path, _STEP).tolist():
            digest.update(f"{round(x / _STEP)},{round(y / _STEP)};".encode())
        digest.update(b"|")
    for hole in blank.holes:
        (x, y), size = hole.centre, hole.diameter
        digest.update(f"{round(x / _STEP)},{round(y / _STEP)},{round(size / _STEP)};".encode())
    digest.update(f"{round(blank.thickness / _STEP)}".encode())
    number = int.from_bytes(digest.digest()[:8], "big")
    return "".join(_LETTERS[(number >> (5 * i)) & 31] for i in range(_COUNT))
