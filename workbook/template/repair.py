"""Automatic repair of a drawing: gaps closed; duplicates, specks, stray ends and spikes left out. Lengths mm."""

from msgspec import Struct

from workbook.geometry.loops import GAP, LayerCurve, join
from workbook.geometry.path import Path, Segment, bounds, segment_length
from workbook.geometry.polygon import polygon
from workbook.structs import replace
from workbook.template.preflight import BACK, ON, SPECK, TINY, Drawn, offs, once, pairs_near, turn_between
from workbook.texts import ngettext

_LONE = 4.0  # a short piece is left out where both neighbours are this many times longer than TINY: elsewhere it is a facet
_SAME_AREA = 0.002  # share of its area that a loop may change by
_LEAST_AREA = 0.05  # mm2


class Repaired(Struct, frozen=True):
    """The closed loops that remain, and what was done, in words."""

    paths: tuple[Path, ...]
    told: tuple[str, ...]


def repaired(drawing: Drawn, gap: float = 5 * GAP) -> Repaired:
    """Repair what can be repaired, leaving alone any loop whose shape that would change.

    `gap`: the widest gap that is closed, mm.
    """
    unique = once(drawing.sound)
    pieces = _without_covered(unique)
    loops = join(pieces, gap)
    cleaned = [_cleaned(piece.path) for piece in loops.closed]
    paths = tuple(path for path in cleaned if _encloses(path))
    n = len(drawing.pieces) - len(drawing.sound)
    told = [(n, ngettext("removed {count} piece without length", "removed {count} pieces without length", n))]
    n = len(drawing.sound) - len(unique) + loops.doubled
    told += [(n, ngettext("removed {count} piece drawn twice", "removed {count} pieces drawn twice", n))]
    n = len(unique) - len(pieces)
    told += [(n, ngettext("removed {count} piece on another", "removed {count} pieces on others", n))]
    n = loops.gaps_closed
    told += [(n, ngettext("closed {count} gap", "closed {count} gaps", n))]
    n = len(loops.open)
    told += [(n, ngettext("removed {count} open chain", "removed {count} open chains", n))]
    n = len(cleaned) - len(paths)
    told += [(n, ngettext("removed {count} loop too small to be intended", "removed {count} loops too small to be intended", n))]
    n = sum(len(c.segments) < len(p.path.segments) for c, p in zip(cleaned, loops.closed, strict=True))
    told += [(n, ngettext("cleaned {count} loop of short pieces", "cleaned {count} loops of short pieces", n))]
    return Repaired(paths, tuple(words for count, words in told if count))


def _encloses(path: Path) -> bool:
    x0, y0, x1, y1 = bounds(path)
    return len(path.segments) > 1 and max(x1 - x0, y1 - y0) >= SPECK and polygon(path).area > _LEAST_AREA


def _cleaned(path: Path) -> Path:
    """The loop without lone short pieces and spikes; unchanged where that would change its area."""
    segments = _without_spikes(_without_lone(list(path.segments)))
    if len(segments) < 2:
        return path
    cleaned = Path(
        tuple(replace(s, end=n.start) for s, n in zip(segments, segments[1:] + segments[:1], strict=True)), closed=True
    )
    before, after = polygon(path).area, polygon(cleaned).area
    return cleaned if abs(after - before) <= _SAME_AREA * before else path


def _without_lone(segments: list[Segment]) -> list[Segment]:
    """The segments without short ones between long ones."""
    lengths = [segment_length(s) for s in segments]
    count = len(segments)
    return [
        s
        for i, s in enumerate(segments)
        if lengths[i] > TINY or min(lengths[i - 1], lengths[(i + 1) % count]) < _LONE * TINY or count < 3
    ]


def _without_spikes(segments: list[Segment]) -> list[Segment]:
    """The segments without pairs that turn back on themselves."""
    remaining, i = list(segments), 0
    while len(remaining) > 2 and i < len(remaining):
        before, after = remaining[i], remaining[(i + 1) % len(remaining)]
        if abs(turn_between(before, after)) > BACK:
            remaining = [s for s in remaining if s not in (before, after)]
            i = 0
        else:
            i += 1
    return remaining


def _without_covered(pieces: tuple[LayerCurve, ...]) -> tuple[LayerCurve, ...]:
    """The pieces without those that lie on others all along."""
    pairs = pairs_near([p.path for p in pieces])
    covered = {id(first) for first, second in pairs if _covered(first, second)}
    covered |= {id(second) for first, second in pairs if id(first) not in covered and _covered(second, first)}
    return tuple(p for p in pieces if id(p.path) not in covered)


def _covered(path: Path, other: Path) -> bool:
    return bool((offs(path, other)[1] < ON).all())
