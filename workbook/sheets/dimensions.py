"""Dimension lines as makers draw them: a line with a short stroke at each end, the number in a gap of the line.

ISO 129: extension lines stand a little off the thing measured and run a little past the dimension line.
"""

from collections.abc import Sequence
from math import inf

from workbook.geometry.drawing import MM_PER_POINT, Drawing, Mark, Text, stroke
from workbook.geometry.lettering import Measure, spread, width
from workbook.geometry.path import Point

OFF = 1.2  # mm between the thing measured and its extension line
PAST = 1.0  # mm an extension line runs past the dimension line
_TICK = 0.9
_CLEAR = 1.2  # mm of gap either side of the number
_CAP = 0.72 * MM_PER_POINT  # mm, height of a figure per point of size


def along(
    start: Point,
    end: Point,
    y: float,
    text: str,
    measure: Measure,
    *,
    beside: str = "",
    size: float = 9.0,
    line: str = "dimension",
) -> Drawing:
    """A horizontal dimension at height y between two points, with extension lines to them; `beside`: a second number, softer.

    Where there is little room, the second number is left out first, then the size is reduced; last, the number goes outside.
    """
    (x0, y0), (x1, y1) = sorted((start, end))
    tone = "blue" if line == "lit" else "ink"
    marks: list[Mark] = [_extension_up(x, from_y, y) for x, from_y in ((x0, y0), (x1, y1))]
    beside, size = _shortened(x1 - x0, text, beside, size, measure)
    first, second = width(text, size, True, measure), width(beside, size, False, measure)
    space = first + second + (2.0 if beside else 0.0) + 2 * _CLEAR
    middle, base = (x0 + x1) / 2, y - size * _CAP / 2
    if space < x1 - x0 - 3:
        text_x = middle - space / 2 + _CLEAR
        marks += [stroke(((x0, y), (middle - space / 2, y)), line, tone), stroke(((middle + space / 2, y), (x1, y)), line, tone)]
    else:
        text_x = x1 + 4
        marks.append(stroke(((x0 - 3, y), (x1 + 3, y)), line, tone))
    marks.append(Text((text_x, base), text, size, bold=True, tone=tone))
    if beside:
        marks.append(Text((text_x + first + 2.0, base), beside, size, tone="soft"))
    return (*marks, _tick(x0, y, line, tone), _tick(x1, y, line, tone))


def _shortened(room: float, text: str, beside: str, size: float, measure: Measure) -> tuple[str, float]:
    """The second number and the size of both numbers that fit the room."""
    for second, smaller in ((beside, size), ("", size), ("", 0.8 * size)):
        both = width(text, smaller, True, measure) + (width(second, smaller, False, measure) + 2.0 if second else 0.0)
        if both + 2 * _CLEAR < room - 3:
            return second, smaller
    return "", 0.8 * size


def _extension_up(x: float, from_y: float, y: float) -> Mark:
    sign = 1 if y > from_y else -1
    return stroke(((x, from_y + sign * OFF), (x, y + sign * PAST)), "extension")


def _tick(x: float, y: float, line: str, tone: str) -> Mark:
    return stroke(((x - _TICK, y - _TICK), (x + _TICK, y + _TICK)), line, tone)


def upright(
    low: Point, high: Point, x: float, text: str, measure: Measure, *, size: float = 9.0, line: str = "dimension"
) -> Drawing:
    """A vertical dimension at x between two points; its number is horizontal, in the line if there is room, else beside it."""
    (y0, y1), room = (low[1], high[1]), high[1] - low[1]
    tone = "blue" if line == "lit" else "ink"
    marks: list[Mark] = [_extension_side(p, x) for p in (low, high)]
    tall, middle = size * _CAP, (y0 + y1) / 2
    if room > tall + 2 * _CLEAR + 4:
        gap = tall / 2 + _CLEAR
        marks += [stroke(((x, y0), (x, middle - gap)), line, tone), stroke(((x, middle + gap), (x, y1)), line, tone)]
        marks.append(Text((x, middle - tall / 2), text, size, "middle", True, tone))
    else:
        marks.append(stroke(((x, y0 - 3), (x, y1 + 3)), line, tone))
        outward, anchor = (2.2, "start") if x >= high[0] else (-2.2, "end")
        marks.append(Text((x + outward, middle - tall / 2), text, size, anchor, True, tone))  # type: ignore[arg-type]
    return (*marks, _tick(x, y0, line, tone), _tick(x, y1, line, tone))


def _extension_side(p: Point, x: float) -> Mark:
    sign = 1 if x > p[0] else -1
    return stroke(((p[0] + sign * OFF, p[1]), (x + sign * PAST, p[1])), "extension")


def row_of_labels(
    places: Sequence[tuple[Point, str]],
    y: float,
    measure: Measure,
    *,
    size: float,
    bold: bool = True,
    gap: float = 2.0,
    limits: tuple[float, float] = (-inf, inf),
) -> Drawing:
    """Labels in a row at height y under (or over) their places, moved apart as little as needed, each with a leader."""
    if not places:
        return ()
    widths = [width(text, size, bold, measure) for _, text in places]
    centres = spread([p[0] for p, _ in places], widths, gap, *limits)
    marks: list[Mark] = []
    for ((px, py), text), centre in zip(places, centres, strict=True):
        below = y < py
        near = y + size * _CAP + 0.8 if below else y - 0.8
        elbow = near + (2.2 if below else -2.2)
        marks.append(
            stroke(
                ((px, py), (px, elbow), (centre, near)) if abs(px - centre) > 0.3 else ((px, py), (px, near)),
                "extension",
            )
        )
        marks.append(Text((centre, y), text, size, "middle", bold))
    return tuple(marks)
