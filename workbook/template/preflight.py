"""Faults in a drawing that a cutting service would stumble over: open ends, crossings, duplicates, tiny things.

Each check is a small function over the drawn pieces and their loops; `preflight` runs them all. Places and lengths mm.
"""

from collections.abc import Callable, Iterator, Sequence
from functools import cached_property
from math import degrees, hypot, pi

import numpy as np
from msgspec import Struct

from workbook.geometry.loops import LayerCurve, Loops, join
from workbook.geometry.path import (
    Arc,
    Line,
    Path,
    Point,
    Segment,
    arc_circle,
    bounds,
    flatten,
    path_length,
    segment_length,
    tangents,
)
from workbook.geometry.polygon import Polygon, crossing, depths, distances_to, near_edges, overlapping, polygon
from workbook.geometry.tabs import bridged
from workbook.problems import Problem, Severity, worst_first
from workbook.structs import replace
from workbook.template.drawn import as_circle
from workbook.template.service import Service
from workbook.texts import _, ngettext

GEOMETRY, HYGIENE = _("geometry"), _("common practice: five services' guides agree")
_HAIR, TINY, SPECK = 1e-6, 0.05, 0.5  # mm: of no length; a segment too short to cut; a loop that is dirt
ON, _STEP, _SHARED = 0.004, 0.4, 0.8  # mm: curves this near coincide; step between samples; least length of an overlap
_LEAST, _MOST = 10.0, 1500.0  # mm a blade is long
_MOST_PAIRS = 30_000
_MOST_OF_A_KIND = 8
_FAR = 10_000.0  # mm from the origin
_FACET, _FACETS, _TURN = 4.0, 8, (0.002, 0.2)  # mm, count, radians: a curve drawn as many short lines, each turning little
_KINK = (0.009, 0.14)  # radians between two arcs: not smooth, and not meant as a corner
BACK = pi - 0.05
_CORNER = 0.3  # radians


class Drawn(Struct, frozen=True, eq=False, dict=True):
    """The pieces of a drawing, and what it is to be cut for."""

    pieces: tuple[LayerCurve, ...]
    service: Service
    thickness: float | None = None  # of the steel; None: not known
    tab: float = 0.0  # width of the intended gaps, where tabs hold the part
    kerf: float = 0.0  # by which holes are drawn smaller than they come out

    @cached_property
    def joined(self) -> Loops:
        """The pieces joined, each once."""
        return join(once(self.sound))

    @cached_property
    def loops(self) -> Loops:
        """The joined pieces with tabs bridged, where tabs are the only gaps."""
        outline = bridged([piece.path for piece in self.joined.open], self.tab) if self.tab > 0 else None
        if outline is None:
            return self.joined
        return replace(self.joined, closed=[*self.joined.closed, LayerCurve(outline, self.joined.open[0].layer)], open=[])

    @cached_property
    def sound(self) -> tuple[LayerCurve, ...]:
        """The pieces that have a length."""
        return tuple(p for p in self.pieces if path_length(p.path) > _HAIR)

    @cached_property
    def areas(self) -> tuple[tuple[Path, Polygon], ...]:
        """The closed loops that enclose something, the largest first."""
        pairs = [(p.path, polygon(p.path)) for p in self.loops.closed if len(flatten(p.path, 0.01)) > 2]
        return tuple(sorted(pairs, key=lambda pair: -pair[1].area))

    @cached_property
    def depths(self) -> list[int]:
        """How many of the other areas each area lies in."""
        return depths([area for _, area in self.areas])


class DrawingFacts(Struct, frozen=True, kw_only=True):
    """A drawing in numbers."""

    width: float
    height: float
    area: float  # of steel, holes taken off
    length: float  # that is cut
    pierces: int
    lines: int
    arcs: int  # besides those of whole circles
    circles: int

    @property
    def curves(self) -> str:
        """What is cut, in words."""
        arcs = ngettext("{count} arc", "{count} arcs", self.arcs)
        lines = ngettext("{count} line", "{count} lines", self.lines)
        circles = ngettext("{count} circle", "{count} circles", self.circles)
        return f"{arcs}, {lines}, {circles}"


Check = Callable[[Drawn], Iterator[Problem]]


def preflight(drawing: Drawn) -> list[Problem]:
    """Every problem, worst first; of many of one kind, the first few and a count of the rest."""
    problems = []
    for each in CHECKS:
        findings = list(each(drawing))
        problems += findings[:_MOST_OF_A_KIND]
        if len(findings) > _MOST_OF_A_KIND:
            more = len(findings) - _MOST_OF_A_KIND
            text = ngettext("{what}: {count} more", "{what}: {count} more", more, what=findings[0].what)
            problems.append(replace(findings[0], what=text, at=None, is_=None, wanted=None))
    return worst_first(problems)


