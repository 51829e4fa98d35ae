"""The pattern of a sheath: each piece flat, with its holes, so that holes meet when it is put together.

Every piece is seen from its good side, the throat at x = the room's. Worn on the right, the front's edge lies below as the right
face's does, the back's above; on the left the other way round. A fold-over's fold lies on y = 0.
"""

from itertools import pairwise
from math import dist

from msgspec import Struct

from workbook.geometry.margins import (
    Parted,
    area_in,
    as_arcs,
    closed_by_lines,
    evenly,
    line_round,
    mirrored_at,
    ring_of_two,
    stepped,
)
from workbook.geometry.path import Line, Path, Point, Points, polyline
from workbook.later import np
from workbook.sheath.amount import sheet_area
from workbook.sheath.belt_loop import BeltLoop, loop_of, loop_piece
from workbook.sheath.piece import SheathHole, SheathPiece
from workbook.sheath.room import BEHIND, SheathRoom, bent, drain_at, room_for
from workbook.sheath.rules import SheathForm, SheathHand, SheathRules
from workbook.sheath.wanting import wanting
from workbook.structs import replace
from workbook.template.shape import Shape
from workbook.texts import _

_FAR = 1e4  # mm
_OFF = 0.5  # mm from a hole to where the leather bends
_FEWEST = 2  # holes along the edge
_ODD = 0.05  # a span that differs by more of itself is told
_BODY, _BACK, _FRONT, _WELT = _("Body"), _("Back"), _("Front"), _("Welt")


class NoSheath(ValueError):
    """Why no pattern can be drawn, in words for the maker."""


class SheathPattern(Struct, frozen=True, kw_only=True, eq=False):
    """All pieces of a sheath, and what stands beside them."""

    rules: SheathRules
    room: SheathRoom
    pieces: tuple[SheathPiece, ...]
    line: tuple[Point, ...]  # holes along the edge, as one side has them
    loop: BeltLoop | None
    notes: tuple[str, ...]  # what is not as asked, in sentences

    @property
    def apart(self) -> float:
        """From the first hole to the next along the edge, mm."""
        return dist(*self.line[:2])

    @property
    def odd(self) -> float:
        """The span between two holes that differs the most from the first, mm; 0 where none differs by a twentieth."""
        most = max((dist(a, b) for a, b in pairwise(self.line)), key=lambda span: abs(span - self.apart))
        return most if abs(most - self.apart) > _ODD * self.apart else 0.0

    @property
    def area(self) -> float:
        """The material it takes, each piece as a rectangle, mm2."""
        return sheet_area(self.room, self.rules)


def sheath_pattern(blank: Shape, bar: float, rules: SheathRules) -> SheathPattern:
    """The pattern for a knife of a parametric template, with blades of this bar, mm.

    Raises NoSheath where no room in one piece can be drawn for it, or fewer than two holes have room.
    """
    room = room_for(blank, bar, rules)
    try:
        pattern = _folded(room, rules) if rules.form is SheathForm.FOLDED else _flat(room, rules)
    except Parted:
        raise NoSheath(_("no room in one piece can be drawn around this knife")) from None
    if len(pattern.line) < _FEWEST:
        raise NoSheath(_("there is no room for two holes along its edge: move them closer together, or make it wider"))
    notes = tuple(wanting(blank, room, rules, pattern.loop))
    pieces = tuple(piece.mirrored() for piece in pattern.pieces) if rules.hand is SheathHand.LEFT else pattern.pieces
    return replace(pattern, notes=notes, pieces=pieces)


def _folded(room: SheathRoom, rules: SheathRules) -> SheathPattern:
    """One piece, folded."""
    seen = line_round(room.side, 0.0, (room.throat, -_FAR, _FAR, room.top - 1e-3))
    lower = _moved(seen, -room.top - room.extra_at(seen[:, 0]))
    area = area_in(_with_ends(np.vstack((lower, (lower * (1, -1))[::-1])), room))
    outer = line_round(area, rules.margin, (room.throat, -_FAR, _FAR, 0.0))
    holes = _holes(line_round(area, rules.line, (room.throat, -_FAR, _FAR, 0.0)), rules, _bend(room, rules))
    loop = loop_of(room, rules)
    both = tuple(SheathHole(at=(x, y * side), size=rules.hole) for side in (1, -1) for x, y in holes)
    drained = np.array(_drain(room, rules)).reshape(-1, 2)
    drain = [
        SheathHole(at=(x, -y), size=rules.drain) for x, y in _points(_moved(drained, -room.top - room.extra_at(drained[:, 0])))
    ]
    end = float(outer[-1, 0])
    body = SheathPiece(
        key="body",
        name=_BODY,
        outline=closed_by_lines(mirrored_at(as_arcs(outer), 0.0)),
        holes=(*both, *drain, *(loop.on_back if loop else ())),
        fold=Path((Line((room.throat, 0.0), (end, 0.0)),), closed=False),
        edges=(polyline(_points(lower)), polyline(_points(lower * (1, -1)))),
        strip=_strip_of(loop),
    )
    pieces = [body]
    if rules.stitched:
        pieces.append(_folded_welt(room, rules, seen, outer, holes))
    return _together(room, rules, pieces, holes, loop)


