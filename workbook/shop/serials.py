"""Serial numbers to stamp on tangs: a letter for the template and a count along the bars."""

from collections.abc import Collection, Iterator, Sequence
from itertools import count

from workbook.nesting.model import Layout, NestingJob

_HOLE_MARKS = "BPLEH"


def letters(names: Sequence[str]) -> dict[str, str]:
    """A letter for each template, from its own name where one is free: consonants first, which are easier to tell apart.

    The letters of hole marks (B, P, L, E, H) are not used: a blank P1 with a hole P1 would be confusing.
    """
    by_name: dict[str, str] = {}
    for name in dict.fromkeys(names):
        own_letters = [c for c in name.upper() if c.isascii() and c.isalpha() and c not in _HOLE_MARKS]
        candidates = [*(c for c in own_letters if c not in "AEIOU"), *own_letters, *"CDFGJKMNQRSTVWXYZAIOU"]
        by_name[name] = next((c for c in candidates if c not in by_name.values()), f"T{len(by_name) + 1}-")
    return by_name


def serials(job: NestingJob, layout: Layout) -> tuple[tuple[str, ...], ...]:
    """The serial of every piece, bar by bar in the order of the bar's pieces; pieces kept from before keep theirs."""
    letter = letters([part.name for part in job.parts])
    existing = [dict(zip(use.pieces, row, strict=True)) for use, row in zip(job.kept, job.marks, strict=False)]
    in_use = {*job.used, *(serial for row in job.marks for serial in row)}
    free = {name: _numbered(mark, in_use) for name, mark in letter.items()}
    rows = []
    for b, use in enumerate(layout.bars):
        on_bar = existing[b] if b < len(existing) else {}
        rows.append(tuple(on_bar.get(piece) or next(free[job.parts[piece.part].name]) for piece in use.pieces))
    return tuple(rows)


def _numbered(mark: str, in_use: Collection[str]) -> Iterator[str]:
    """A letter with 1, 2, 3..., without those in use."""
    return (serial for n in count(1) if (serial := f"{mark}{n}") not in in_use)