def facts(drawing: Drawn) -> DrawingFacts | None:
    """Measure a drawing; None where nothing is drawn."""
    if not drawing.sound:
        return None
    boxes = [bounds(p.path) for p in drawing.sound]
    x0, y0, x1, y1 = (f(box[i] for box in boxes) for i, f in enumerate((min, min, max, max)))
    circles = [as_circle(p.path) is not None for p in drawing.sound]
    segments = [s for p, is_circle in zip(drawing.sound, circles, strict=True) if not is_circle for s in p.path.segments]
    return DrawingFacts(
        width=x1 - x0,
        height=y1 - y0,
        area=sum(
            area.area * (1 if level % 2 == 0 else -1) for (_, area), level in zip(drawing.areas, drawing.depths, strict=True)
        ),
        length=sum(path_length(p.path) for p in drawing.sound),
        pierces=len(drawing.joined.closed) + len(drawing.joined.open),
        lines=sum(isinstance(s, Line) for s in segments),
        arcs=sum(isinstance(s, Arc) for s in segments),
        circles=sum(circles),
    )


def nothing(d: Drawn) -> Iterator[Problem]:
    """A drawing without a closed loop."""
    if not d.areas:
        yield Problem(severity=Severity.STOP, what=_("nothing closed is drawn"), source=HYGIENE, cause="nothing")


def of_no_length(d: Drawn) -> Iterator[Problem]:
    """Segments that begin where they end, and segments too short to cut."""
    empty = [p for p in d.pieces if path_length(p.path) <= _HAIR]
    if empty:
        text = ngettext("{count} line without length", "{count} lines without length", len(empty))
        yield Problem(what=text, at=empty[0].path.segments[0].start, source=HYGIENE, cause="no length")
    short = [s for p in d.sound for s in p.path.segments if _HAIR < segment_length(s) < TINY]
    if short:
        text = ngettext("{count} piece too short to cut", "{count} pieces too short to cut", len(short))
        yield Problem(
            what=text, at=short[0].start, is_=min(map(segment_length, short)), wanted=TINY, source=HYGIENE, cause="tiny"
        )


def open_ends(d: Drawn) -> Iterator[Problem]:
    """Loops that do not close; gaps small enough to be closed."""
    for piece in d.loops.open:
        start, end = piece.path.segments[0].start, piece.path.segments[-1].end
        gap = hypot(end[0] - start[0], end[1] - start[1])
        text = _("an open end: the loop is not closed")
        yield Problem(severity=Severity.STOP, what=text, at=end, is_=gap, wanted=0.0, source=HYGIENE, cause="open")
    if d.loops.gaps_closed:
        gaps = d.loops.gaps_closed
        text = ngettext("{count} gap between ends that should touch", "{count} gaps between ends that should touch", gaps)
        yield Problem(what=text, is_=d.loops.widest_gap, wanted=0.0, source=HYGIENE, cause="gap")


def doubled(d: Drawn) -> Iterator[Problem]:
    """The same curve twice, or one that lies on a part of another."""
    repeats = len(d.sound) - len(once(d.sound)) + d.joined.doubled
    if repeats:
        text = ngettext("{count} curve drawn twice", "{count} curves drawn twice", repeats)
        yield Problem(what=text, source=HYGIENE, cause="double")
    pairs = pairs_near([p.path for p in once(d.sound)])
    if len(pairs) > _MOST_PAIRS:
        text = _("too many curves to check for curves that lie on each other")
        yield Problem(severity=Severity.NOTE, what=text, source=HYGIENE, cause="many")
        return
    for first, second in pairs:
        at = _lies_on(first, second) or _lies_on(second, first)
        if at is not None:
            yield Problem(what=_("two curves lie on each other"), at=at, source=HYGIENE, cause="overlap")


def crossings(d: Drawn) -> Iterator[Problem]:
    """A loop that crosses itself, and two that cross."""
    for _unused, area in d.areas:
        at = crossing(area)
        if at is not None:
            yield Problem(severity=Severity.STOP, what=_("a loop crosses itself"), at=at, source=GEOMETRY, cause="crossing")
    for *_which, at in overlapping([area for _unused, area in d.areas if area.is_valid]):
        yield Problem(severity=Severity.STOP, what=_("two loops cross"), at=at, source=GEOMETRY, cause="crossing")


