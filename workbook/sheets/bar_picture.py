"""The picture of a bar on its sheet: rows of it drawn small, ordinates under each, and each cut's number beside the cut."""

from collections import Counter
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import groupby
from math import ceil, cos, pi, sin

import numpy as np

from workbook.geometry.drawing import Clip, Copy, Disc, Drawing, Mark, Pattern, Text, placed, seen, stroke
from workbook.geometry.lettering import spread, width
from workbook.geometry.path import Placement, Point, Points
from workbook.geometry.steering import evenly
from workbook.sheets.bar import BarPlan, serial_boxes, steel_marks
from workbook.sheets.dimensions import row_of_labels
from workbook.sheets.flow import PageBlock
from workbook.sheets.furniture import SMALL
from workbook.sheets.paper import PrintRun
from workbook.texts import _

BIG = 16.0  # points: read at arm's length
_ROW = 560.0  # most mm of bar on one row of the picture
_TALLEST = 100.0  # most mm of paper across a bar
_UNDER = 14.5  # mm under a row for its ordinates
_OVER = 9.4  # mm over a row for the numbers of cuts across
_WORDS_OVER = 5.0  # the same where there are none
_APART = 3.0  # mm between ordinates
_SMALLEST = 11.0  # points of them, where many blanks end in one row
_MOST_ROWS = 60
_STUB = 40.0  # mm of a longer offcut that are drawn
_CIRCLE = 3.9  # mm, the radius of a cut's number
_CLEAR = 0.7  # mm round it
_FARTHEST = 30.0  # mm of paper from a cut to its number
_AT_ONCE = 24  # places tried


def picture_rows(run: PrintRun, plan: BarPlan, span: float) -> list[PageBlock]:
    """The bar drawn small, split into rows of this width, each with its ordinates under it and the cuts' numbers on it."""
    end = shown_end(plan)
    count = ceil(end / _ROW)
    while count < _MOST_ROWS and not _labels_fit(run, plan, end / count, span):
        count += 1
    scale = min((span - 4.0) * count / max(end, _ROW / 2), _TALLEST / plan.size[1])
    picture = _picture(run, plan, scale)
    return [_row(run, plan, picture, (end * i / count, end * (i + 1) / count), scale, span) for i in range(count)]


def _labels_fit(run: PrintRun, plan: BarPlan, part: float, span: float) -> bool:
    """Whether the ordinates of each row and the numbers of its cuts find room, where a row is this long a part of the bar."""
    rows = groupby(ordinates(plan), key=lambda x: int((x + 0.01) / part))
    places = (*(cut.at[0] for cut in plan.straight), *(line.middle[0] for line in plan.between))
    numbered = Counter(int(x / part) for x in places)
    most = max(numbered.values(), default=0) * (2 * _CIRCLE + _CLEAR)
    return most <= span and all(_row_width(run, row, _SMALLEST) <= span for _unused, row in rows)


def _row_width(run: PrintRun, places: Iterable[float], size: float) -> float:
    """What the ordinates of a row take beside each other."""
    return sum(width(run.length(x), size, True, run.measure) + _APART for x in places)


def shown_end(plan: BarPlan) -> float:
    """How much of the bar is drawn, mm: of a long offcut only a piece."""
    return plan.used + _STUB if plan.offcut > 1.5 * _STUB and not plan.reaches_on else plan.longest


def _picture(run: PrintRun, plan: BarPlan, scale: float) -> Drawing:
    """Bar, blanks, punch marks, hatch on the offcut and saw lines, at true size."""
    marks: list[Mark] = [*steel_marks(plan, run.measure, text_size=BIG, holes=False, scale=scale)]
    for blank in plan.blanks:
        for x, y in blank.punches():
            marks += [stroke(((x - 3, y), (x + 3, y)), "extension"), stroke(((x, y - 3), (x, y + 3)), "extension")]
        marks += [Disc(blank.placement.point(hole.centre), hole.diameter / 2, line="extension") for hole in blank.shape.holes]
    return (*marks, *saw_lines(plan), *hatch(plan))


def saw_lines(plan: BarPlan) -> Drawing:
    """The straight cuts, those across a little longer than the bar is wide, and the lines between blanks."""
    return (*_straight(plan), *_parting(plan))


@lru_cache(maxsize=64)
def _parting(plan: BarPlan) -> Drawing:
    """The lines between blanks, as one pattern that is drawn on many pages."""
    lines = tuple(stroke(line.points, "saw") for line in plan.between)
    return (Copy(Pattern(lines), Placement()),) if lines else ()


