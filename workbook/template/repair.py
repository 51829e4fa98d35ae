"""A drawing mended as far as it can be by itself: gaps closed, doubles, specks, stray ends and spikes left out. Lengths mm."""

from msgspec import Struct

from workbook.geometry.loops import GAP, LayerCurve, join
from workbook.geometry.path import Path, Segment, bounds, segment_length
from workbook.geometry.polygon import polygon
from workbook.structs import replace
from workbook.template.preflight import BACK, ON, SPECK, TINY, Drawn, offs, once, pairs_near, turn_between
from workbook.texts import _

_LONE = 4.0  # a short piece is left out where both beside it are so many times longer than short: elsewhere it is a facet
_SAME_AREA = 0.002  # of an area: what a loop may change by
_LEAST_AREA = 0.05  # mm2


class Repaired(Struct, frozen=True):
    """The closed loops that are left, and in words what was done."""

    paths: tuple[Path, ...]
    told: tuple[str, ...]


def repaired(drawn: Drawn, gap: float = 5 * GAP) -> Repaired:
    """The drawing with what can be mended mended; nothing is done to a loop that would change its shape."""
    whole = once(drawn.sound)
    pieces = _without_covered(whole)
    loops = join(pieces, gap)
    cleaned = [_cleaned(piece.path) for piece in loops.closed]
    paths = tuple(path for path in cleaned if _encloses(path))
    counts = (
        (len(drawn.pieces) - len(drawn.sound), _("of no length left out")),
        (len(drawn.sound) - len(whole) + loops.doubled, _("drawn twice left out")),
        (len(whole) - len(pieces), _("lying on others left out")),
        (loops.gaps_closed, _("gaps closed")),
        (len(loops.open), _("that close nowhere left out")),
        (len(cleaned) - len(paths), _("too small to be meant left out")),
        (
            sum(len(c.segments) < len(p.path.segments) for c, p in zip(cleaned, loops.closed, strict=True)),
            _("cleaned of short pieces"),
        ),
    )
    return Repaired(paths, tuple(f"{count} {words}" for count, words in counts if count))


def _encloses(path: Path) -> bool:
    x0, y0, x1, y1 = bounds(path)
    return len(path.segments) > 1 and max(x1 - x0, y1 - y0) >= SPECK and polygon(path).area > _LEAST_AREA


def _cleaned(path: Path) -> Path:
    """Without lone short pieces and without spikes; as it was where that would change the area it encloses."""
    kept = _without_spikes(_without_lone(list(path.segments)))
    if len(kept) < 2:
        return path
    made = Path(tuple(replace(s, end=n.start) for s, n in zip(kept, kept[1:] + kept[:1], strict=True)), closed=True)
    before, after = polygon(path).area, polygon(made).area
    return made if abs(after - before) <= _SAME_AREA * before else path


def _without_lone(segments: list[Segment]) -> list[Segment]:
    """Without short pieces between long ones."""
    long = [segment_length(s) for s in segments]
    count = len(segments)
    return [
        s for i, s in enumerate(segments) if long[i] > TINY or min(long[i - 1], long[(i + 1) % count]) < _LONE * TINY or count < 3
    ]


def _without_spikes(segments: list[Segment]) -> list[Segment]:
    """Without pairs that turn back."""
    kept, i = list(segments), 0
    while len(kept) > 2 and i < len(kept):
        before, after = kept[i], kept[(i + 1) % len(kept)]
        if abs(turn_between(before, after)) > BACK:
            kept = [s for s in kept if s not in (before, after)]
            i = 0
        else:
            i += 1
    return kept


def _without_covered(pieces: tuple[LayerCurve, ...]) -> tuple[LayerCurve, ...]:
    """Without those that lie on others all along."""
    pairs = pairs_near([p.path for p in pieces])
    covered = {id(one) for one, other in pairs if _covered(one, other)}
    covered |= {id(other) for one, other in pairs if id(one) not in covered and _covered(other, one)}
    return tuple(p for p in pieces if id(p.path) not in covered)


def _covered(one: Path, other: Path) -> bool:
    return bool((offs(one, other)[1] < ON).all())
