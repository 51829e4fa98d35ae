"""The order in which the lines between blanks are sawn, with few turns of the piece; and what a bar takes at the saw.

A piece lies at the saw in one of three ways: its end A first, its end B first, or across. A line can be begun at an end that
lies on an edge of the bar, on a straight cut, or on a line sawn before.
"""

from collections.abc import Iterable, Mapping, Sequence
from enum import Enum

from msgspec import Struct

from workbook.geometry.lines import Line, length_of, touching
from workbook.units import INCH

_ON = 0.05  # mm from another cut that count as on it
_FEED_THICKNESS = INCH / 8  # of the steel in which a saw's feed is told
_BEGUN, _TURNED = 0.5, 0.5  # minutes to begin a cut, and to turn a piece: common practice, no source


class Way(Enum):
    """How a piece lies at the saw: which of its ends goes first, or across."""

    END_A = 1
    END_B = 2
    ACROSS = 3


Ends = Mapping[Way, tuple[bool, frozenset[int]]]  # by the way: whether a line can be begun, or after which others


class SawOrder(Struct, frozen=True):
    """The numbers of some lines in the order in which they are sawn, and how often the piece is turned for them."""

    numbers: tuple[int, ...]
    turns: int


class SawTime(Struct, frozen=True):
    """What a bar takes at the saw: the length of its cuts in mm, how often its pieces are turned, and minutes."""

    length: float
    turns: int
    minutes: float


def saw_order(lines: Sequence[Line], cuts: Sequence[Line], bar: tuple[float, float]) -> SawOrder:
    """The order with the fewest turns: all that can be sawn with the piece lying one way is, before it is turned.

    `lines`: of one piece; `cuts`: the straight ones, made before; `bar`: its length and width. Lines that can be begun at no end
    come last: the first of them needs a hole drilled.
    """
    ends = _ends(lines, cuts, bar)
    frontier: list[tuple[tuple[int, ...], Way]] = [((), way) for way in Way]
    met = set[tuple[frozenset[int], Way]]()
    best, turns = tuple[int, ...](), 0
    for depth in range(len(lines) + 1):
        reached = [(_all_in(lines, ends, done, way), way) for done, way in frontier]
        longest = max((order for order, _way in reached), key=len)
        best, turns = (longest, depth) if len(longest) > len(best) else (best, turns)
        if len(best) == len(lines):
            break
        fresh = [(order, way) for order, way in reached if (frozenset(order), way) not in met]
        met |= {(frozenset(order), way) for order, way in fresh}
        frontier = [(order, other) for order, way in fresh for other in Way if other != way]
        if not frontier:
            break
    return SawOrder((*best, *(n for n in range(len(lines)) if n not in best)), turns)


def saw_time(
    lines: Iterable[Line],
    cuts: Sequence[Line],
    around: float,
    turns: int,
    feed: float,
    thickness: float,
) -> SawTime:
    """The time for lines and straight cuts, and `around`: the mm of outlines sawn besides. `feed`: mm a minute in 1/8 in."""
    every = [*lines, *cuts]
    length = sum(length_of(line) for line in every) + around
    corners = sum(len(cut) - 2 for cut in cuts)
    begun = len(every) + corners + (around > 0.0)
    minutes = length / feed * thickness / _FEED_THICKNESS + begun * _BEGUN + turns * _TURNED
    return SawTime(length, turns, minutes)


def _ends(lines: Sequence[Line], cuts: Sequence[Line], bar: tuple[float, float]) -> list[Ends]:
    length, width = bar
    edges: list[Line] = [((0.0, 0.0), (length, 0.0), (length, width), (0.0, width), (0.0, 0.0))]
    places = [place for line in lines for place in (line[0], line[-1])]
    free = touching(places, [*edges, *cuts], _ON)
    on = touching(places, lines, _ON)
    found = list[Ends]()
    for n, line in enumerate(lines):
        (left, by_left), (right, by_right) = ((bool(free[i]), on[i] - {n}) for i in (2 * n, 2 * n + 1))
        (x0, y0), (x1, y1) = line[0], line[-1]
        if abs(x1 - x0) < abs(y1 - y0):
            found.append({Way.ACROSS: (left or right, by_left | by_right)})
        elif x0 <= x1:
            found.append({Way.END_A: (left, by_left), Way.END_B: (right, by_right)})
        else:
            found.append({Way.END_A: (right, by_right), Way.END_B: (left, by_left)})
    return found


def _all_in(lines: Sequence[Line], ends: Sequence[Ends], done: tuple[int, ...], way: Way) -> tuple[int, ...]:
    """The lines sawn so far and all that can be sawn with the piece lying this way, from the end that goes first on."""
    order = [*done]
    while True:
        sawn = set(order)
        some = [n for n in range(len(lines)) if n not in sawn and way in ends[n] and (ends[n][way][0] or ends[n][way][1] & sawn)]
        if not some:
            return tuple(order)
        order.append(min(some, key=lambda n: -max(x for x, _y in lines[n]) if way == Way.END_B else min(x for x, _y in lines[n])))