def _folded_welt(room: SheathRoom, rules: SheathRules, inner: Points, outer: Points, holes: list[Point]) -> SheathPiece:
    """The welt, which lies in the middle plane: as the side view, not bent round what is inside."""

    def back(points: Points) -> Points:
        return _moved(points, room.top + room.extra_at(points[:, 0]))

    edge = back(outer)
    beyond = int(np.argmax(edge[:, 1] > room.top)) if (edge[:, 1] > room.top).any() else len(edge)
    kept = edge[:beyond]
    last = np.array([[kept[-1, 0], room.top]])
    at = back(np.array(holes))
    return SheathPiece(
        key="welt",
        name=_WELT,
        outline=ring_of_two(as_arcs(inner), as_arcs(np.vstack((kept, last)))),
        holes=tuple(SheathHole(at=(float(x), float(y)), size=rules.hole) for x, y in at if y < room.top - rules.hole),
        count=rules.welts(room.spine),
    )


def _flat(room: SheathRoom, rules: SheathRules) -> SheathPattern:
    """Two pieces, the back a mirror image of the front."""
    window = (room.throat, -_FAR, _FAR, _FAR)
    seen = line_round(room.side, 0.0, window)
    inner = _spread(room, seen, 1.0)
    area = area_in(_with_ends(inner, room))
    outer = line_round(area, rules.margin, window)
    holes = _holes(line_round(area, rules.line, window), rules, 0.0)
    drain = [SheathHole(at=_point(_spread(room, np.array([at]), 1.0)[0]), size=rules.drain) for at in _drain(room, rules)]
    loop = loop_of(room, rules)
    line = tuple(SheathHole(at=at, size=rules.hole) for at in holes)
    outline = closed_by_lines(as_arcs(outer))
    edge = polyline(_points(inner))
    front = SheathPiece(key="front", name=_FRONT, outline=outline, holes=line, edges=(edge,))
    back = replace(
        front, key="back", name=_BACK, holes=(*line, *drain, *(loop.on_back if loop else ())), strip=_strip_of(loop)
    ).mirrored()
    pieces = [back, front]
    if rules.stitched:
        at = _spread(room, np.array(holes), -1.0)
        pieces.append(
            SheathPiece(
                key="welt",
                name=_WELT,
                outline=ring_of_two(as_arcs(seen), as_arcs(_spread(room, outer, -1.0))),
                holes=tuple(SheathHole(at=_point(place), size=rules.hole) for place in at),
                count=rules.welts(room.spine),
            )
        )
    return _together(room, rules, pieces, holes, loop)


def _together(
    room: SheathRoom, rules: SheathRules, pieces: list[SheathPiece], line: list[Point], loop: BeltLoop | None
) -> SheathPattern:
    if loop is not None:
        pieces.append(loop_piece(loop, rules))
    return SheathPattern(rules=rules, room=room, pieces=tuple(pieces), line=tuple(line), loop=loop, notes=())


def _strip_of(loop: BeltLoop | None) -> Path | None:
    """Where a belt loop lies on the back."""
    if loop is None:
        return None
    x0, y0, x1, y1 = loop.outline
    return polyline([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], closed=True)


def _moved(points: Points, dy: Points) -> Points:
    """Points moved up, each by its own distance."""
    return np.column_stack((points[:, 0], points[:, 1] + dy))


def _spread(room: SheathRoom, points: Points, way: float) -> Points:
    """The side view flat (1), or flat as the side view (-1): both sides of the room farther apart by what it is longer round.

    Between them it spreads evenly.
    """
    x, y = points.T
    extra = room.extra_at(x)
    low, high = (np.interp(x, room.x, side) for side in (room.low, room.high))
    middle, half = (low + high) / 2, np.maximum((high - low) / 2, 1e-6) + (extra / 2 if way < 0 else 0.0)
    share = np.clip((y - middle) / half, -1.0, 1.0)
    return np.column_stack((x, y + way * share * extra / 2))


def _with_ends(line: Points, room: SheathRoom) -> Points:
    """An open line from the throat and back to it, carried on behind the throat."""
    behind = np.array([[room.throat - BEHIND, line[-1, 1]], [room.throat - BEHIND, line[0, 1]]])
    return np.vstack((line, behind))


def _holes(line: Points, rules: SheathRules, end: float) -> list[Point]:
    """Holes along a line from the throat; `end`: mm that are left free at the fold, 0 where the line comes back to the throat.

    Rivets keep their spacing, since the holes of a belt clip have it.
    """
    begin = rules.inset if rules.stitched else rules.flange / 2
    if rules.stitched:
        return evenly(line, rules.spacing, begin, end or begin)
    return stepped(line, rules.spacing, begin, end or begin, both=not end)


def _bend(room: SheathRoom, rules: SheathRules) -> float:
    """How far from the fold the holes end: half a spacing, and clear of the bend round the welt."""
    return max(rules.spacing / 2, room.gap / 2 + bent(rules) + rules.hole / 2 + _OFF)


def _drain(room: SheathRoom, rules: SheathRules) -> list[Point]:
    return [drain_at(room.point, rules)] if rules.drain > 0 else []


def _points(line: Points) -> list[Point]:
    return [_point(place) for place in line]


def _point(place: Points) -> Point:
    return float(place[0]), float(place[1])
