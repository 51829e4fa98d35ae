"""A drawing mended as far as it can be by itself: gaps closed, doubles, specks, stray ends and spikes left out. Lengths mm."""

from dataclasses import replace

from workbook.geometry.loops import GAP, Piece, join
from workbook.geometry.path import Path, Segment, bounds, segment_length
from workbook.template.preflight import BACK, ON, SPECK, TINY, Drawn, offs, once, pairs_near, turn_between


def repaired(drawn: Drawn, gap: float = 5 * GAP) -> tuple[Path, ...]:
    """The closed loops that are left when what can be mended is: gaps closed, doubles, specks, stray ends, spikes dropped."""
    pieces = _without_covered(once(drawn.sound))
    closed = [Path(tuple(_without_spikes(p.path)), closed=True) for p in join(pieces, gap).closed]
    boxes = [(path, bounds(path)) for path in closed if len(path.segments) > 1]
    return tuple(path for path, (x0, y0, x1, y1) in boxes if max(x1 - x0, y1 - y0) >= SPECK)


def _without_spikes(path: Path) -> list[Segment]:
    """Short segments and those that turn back left out, ends moved together."""
    kept = [s for s in path.segments if segment_length(s) > TINY]
    i = 0
    while len(kept) > 2 and i < len(kept):
        before, after = kept[i], kept[(i + 1) % len(kept)]
        if abs(turn_between(before, after)) > BACK:
            kept = [s for s in kept if s not in (before, after)]
            i = 0
        else:
            i += 1
    return [replace(s, end=n.start) for s, n in zip(kept, kept[1:] + kept[:1], strict=True)]


def _without_covered(pieces: tuple[Piece, ...]) -> tuple[Piece, ...]:
    """Without those that lie on others all along."""
    covered = {id(one) for one, other in pairs_near([p.path for p in pieces]) if _covered(one, other)}
    covered |= {
        id(other) for one, other in pairs_near([p.path for p in pieces]) if id(one) not in covered and _covered(other, one)
    }
    return tuple(p for p in pieces if id(p.path) not in covered)


def _covered(one: Path, other: Path) -> bool:
    return bool((offs(one, other)[1] < ON).all())
