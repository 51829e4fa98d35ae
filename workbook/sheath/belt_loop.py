"""The belt loop: a strip sewn on the back at both its ends, the belt between them."""

from collections.abc import Iterator

from msgspec import Struct

from workbook.geometry.margins import evenly
from workbook.geometry.path import QUARTER_TURN, Arc, Line, Path, Points, Segment, fillet_bulge
from workbook.later import np
from workbook.sheath.piece import SheathHole, SheathPiece
from workbook.sheath.room import SheathRoom, bent
from workbook.sheath.rules import SheathForm, SheathRules
from workbook.texts import _
from workbook.units import INCH

EASE = INCH / 4  # by which the loop is wider than the belt: common practice, no source
BELT = 4.0  # mm, thickness of a belt, which the strip lies over: common practice, no source
_FROM_THROAT = 3.0  # mm from the throat to the strip
_NARROWEST = 12.0  # mm of a strip
_ROUND = 4.0  # mm, radius of the strip's corners
_OFF = 3.0  # mm from the strip to the edge of the room, and to the bend


class BeltLoop(Struct, frozen=True, kw_only=True):
    """A belt loop as it lies on the flat back."""

    inside: float  # between the seams, mm
    width: float  # of the strip
    length: float  # of the strip, flat
    outline: tuple[float, float, float, float]  # of the strip on the back: x0, y0, x1, y1
    on_back: tuple[SheathHole, ...]
    on_strip: tuple[SheathHole, ...]  # the strip's own frame: x along it from the end at the throat, y from its middle


def loop_of(room: SheathRoom, rules: SheathRules) -> BeltLoop | None:
    """The loop on the flat back of a sheath; None without a belt, of thermoplastic, or where there is no room for it."""
    if rules.belt <= 0 or not rules.stitched:
        return None
    if rules.form is SheathForm.FOLDED:
        return _loop_on(room.x, np.full_like(room.x, room.gap / 2 + bent(rules)), room.high - room.low + room.extra, rules)
    return _loop_on(room.x, room.low - room.extra / 2, room.high + room.extra / 2, rules)


def _loop_on(x: Points, low: Points, high: Points, rules: SheathRules) -> BeltLoop | None:
    """The loop on a back that reaches from `low` to `high` at each x."""
    inside, seam = rules.belt + EASE, 2 * rules.stitch
    long = 2 * (rules.inset + seam) + inside
    begin = float(x[0]) + _FROM_THROAT
    under = (x >= begin) & (x <= begin + long)
    if begin + long > float(x[-1]):
        return None
    bottom, top = float(low[under].max()) + _OFF, float(high[under].min()) - _OFF
    width = min(rules.loop, top - bottom)
    if width < _NARROWEST:
        return None
    rows = (rules.inset, rules.inset + seam)
    on_back, slack = (*rows, *(long - row for row in reversed(rows))), 2 * BELT
    on_strip = (*rows, *(long + slack - row for row in reversed(rows)))
    middle = (bottom + top) / 2
    holes = tuple(_rows(on_back, begin, middle, width, rules))
    if len(holes) < 2 * len(on_back):  # a seam of one stitch holds nothing
        return None
    return BeltLoop(
        inside=inside,
        width=width,
        length=long + slack,
        outline=(begin, middle - width / 2, begin + long, middle + width / 2),
        on_back=holes,
        on_strip=tuple(_rows(on_strip, 0.0, 0.0, width, rules)),
    )


def _rows(places: tuple[float, ...], begin: float, middle: float, width: float, rules: SheathRules) -> Iterator[SheathHole]:
    for place in places:
        across = np.array([(begin + place, middle - width / 2), (begin + place, middle + width / 2)])
        yield from (SheathHole(at=at, size=rules.hole) for at in evenly(across, rules.stitch, rules.inset, rules.inset))


def loop_piece(loop: BeltLoop, rules: SheathRules) -> SheathPiece:
    """The strip."""
    return SheathPiece(key="loop", name=_("Belt loop strip"), outline=_strip(loop.length, loop.width), holes=loop.on_strip)


def _strip(long: float, wide: float) -> Path:
    """A rectangle with round corners, from (0, -wide / 2)."""
    r, up, bulge = min(_ROUND, wide / 2, long / 2), wide / 2, fillet_bulge(QUARTER_TURN)
    stations = ((r, -up), (long - r, -up), (long, r - up), (long, up - r), (long - r, up), (r, up), (0.0, up - r), (0.0, r - up))
    parts: list[Segment] = []
    for n, (start, end) in enumerate(zip(stations, stations[1:] + stations[:1], strict=True)):
        if start != end:
            parts.append(Arc(start, end, bulge) if n % 2 else Line(start, end))
    return Path(tuple(parts))
