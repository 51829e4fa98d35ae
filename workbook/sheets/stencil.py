"""Numbers as a stencil to mark blanks through: each figure is a few slots that leave no island, as on a segment display.

Slots are stadiums: two lines and two half circles. Lengths mm.
"""

from collections.abc import Iterator, Sequence
from math import atan2, cos, sin

from workbook.geometry.drawing import Curve, Drawing, Mark, box
from workbook.geometry.path import Arc, Line, Path, Point

_WIDE, _TALL = 0.6, 1.0  # of a figure, in heights
_GAP = 0.5  # between figures, in widths of one
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
    "X": "ae ec eg ei", "Y": "ae ec eh", "Z": "ac cg gi", "-": "df", ".": "hh",
}  # fmt: skip


def stencil(words: Sequence[str], tall: float = 6.0) -> Drawing:
    """A plate with every word as slots, in rows, on the layer OUTLINE; letters it has none of are left out."""
    slot = tall * 0.13
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
        for pair in _STROKES.get(letter, "").split():
            (ax, ay), (bx, by) = (_NODES[node] for node in pair)
            start = (x + ax * _WIDE * tall, corner[1] + ay * _TALL * tall)
            end = (x + bx * _WIDE * tall, corner[1] + by * _TALL * tall)
            yield _stadium(start, end, slot)


def _stadium(start: Point, end: Point, wide: float) -> Path:
    """A slot between two nodes that stays off both, so that slots never meet: what is between them holds the plate together."""
    angle = atan2(end[1] - start[1], end[0] - start[0])
    c, s = cos(angle), sin(angle)
    short = 1.05 * wide if start != end else -0.2 * wide
    a, b = (start[0] + short * c, start[1] + short * s), (end[0] - short * c, end[1] - short * s)
    h = wide / 2
    right, left = (h * s, -h * c), (-h * s, h * c)
    p, q, r, t = ((at[0] + off[0], at[1] + off[1]) for at, off in ((a, right), (b, right), (b, left), (a, left)))
    return Path((Line(p, q), Arc(q, r, 1.0), Line(r, t), Arc(t, p, 1.0)))
