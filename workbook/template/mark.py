"""A short mark of what a template's blank looks like: prints of the same shape carry the same, prints of another another."""

import hashlib

from workbook.geometry.path import flatten
from workbook.template.shape import Shape

_STEP = 0.01  # mm; what is nearer than half of it is the same place
_LETTERS = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"  # none that is read as another
_COUNT = 6


def shape_mark(blank: Shape) -> str:
    """Six letters and figures from outline, openings, holes and thickness; the same for the same shape, wherever it is made."""
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
