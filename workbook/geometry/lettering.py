"""Lettering shared by paper and screen: built fractions, and labels moved apart along a row."""

import re
from collections.abc import Callable, Sequence
from math import inf

from msgspec import Struct

FIGURES = 0.8  # size of the figures of a built fraction, of the text's size
RAISED = 0.26  # rise of the numerator, of the text's size
Measure = Callable[[str, float, bool], float]  # text, size in points, bold -> width in mm

_BUILT = re.compile(r"(\d+)⁄(\d+)")


class TextRun(Struct, frozen=True):
    """A piece of a line of text: its size and rise are shares of the line's size."""

    text: str
    size: float = 1.0
    rise: float = 0.0


def runs(text: str) -> list[TextRun]:
    """The pieces of a text; a fraction n⁄d (U+2044) becomes a raised numerator, a real slash and a small denominator."""
    pieces: list[TextRun] = []
    at = 0
    for fraction in _BUILT.finditer(text):
        if fraction.start() > at:
            pieces.append(TextRun(text[at : fraction.start()]))
        pieces += [TextRun(fraction[1], FIGURES, RAISED), TextRun("/", 0.95), TextRun(fraction[2], FIGURES)]
        at = fraction.end()
    if at < len(text):
        pieces.append(TextRun(text[at:]))
    return pieces


def width(text: str, size: float, bold: bool, measure: Measure) -> float:
    """Width in mm of a line of text with its fractions built."""
    return sum(measure(run.text, size * run.size, bold) for run in runs(text))


def spread(places: Sequence[float], widths: Sequence[float], gap: float, low: float = -inf, high: float = inf) -> list[float]:
    """Centres for labels in a row, each as near its place as possible with `gap` left between neighbours.

    All stay between low and high where they can. Keeps the order of `places`, which need not be sorted. Least squares by
    pooling neighbours that would overlap (isotonic regression, Ayer et al. 1955).
    """
    order = sorted(range(len(places)), key=lambda i: places[i])
    offsets, reach = [], 0.0
    for n, i in enumerate(order):
        reach += (widths[order[n - 1]] + widths[i]) / 2 + gap if n else 0.0
        offsets.append(reach)
    blocks: list[list[float]] = []  # mean of place less offset, and how many labels
    for n, i in enumerate(order):
        blocks.append([places[i] - offsets[n], 1])
        while len(blocks) > 1 and blocks[-2][0] > blocks[-1][0]:
            mean, count = blocks.pop()
            blocks[-1] = [
                (blocks[-1][0] * blocks[-1][1] + mean * count) / (blocks[-1][1] + count),
                blocks[-1][1] + count,
            ]
    fitted = [mean for mean, count in blocks for _ in range(int(count))]
    out = [0.0] * len(places)
    for n, i in enumerate(order):
        last = high - widths[order[-1]] / 2 - offsets[-1]
        out[i] = max(min(fitted[n], last), low + widths[order[0]] / 2) + offsets[n]
    return out