def _straight(plan: BarPlan) -> Drawing:
    """The straight cuts; one that ends at an edge of the bar is drawn a little beyond it."""
    edges, beyond = (0.0, plan.size[1]), {0.0: -3.0, plan.size[1]: plan.size[1] + 3.0}
    lines = ([(x, beyond[y] if y in edges else y) for x, y in cut.points] for cut in plan.straight)
    return tuple(stroke(points, "saw") for points in lines)


def hatch(plan: BarPlan) -> Drawing:
    """Slanting lines over the offcuts."""
    rooms = [(each.x, each.y, each.x + each.length, each.y + each.width) for each in plan.beside]
    if plan.offcut >= 2 and not plan.reaches_on:
        rooms.append((plan.used, 0.0, plan.size[2], plan.size[1]))
        rooms += [(plan.size[2], 0.0, plan.longest, plan.beyond[1])] if plan.beyond[1] else []
    width = plan.size[1]
    return tuple(
        Clip(
            room, tuple(stroke(((x, 0), (x + width, width)), "extension") for x in range(int(room[0] - width), int(room[2]), 12))
        )
        for room in rooms
    )


def _row(run: PrintRun, plan: BarPlan, picture: Drawing, part: tuple[float, float], scale: float, span: float) -> PageBlock:
    (start, end), tall = part, plan.size[1] * scale
    begin = 2.0 - start * scale  # x of end A
    last = end == shown_end(plan)

    def inside(x: float) -> bool:
        return start - 0.01 <= x < (end + 0.01 if last else end)

    across = [(n, cut.at) for n, cut in enumerate(plan.straight, 1) if cut.frees is None and inside(cut.at[0])]
    beside, without = _spots(run, plan, part, scale)
    numbered = sorted([*across, *without], key=lambda entry: entry[1][0])
    centres = spread([begin + at[0] * scale for _n, at in numbered], [2 * _CIRCLE] * len(numbered), _CLEAR, 0.0, span)
    words = _("end A") if start == 0 else _("from {length}, measured from end A", length=run.length(start, unit=True))
    left, over_circles = _place_of(width(words, SMALL, False, run.measure), centres, begin + end * scale)
    over = (_OVER if numbered else _WORDS_OVER) + (_WORDS_OVER if over_circles else 0.0)
    base = -over - tall
    where, window = Placement(begin, base, scale=scale), (0.0, base - 2, 4.0 + (end - start) * scale, base + tall + 4)
    on_bar = (start - 10.0 / scale, -10.0 / scale, end + 10.0 / scale, plan.size[1] + 10.0 / scale)
    marks: list[Mark] = [Clip(window, placed(seen(picture, on_bar), where))]
    if end < plan.longest - 0.01 and last:
        marks += _break(where.point((end, 0.0)), tall)
    places = [x for x in ordinates(plan) if inside(x)]
    gaps = len(places) * _APART
    letters = max(_SMALLEST, min(BIG, BIG * (span - gaps) / max(_row_width(run, places, BIG) - gaps, 1.0)))
    labels = [((begin + x * scale, base - 0.8), run.length(x)) for x in places]
    marks += row_of_labels(labels, base - 12.6, run.measure, size=letters, gap=_APART, limits=(0.0, span))
    for number, at, spot in beside:
        marks += _led(run, where.point(at), where.point(spot), number)
    for (number, at), x in zip(numbered, centres, strict=True):
        marks += _led(run, where.point(at), (x, base + tall + 5.0), number)
    marks.append(Text((left, base + tall + (10.0 if over_circles else 1.6)), words, SMALL, tone="soft"))
    return PageBlock(span, over + tall + _UNDER, tuple(marks))


def _place_of(wide: float, centres: Sequence[float], end: float) -> tuple[float, bool]:
    """Where words as wide begin clear of circles, at the left or the right end of a row; and whether they must go over them."""
    for left in (0.0, max(0.0, end - wide)):
        if all(x + _CIRCLE + 1.0 <= left or left + wide <= x - _CIRCLE - 1.0 for x in centres):
            return left, False
    return 0.0, True


def _led(run: PrintRun, at: Point, spot: Point, number: int) -> Drawing:
    """A number in a circle with a leader to a cut."""
    away = np.subtract(at, spot)
    far = float(np.hypot(*away))
    begin = (spot[0] + float(away[0]) * _CIRCLE / far, spot[1] + float(away[1]) * _CIRCLE / far)
    disc = Disc(spot, _CIRCLE, line="dimension", fill="paper")
    letters = min(BIG, BIG * (2 * _CIRCLE - 1.4) / width(str(number), BIG, True, run.measure))
    text = Text((spot[0], spot[1] - 2.0 * letters / BIG), str(number), letters, "middle", True)
    return (stroke((begin, at), "extension"), disc, text)


