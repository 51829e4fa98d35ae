"""Tables, lists of numbers and cautions as marks."""

from collections.abc import Sequence

from workbook.geometry.drawing import MM_PER_POINT, Anchor, Drawing, Mark, Text, stroke
from workbook.geometry.lettering import Measure, width

LEADING = 1.38
_APART = 2.0  # mm between words and their number


def row_height(size: float, leading: float = LEADING) -> float:
    """Height in mm of a row of text of this size."""
    return size * MM_PER_POINT * leading


def table(
    x: float,
    y: float,
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    measure: Measure,
    *,
    size: float | Sequence[float] = 9.0,
    head_size: float = 9.0,
    gap: float = 5.0,
    bold_first: bool = True,
    leading: float = LEADING,
) -> tuple[Drawing, float, float]:
    """A table whose first baseline lies under y; its marks, its width and the y of its lower edge. Columns fit their words.

    `size`: of the letters, or of those of each column.
    """
    sizes = [size] * len(heads) if isinstance(size, int | float) else list(size)
    widths = [
        max([width(head, head_size, False, measure), *(width(r[i], sizes[i], bold_first and i == 0, measure) for r in rows)])
        for i, head in enumerate(heads)
    ]
    lefts = [x + sum(widths[:i]) + gap * i for i in range(len(heads))]
    total, step = sum(widths) + gap * (len(heads) - 1), row_height(max(sizes), leading)
    line = y - row_height(head_size)
    marks: list[Mark] = [Text((left, line + 1.2), head, head_size, tone="soft") for left, head in zip(lefts, heads, strict=True)]
    marks.append(stroke(((x, line), (x + total, line)), "extension"))
    for n, row in enumerate(rows, 1):
        base = line - n * step + 0.9
        marks += [
            Text((left, base), cell, sizes[i], bold=bold_first and i == 0)
            for i, (left, cell) in enumerate(zip(lefts, row, strict=True))
        ]
    return tuple(marks), total, line - len(rows) * step


def pairs(
    x: float,
    y: float,
    span: float,
    rows: Sequence[tuple[str, str]],
    measure: Measure,
    *,
    size: float = 9.0,
    value_size: float | None = None,
    leading: float = LEADING,
) -> tuple[Drawing, float]:
    """Words at the left, their numbers at the right of a span; the marks and the y of the lower edge.

    Words that would run into their number go on in another line.
    """
    big = value_size or size
    step, low = row_height(max(size, big), leading), y
    marks: list[Mark] = []
    for words, value in rows:
        lines = broken(words, span - width(value, big, True, measure) - _APART, size, measure)
        marks += [Text((x, low - n * row_height(size, leading) - step + 1.0), line, size) for n, line in enumerate(lines)]
        marks.append(Text((x + span, low - step + 1.0), value, big, "end", True))
        low -= step + (len(lines) - 1) * row_height(size, leading)
    return tuple(marks), low


def paragraph(
    x: float,
    y: float,
    span: float,
    text: str,
    measure: Measure,
    *,
    size: float = 9.0,
    tone: str = "ink",
    anchor: Anchor = "start",
    leading: float = LEADING,
) -> tuple[Drawing, float]:
    """Text broken into lines no wider than the span; the marks and the y of the lower edge."""
    lines = broken(text, span, size, measure)
    step = row_height(size, leading)
    marks = tuple(Text((x, y - n * step + 0.8), line, size, anchor, tone=tone) for n, line in enumerate(lines, 1))
    return marks, y - len(lines) * step


def _pieces(word: str, span: float, size: float, measure: Measure, *, bold: bool) -> list[str]:
    """A word, or as many pieces of it as it takes for each to fit."""
    pieces = [""]
    for letter in word if width(word, size, bold, measure) > span else (word,):
        if pieces[-1] and width(pieces[-1] + letter, size, bold, measure) > span:
            pieces.append("")
        pieces[-1] += letter
    return pieces


def broken(text: str, span: float, size: float, measure: Measure, *, bold: bool = False) -> list[str]:
    """A text broken into lines no wider than the span."""
    lines: list[str] = []
    for word in (piece for whole in text.split(" ") for piece in _pieces(whole, span, size, measure, bold=bold)):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width(longer, size, bold, measure) <= span:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines
