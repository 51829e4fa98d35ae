"""Serial numbers to stamp on tangs: a letter for the template and a count along the bars."""

from collections.abc import Collection, Iterator, Sequence
from itertools import count

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
    """The serial of every piece, bar by bar in the order of the bar's pieces; those that stayed keep theirs."""
    letter = letters([part.name for part in job.parts])
    had = [dict(zip(use.pieces, row, strict=True)) for use, row in zip(job.kept, job.marks, strict=False)]
    taken = {*job.used, *(serial for row in job.marks for serial in row)}
    free = {name: _numbered(mark, taken) for name, mark in letter.items()}
    out = []
    for b, use in enumerate(layout.bars):
        own = had[b] if b < len(had) else {}
        out.append(tuple(own.get(piece) or next(free[job.parts[piece.part].name]) for piece in use.pieces))
    return tuple(out)


def _numbered(mark: str, taken: Collection[str]) -> Iterator[str]:
    """A letter with 1, 2, 3..., less what is taken."""
    return (serial for n in count(1) if (serial := f"{mark}{n}") not in taken)
