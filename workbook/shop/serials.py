"""Serial numbers to stamp on tangs: a letter for the template and a count along the bars."""

from collections import Counter
from collections.abc import Sequence

from workbook.nesting.model import Layout, NestingJob

_HOLE_MARKS = "BPLEH"


def letters(names: Sequence[str]) -> dict[str, str]:
    """A letter for each template, out of its own name where one is free: consonants first, they are told apart better.

    The letters of hole marks (B, P, L, E, H) are not used: a blank P1 with a hole P1 would be one too many.
    """
    given: dict[str, str] = {}
    for name in dict.fromkeys(names):
        own = [c for c in name.upper() if c.isascii() and c.isalpha() and c not in _HOLE_MARKS]
        wishes = [*(c for c in own if c not in "AEIOU"), *own, *"CDFGJKMNQRSTVWXYZAIOU"]
        given[name] = next((c for c in wishes if c not in given.values()), f"T{len(given) + 1}-")
    return given


def serials(job: NestingJob, layout: Layout) -> tuple[tuple[str, ...], ...]:
    """The serial of every piece, bar by bar in the order of the bar's pieces."""
    letter = letters([part.name for part in job.parts])
    counted: Counter[str] = Counter()
    out = []
    for use in layout.bars:
        row = []
        for piece in use.pieces:
            name = job.parts[piece.part].name
            counted[name] += 1
            row.append(f"{letter[name]}{counted[name]}")
        out.append(tuple(row))
    return tuple(out)