def _break(foot: Point, tall: float) -> Drawing:
    """The line at which a bar is broken off."""
    x, y = foot
    steps = ((0.0, -2.0), (0.0, 0.4 * tall), (2.2, 0.45 * tall), (-2.2, 0.55 * tall), (0.0, 0.6 * tall), (0.0, tall + 2.0))
    return (stroke([(x + dx, y + dy) for dx, dy in steps], "dimension"),)


def ordinates(plan: BarPlan) -> list[float]:
    """x of both ends of every blank, each position once."""
    places = sorted(x for blank in plan.blanks for x in blank.span)
    return [next(group) for _, group in groupby(places, key=lambda x: round(x, 1))]


Beside = tuple[int, Point, Point]  # a line's number, its middle, and the place for the number


def _spots(run: PrintRun, plan: BarPlan, part: tuple[float, float], scale: float) -> tuple[list[Beside], list[tuple[int, Point]]]:
    """The cuts of a part of the bar, but those across, whose numbers find a place on it that covers nothing, and the others."""
    straight = plan.straight
    cuts = [(n, cut.at) for n, cut in enumerate(straight, 1) if cut.frees is not None]
    cuts += [(n, line.middle) for n, line in enumerate(plan.between, 1 + len(straight))]
    lines = [(n, at) for n, at in cuts if part[0] <= at[0] < part[1]]
    taken = _taken(run, plan, part, scale) if lines else np.zeros((0, 2))
    beside, others = list[Beside](), list[tuple[int, Point]]()
    for number, at in lines:
        spot = _free(at, taken, (part, (0.0, plan.size[1])), scale)
        if spot is None:
            others.append((number, at))
            continue
        beside.append((number, at, spot))
        own = np.array([spot]) + 0.7 * _CIRCLE / scale * _ROUND
        taken = np.vstack([taken, own, evenly(np.array([spot, at]), 1.0 / scale)])
    return beside, others


_ROUND = np.array([(cos(k * pi / 6), sin(k * pi / 6)) for k in range(12)])


_RINGS = np.arange(_CIRCLE + _CLEAR + 1.0, _FARTHEST, 1.5)  # mm of paper
_AROUND = (_RINGS[:, None, None] * _ROUND).reshape(-1, 2)  # places tried, the nearest first


def _taken(run: PrintRun, plan: BarPlan, part: tuple[float, float], scale: float) -> Points:
    """Points on all of a part of the bar that a number may not cover, 1.5 mm apart to scale.

    Outlines, holes, punch marks, serials and cuts.
    """
    step, parts = 1.5 / scale, list[Points]()
    boxes = serial_boxes(plan, run.measure, BIG, scale)
    for blank, (x, y, wide, high) in zip(plan.blanks, boxes, strict=True):
        if blank.span[0] > part[1] or blank.span[1] < part[0]:
            continue
        parts.append(evenly(np.vstack([blank.outline, blank.outline[:1]]), step))
        parts += [np.array([p]) + 3.0 * _ROUND for p in blank.punches()]
        parts += [np.array([blank.placement.point(hole.centre)]) + hole.diameter / 2 * _ROUND for hole in blank.shape.holes]
        corners = [(x - wide, y - high), (x + wide, y - high), (x + wide, y + high), (x - wide, y + high), (x - wide, y - high)]
        parts += [evenly(np.array(corners), step), evenly(np.array([(x - wide, y), (x + wide, y)]), step)]
    parts += [evenly(np.array(line.points), step) for line in plan.between]
    parts += [evenly(np.array(cut.points), step) for cut in plan.straight]
    return np.vstack(parts)


def _free(at: Point, taken: Points, within: tuple[tuple[float, float], tuple[float, float]], scale: float) -> Point | None:
    """The place nearest to a point for a circle that covers nothing of what is taken and lies within a stretch of the bar."""
    radius, reach, (across, up) = (_CIRCLE + _CLEAR) / scale, (_FARTHEST + _CIRCLE) / scale, within
    places = at + _AROUND / scale
    inside = (places >= np.array([across[0], up[0]]) + radius).all(axis=1) & (
        places <= np.array([across[1], up[1]]) - radius
    ).all(axis=1)
    near = taken[np.abs(taken - at).max(axis=1) < reach]
    for places_ in np.array_split(places[inside], max(1, len(places) // _AT_ONCE)):
        dx, dy = (near[:, axis] - places_[:, axis, None] for axis in (0, 1))  # faster apart than as pairs
        room = (dx * dx + dy * dy).min(axis=1, initial=np.inf)
        clear = np.flatnonzero(room >= radius**2)
        if len(clear):
            x, y = places_[clear[0]]
            return float(x), float(y)
    return None