def spikes(d: Drawn) -> Iterator[Problem]:
    """A curve that turns back on itself."""
    for path in (p.path for p in (*d.loops.closed, *d.loops.open)):
        for before, after in _corners(path):
            if abs(turn_between(before, after)) > BACK and min(segment_length(before), segment_length(after)) > TINY:
                yield Problem(what=_("a curve turns back on itself"), at=before.end, source=HYGIENE, cause="spike")


def specks(d: Drawn) -> Iterator[Problem]:
    """Loops so small that they are dirt."""
    for path, _unused in d.areas:
        x0, y0, x1, y1 = bounds(path)
        size = max(x1 - x0, y1 - y0)
        if size < SPECK:
            text = _("a loop too small to be intended")
            yield Problem(what=text, at=(x0, y0), is_=size, wanted=SPECK, source=HYGIENE, cause="speck")


def parts(d: Drawn) -> Iterator[Problem]:
    """More than one part in a file, and loops inside holes."""
    outer = sum(level == 0 for level in d.depths)
    if outer > 1:
        text = _("{outer} parts in one file: services ask for one, with its quantity", outer=outer)
        yield Problem(severity=Severity.NOTE, what=text, is_=float(outer), wanted=1.0, unit="", source=HYGIENE, cause="parts")
    for (path, _unused), level in zip(d.areas, d.depths, strict=True):
        if level > 1:
            at = path.segments[0].start
            yield Problem(what=_("a loop inside a hole: a part that falls out"), at=at, source=GEOMETRY, cause="island")


def facets(d: Drawn) -> Iterator[Problem]:
    """Curves drawn as many short lines."""
    for path in (p.path for p in (*d.loops.closed, *d.loops.open)):
        run = most = 0
        for before, after in _corners(path):
            small = (
                isinstance(before, Line)
                and isinstance(after, Line)
                and max(segment_length(before), segment_length(after)) < _FACET
            )
            run = run + 1 if small and _TURN[0] < abs(turn_between(before, after)) < _TURN[1] else 0
            most = max(most, run)
        if most >= _FACETS:
            text = _("a curve drawn as {most} or more short lines instead of arcs", most=most + 1)
            yield Problem(severity=Severity.NOTE, what=text, at=path.segments[0].start, source=HYGIENE, cause="facets")


def kinks(d: Drawn) -> Iterator[Problem]:
    """Arcs that meet almost smoothly."""
    places = [
        (before.end, abs(turn_between(before, after)))
        for path in (p.path for p in (*d.loops.closed, *d.loops.open))
        for before, after in _corners(path)
        if isinstance(before, Arc) and isinstance(after, Arc) and _KINK[0] < abs(turn_between(before, after)) < _KINK[1]
    ]
    if places:
        at, turn = max(places, key=lambda f: f[1])
        text = ngettext(
            "{count} place where two arcs meet not quite smoothly",
            "{count} places where two arcs meet not quite smoothly",
            len(places),
        )
        yield Problem(
            severity=Severity.NOTE, what=text, at=at, is_=degrees(turn), wanted=0.0, unit="deg", source=GEOMETRY, cause="kink"
        )


def small_holes(d: Drawn) -> Iterator[Problem]:
    """Round holes smaller than the service cuts."""
    if d.thickness is None or len(d.areas) < 2:
        return
    least = d.service.least_hole(d.thickness)
    for path, _unused in d.areas[1:]:
        circle = as_circle(path)
        if circle and SPECK <= circle[1] + d.kerf < least - 1e-6:
            text = _("a hole smaller than the service cuts")
            yield Problem(what=text, at=circle[0], is_=circle[1] + d.kerf, wanted=least, source=_of(d.service), cause="hole")


def inside_corners(d: Drawn) -> Iterator[Problem]:
    """Inside corners sharper than the service cuts."""
    least = d.service.inside_radius
    for (path, area), level in zip(d.areas, d.depths, strict=True):
        if least <= 0 or as_circle(path):
            continue
        inner = (-1 if area.exterior.is_ccw else 1) * (1 if level % 2 == 0 else -1)  # the turn of an inside corner
        for before, after in _corners(path):
            radius = arc_circle(before)[1] if isinstance(before, Arc) else least
            if isinstance(before, Arc) and before.bulge * inner > 0 and radius < least - 1e-6:
                yield _too_sharp(d, before.start, radius)
            elif BACK > turn_between(before, after) * inner > _CORNER:
                yield _too_sharp(d, before.end, 0.0)


def _too_sharp(d: Drawn, at: Point, radius: float) -> Problem:
    text = _("an inside corner sharper than the service cuts")
    return Problem(what=text, at=at, is_=radius, wanted=d.service.inside_radius, source=_of(d.service), cause="corner")


def thin_webs(d: Drawn) -> Iterator[Problem]:
    """Less steel between two loops than half its thickness."""
    if d.thickness is None:
        return
    for gap, at in near_edges([area for _unused, area in d.areas], d.thickness / 2):
        if gap > _HAIR:
            text = _("little steel between two loops")
            yield Problem(what=text, at=at, is_=gap, wanted=d.thickness / 2, source=_("common practice, no source"), cause="web")


def size(d: Drawn) -> Iterator[Problem]:
    """A drawing too small or too large for a blade, or far from its origin."""
    numbers = facts(d)
    if numbers is None:
        return
    longest = max(numbers.width, numbers.height)
    if not _LEAST <= longest <= _MOST:
        text = (
            _("the drawing is small for a blade: drawn in inches and read as mm?")
            if longest < _LEAST
            else _("the drawing is large for a blade: drawn in mm and read as inches?")
        )
        limit = _LEAST if longest < _LEAST else _MOST
        yield Problem(severity=Severity.STOP, what=text, is_=longest, wanted=limit, source=HYGIENE, cause="scale")
    x0, y0 = (min(bounds(p.path)[i] for p in d.sound) for i in (0, 1))
    if max(abs(x0), abs(y0)) > _FAR:
        text = _("it is far from the origin: some machines lose precision there")
        yield Problem(severity=Severity.NOTE, what=text, at=(x0, y0), source=HYGIENE, cause="far")


CHECKS: tuple[Check, ...] = (
    nothing, of_no_length, open_ends, doubled, crossings, spikes, specks, parts, facets, kinks, small_holes, inside_corners,
    thin_webs, size,
)  # fmt: skip


def once(pieces: Sequence[LayerCurve]) -> tuple[LayerCurve, ...]:
    """The pieces without duplicates."""
    unique: dict[object, LayerCurve] = {}
    for piece in pieces:
        x0, y0, x1, y1 = bounds(piece.path)
        middle = flatten(piece.path, 0.05).mean(axis=0)
        unique.setdefault(tuple(round(v, 2) for v in (x0, y0, x1, y1, *middle.tolist(), path_length(piece.path))), piece)
    return tuple(unique.values())


def pairs_near(paths: Sequence[Path]) -> list[tuple[Path, Path]]:
    """Pairs of paths whose bounding boxes meet."""
    boxes = np.array([bounds(p) for p in paths]).reshape(-1, 4)
    pairs = []
    for i, (x0, y0, x1, y1) in enumerate(boxes):
        near = (boxes[:, 0] <= x1) & (boxes[:, 2] >= x0) & (boxes[:, 1] <= y1) & (boxes[:, 3] >= y0)
        pairs += [(paths[i], paths[j]) for j in np.flatnonzero(near).tolist() if j > i]
    return pairs


def offs(path: Path, other: Path) -> tuple[np.ndarray, np.ndarray]:
    """Places along a path, shape (n, 2), and the distance of each from another path, mm, shape (n,)."""
    corners = flatten(path, 0.002)
    corners = np.vstack((corners, corners[:1])) if path.closed else corners
    steps = np.hypot(*np.diff(corners, axis=0).T)
    along = np.concatenate(([0.0], np.cumsum(steps)))
    at = np.linspace(0.0, along[-1], max(int(along[-1] / _STEP), 4) + 1)
    places = np.column_stack([np.interp(at, along, corners[:, k]) for k in (0, 1)])
    return places, distances_to(places, flatten(other, 0.002), closed=other.closed)


def _lies_on(path: Path, other: Path) -> Point | None:
    """A place where a path lies on another for a stretch; None where it does not."""
    places, off = offs(path, other)
    need = max(int(_SHARED / max(path_length(path) / (len(places) - 1), 1e-9)), 2)
    run = 0
    for place, near in zip(places.tolist(), (off < ON).tolist(), strict=True):
        run = run + 1 if near else 0
        if run > need:
            return float(place[0]), float(place[1])
    return None


def _corners(path: Path) -> Iterator[tuple[Segment, Segment]]:
    after = path.segments[1:] + (path.segments[:1] if path.closed else ())
    yield from zip(path.segments[: len(after)], after, strict=True)


def turn_between(before: Segment, after: Segment) -> float:
    """How far the direction turns from one segment to the next, radians, positive to the left."""
    return (tangents(after)[0] - tangents(before)[1] + pi) % (2 * pi) - pi


def _of(service: Service) -> str:
    return _("what {name} cuts", name=service.name) if service.name else _("the service's settings")
