"""Numbers as a stencil to mark blanks through: each figure is a few slots that leave no island, as on a segment display.

Slots are stadiums: two lines and two half circles. Lengths mm.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import combinations
from math import atan2, cos, hypot, sin

from workbook.geometry.drawing import Curve, Drawing, Mark, box
from workbook.geometry.path import Arc, Line, Path, Point
from workbook.geometry.polygon import lines_apart

_WIDE, _TALL = 0.6, 1.0  # width and height of a figure, in heights
_SLOT, _BRIDGE = 0.11, 0.45  # width of a slot, in heights; of the steel between slots, in slot widths
_STEP, _TRIES = 0.12, 400  # step by which slots are shortened, in slot widths, until bridges are left
_GAP = 0.5  # between figures, in figure widths
_EDGE = 6.0  # mm of plate round the numbers
_BETWEEN = 5.0  # mm between numbers, and rows
_PLATE = 200.0  # mm of plate at most before another row begins
_NODES = {  # of the figures' grid: three across, three up
    "a": (0.0, 1.0), "b": (0.5, 1.0), "c": (1.0, 1.0), "d": (0.0, 0.5), "e": (0.5, 0.5), "f": (1.0, 0.5), "g": (0.0, 0.0),
    "h": (0.5, 0.0), "i": (1.0, 0.0),
}  # fmt: skip
_STROKES = {  # pairs of nodes: a slot from one to the other
    "0": "ac cf fi ig gd da", "1": "bh", "2": "ac cf fd dg gi", "3": "ac cf fd fi ig", "4": "ad df cf fi", "5": "ca ad df fi ig",
    "6": "ca ad dg gi if fd", "7": "ac cf fi", "8": "ac cf fi ig gd da df", "9": "fd da ac cf fi", "A": "dg da ac cf fi df",
    "B": "ag ac cf df fi ig", "C": "ca ad dg gi", "D": "ag ac cf fi ig", "E": "ca ad dg gi de", "F": "ca ad dg de",
    "G": "ca ad dg gi if fe", "H": "ad dg cf fi df", "I": "ac bh gi", "J": "cf fi ig gd", "K": "ad dg ec ei", "L": "ad dg gi",
    "M": "gd da ae ec cf fi", "N": "gd da ai if fc", "O": "ac cf fi ig gd da", "P": "ad dg ac cf fd", "Q": "ac cf fi ig gd da ei",
    "R": "ad dg ac cf fd ei", "S": "ca ad df fi ig", "T": "ac bh", "U": "ad dg gi if fc", "V": "ad dh hf fc",
    "W": "ad dg ge ei if fc",
    "X": "ae ec eg ei", "Y": "ae ec eh", "Z": "ac cg gi", "-": "df", ".": "hi",
}  # fmt: skip


def stencil(words: Sequence[str], tall: float = 6.0) -> Drawing:
    """Build a plate with every word as slots, in rows, on the layer OUTLINE; letters without slots are left out."""
    slot = tall * _SLOT
    marks: list[Mark] = []
    x, y, right = _EDGE, _EDGE, 0.0
    for word in words:
        wide = _width(word, tall)
        if x > _EDGE and x + wide > _PLATE - _EDGE:
            x, y = _EDGE, y + tall + _BETWEEN
        marks += [Curve(path) for path in _slots(word, (x, -y - tall), tall, slot)]
        right = max(right, x + wide)
        x += wide + _BETWEEN
    return (box(0.0, -y - tall - _EDGE, right + _EDGE, 0.0, line="outline", layer="OUTLINE"), *marks)


def _width(word: str, tall: float) -> float:
    return (len(word) * (1 + _GAP) - _GAP) * _WIDE * tall


def _slots(word: str, corner: Point, tall: float, slot: float) -> Iterator[Path]:
    for n, letter in enumerate(word.upper()):
        x = corner[0] + n * (1 + _GAP) * _WIDE * tall
        for (ax, ay), (bx, by) in _lines(letter):
            yield _stadium((x + ax * tall, corner[1] + ay * tall), (x + bx * tall, corner[1] + by * tall), slot)


@lru_cache(maxsize=64)
def _lines(letter: str) -> tuple[tuple[Point, Point], ...]:
    """The centre lines of a figure's slots, at unit height: shortened until a bridge is left between any two."""
    nodes = {name: (x * _WIDE, y * _TALL) for name, (x, y) in _NODES.items()}
    lines = [(nodes[pair[0]], nodes[pair[1]]) for pair in _STROKES.get(letter, "").split()]
    lines = [_shortened(line, line[0], 0.7 * _SLOT) for line in lines]
    lines = [_shortened(line, line[1], 0.7 * _SLOT) for line in lines]
    for _ in range(_TRIES):
        clash = next((pair for pair in combinations(range(len(lines)), 2) if _too_near(lines[pair[0]], lines[pair[1]])), None)
        if clash is None:
            break
        i, j = clash
        _, at, there = lines_apart(lines[i], lines[j])
        lines[i], lines[j] = _shortened(lines[i], at, _STEP * _SLOT), _shortened(lines[j], there, _STEP * _SLOT)
    return tuple(lines)


def _too_near(first: tuple[Point, Point], second: tuple[Point, Point]) -> bool:
    return lines_apart(first, second)[0] < (1 + _BRIDGE) * _SLOT


def _shortened(line: tuple[Point, Point], at: Point, by: float) -> tuple[Point, Point]:
    """Shorten a line at its end nearest to a point; leave it as it is if the point is near its middle or too little is left."""
    (ax, ay), (bx, by_) = line
    long = hypot(bx - ax, by_ - ay)
    share = by / max(long, 1e-9)
    near_a, near_b = hypot(at[0] - ax, at[1] - ay), hypot(at[0] - bx, at[1] - by_)
    if long < 3 * by or min(near_a, near_b) > 0.3 * long:
        return line
    if near_a <= near_b:
        return (ax + share * (bx - ax), ay + share * (by_ - ay)), (bx, by_)
    return (ax, ay), (bx - share * (bx - ax), by_ - share * (by_ - ay))


def _stadium(start: Point, end: Point, wide: float) -> Path:
    """A slot along a line: two sides and two half circles."""
    angle, h = atan2(end[1] - start[1], end[0] - start[0]), wide / 2
    right, left = (h * sin(angle), -h * cos(angle)), (-h * sin(angle), h * cos(angle))
    p, q, r, t = ((at[0] + off[0], at[1] + off[1]) for at, off in ((start, right), (end, right), (end, left), (start, left)))
    return Path((Line(p, q), Arc(q, r, 1.0), Line(r, t), Arc(t, p, 1.0)))
