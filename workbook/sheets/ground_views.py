"""The ground knife as marks for screen and card: from the side with both grind lines, edge up with its scribed lines, from above
with its tapers, and cross-sections in their states with the numbers that matter."""

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from workbook.geometry.drawing import Curve, Disc, Drawing, Mark, Text, stroke
from workbook.geometry.lettering import Measure, width
from workbook.geometry.path import Placement, Point, polyline
from workbook.grind.bench import Bench
from workbook.grind.depth import depth, faces
from workbook.grind.lines import GrindLines, grind_lines
from workbook.grind.section import CrossSection, properties
from workbook.grind.stations import STATE_WORDS, State, finished_spine, spine_before, stations
from workbook.sheets.furniture import SMALL
from workbook.template.blade import height_at
from workbook.template.model import Face, Template
from workbook.template.shape import Shape
from workbook.texts import _
from workbook.units import Unit, built, reading, show

_RISE = (4.5, 9.5)  # mm above the knife, the labels of the line before hardening and of the finished one
_STRIP_POINTS = 80
_COLUMN = 42.0  # mm a section needs with its numbers; in less they are smaller
_TICK = 3.2  # mm of a grind line beside a section
Room = tuple[float, float]  # the left and right end of the room for words


class Words(Struct, frozen=True, kw_only=True):
    """The unit of numbers, and the measure of text widths."""

    unit: Unit
    measure: Measure

    def length(self, mm: float) -> str:
        """A length as read on a rule, with its unit."""
        return f"{built(show(mm, self.unit))} {self.unit}"

    def fine(self, mm: float) -> str:
        """A length as read on calipers."""
        return reading(mm, self.unit)


def side_marks(blank: Shape, bench: Bench, bar: float, where: Placement, words: Words, room: Room) -> Drawing:
    """The side view: steel, holes, plunge, swedge, both grind lines with their heights at the heel, the scale front.

    `room`: how far to the left and right words may reach.
    """
    lines, template = grind_lines(blank, bar), blank.template
    assert lines is not None and template is not None and blank.curves is not None
    marks: list[Mark] = [Curve(where.path(blank.outline), fill="blank")]
    marks += [Curve(where.path(opening), line="hole", fill="paper") for opening in blank.openings]
    marks += [Disc(where.point(h.centre), h.diameter / 2 * where.scale, fill="paper") for h in blank.holes]
    marks += [Curve(where.path(lines.plunge), line="plunge"), Curve(where.path(lines.finished), line="grind_finished")]
    marks += [Curve(where.path(p), line="grind_before") for p in (lines.before,) if p is not None]
    marks += [Curve(where.path(p), line="grind_finished") for p in (lines.swedge,) if p is not None]
    labels = _line_labels(blank, lines, bench, where, words, room)
    marks += [*_front(template, where, labels), *labels]
    foot = where.point(blank.curves.heel)
    marks.append(Text((foot[0], foot[1] - 4.2), _("plunge"), SMALL, "middle", tone="soft"))
    return tuple(marks)


def _front(template: Template, where: Placement, labels: Drawing) -> Drawing:
    """The scale front; labelled where the labels of the grind lines leave room for it."""
    half = template.handle.front / 2
    top, low = where.point((0.0, half)), where.point((0.0, -half))
    line = stroke(((top[0], top[1] + 2.0), (low[0], low[1] - 2.0)), "construction")
    no_room = min((mark.at[0] for mark in labels if isinstance(mark, Text)), default=top[0] + 99.0) < top[0] + 6.0
    return (line,) if no_room else (line, Text((top[0], top[1] + 3.2), _("front"), SMALL, "middle", tone="soft"))


def _line_labels(blank: Shape, lines: GrindLines, bench: Bench, where: Placement, words: Words, room: Room) -> Drawing:
    """A label for each grind line over the spine, with a leader from a dot on the line."""
    assert blank.curves is not None
    template = blank.template
    assert template is not None
    top = where.point((0.0, max(template.handle.front / 2, blank.curves.point[1])))[1]
    begin, length = template.heel.ahead, blank.curves.point[0] - template.heel.ahead
    full = bench.line_finished >= bench.blade_height - 1e-6
    entries = [(_("finished"), lines.finished, "grind_finished", bench.line_finished, 0.12, _RISE[1], full)]
    if lines.before is not None:
        entries.append((_("before hardening"), lines.before, "grind_before", bench.line_before, 0.24, _RISE[0], False))
    marks: list[Mark] = []
    for name, path, line, high, share, rise, at_spine in entries:
        x = begin + share * length
        dot = where.point((x, height_at(path.segments, x)))
        value = _("at the spine") if at_spine else words.length(high)
        marks.append(Disc(dot, 0.55, line="", fill="ink"))
        marks += _led(dot, top + rise, line, name, value, words, room)
    return tuple(marks)


def _led(dot: Point, base: float, line: str, name: str, value: str, words: Words, room: Room) -> Drawing:
    """A leader up from a dot, a sample of the line, its name and value; turned to the left where there is no room.

    Where there is none there either the name is left out: the line's sample tells which it is.
    """
    first, second = width(name, SMALL, False, words.measure), width(value, SMALL, True, words.measure)
    turned = dot[0] + 12.0 + first + second > room[1]
    if turned and dot[0] - 11.6 - first - second < room[0]:
        name, first, turned = "", 0.0, dot[0] + 12.0 + second > room[1]
    side = -1.0 if turned else 1.0
    begin = dot[0] - 11.6 - first - second if turned else dot[0] + 10.2
    return (
        stroke((dot, (dot[0], base), (dot[0] + 3.0 * side, base)), "extension"),
        stroke(((dot[0] + 3.0 * side, base), (dot[0] + 9.0 * side, base)), line),
        *((Text((begin, base - 1.1), name, SMALL),) if name else ()),
        Text((begin + 1.4 + first, base - 1.1), value, SMALL, bold=True),
    )


def edge_up_marks(blank: Shape, bench: Bench, where: Placement) -> Drawing:
    """The blade edge up, as it lies in the vice: dyed along the edge, with the scribed lines; to the side view's scale."""
    template = blank.template
    assert template is not None
    x0, _, x1, _ = blank.extent()
    half, foot = bench.bar / 2, template.heel.ahead
    marks: list[Mark] = [_strip(where, x0, foot, -half, half, "blank"), _strip(where, foot, x1, -half, half, "dye")]
    lines = {-half + bench.scribe, half - bench.scribe}
    if bench.faces == 1:  # one line, from the flat back
        lines = {half - bench.scribe if template.grind.face is Face.LEFT else -half + bench.scribe}
    marks += [stroke((where.point((foot, z)), where.point((x1, z))), "extension", "on_dye") for z in sorted(lines)]
    return tuple(marks)


def _strip(where: Placement, x0: float, x1: float, z0: float, z1: float, fill: str) -> Curve:
    corners = ((x0, z0), (x1, z0), (x1, z1), (x0, z1))
    return Curve(polyline([where.point(c) for c in corners], closed=True), line="", fill=fill)


def from_above_marks(blank: Shape, bar: float, where: Placement) -> Drawing:
    """The spine from above: the finished tapers, with the steel before hardening dashed round them."""
    template = blank.template
    assert template is not None
    assert blank.curves is not None
    x = np.linspace(blank.extent()[0], blank.extent()[2] - 0.3, _STRIP_POINTS)
    at = stations(template, blank.curves, bar, x[x > template.heel.ahead])
    flats = x[x <= template.heel.ahead]
    marks: list[Mark] = []
    for thickness, state, line, fill in (
        (finished_spine, State.FINISHED, "outline", "blank"),
        (spine_before, State.BEFORE, "grind_before", ""),
    ):
        half = thickness(template, flats, bar) / 2
        left, right = faces(at.stage(state), depth(at, state, at.height[:, None], None))  # where bevel or swedge reach the spine
        upper, lower = np.concatenate((half, right[:, 0])), np.concatenate((-half, left[:, 0]))
        ring = np.column_stack((np.concatenate((x, x[::-1])), np.concatenate((upper, lower[::-1]))))
        points = [(float(a), float(b)) for a, b in where.points(ring).tolist()]
        marks.append(Curve(polyline(points, closed=True), line=line, fill=fill))
    return tuple(marks)


class ViewFrame(Struct, frozen=True, kw_only=True):
    """How a section is drawn: the middle of its edge on the paper, mm of paper per mm up and across, and the y placed there."""

    at: Point
    up: float
    across: float
    base: float

    def point(self, y: float, z: float) -> Point:
        """A corner's position on the paper; the right face is to the right."""
        return self.at[0] + z * self.across, self.at[1] + (y - self.base) * self.up


def section_marks(section: CrossSection, around: CrossSection | None, frame: ViewFrame, *, fill: str = "blank") -> Drawing:
    """A section with the one it is ground from dotted round it, and ticks at its grind line."""
    marks: list[Mark] = []
    if around is not None:
        marks.append(_ring(around, frame, "as_cut", ""))
    marks.append(_ring(section, frame, "outline", fill))
    if section.line is not None:
        low, high = float(section.polygon[:, 0].min()), float(section.polygon[:, 0].max())
        line = "grind_before" if section.state is State.BEFORE else "grind_finished"
        y = min(low + section.line, high)
        for face in section.ground:
            z = float(section.polygon[:, 1].max() if face > 0 else section.polygon[:, 1].min())
            near = frame.point(y, z)
            marks.append(stroke((near, (near[0] + face * _TICK, near[1])), line))
    return tuple(marks)


def _ring(section: CrossSection, frame: ViewFrame, line: str, fill: str) -> Curve:
    return Curve(polyline([frame.point(y, z) for y, z in section.polygon.tolist()], closed=True), line=line, fill=fill)


def section_rows(section: CrossSection, cut: CrossSection, words: Words) -> list[tuple[str, str]]:
    """The numbers beside a section; line and angle are square to the edge.

    Its stiffness against bending sideways is given as a fraction of that of the section as cut.
    """
    stiff = properties(section.polygon).sideways / max(properties(cut.polygon).sideways, 1e-9)
    ground = section.line is not None
    angle = f"{np.degrees(np.arctan(section.slope)):.1f}°" if ground else "–"
    zero = section.edge < 1e-6
    return [
        (_("spine"), words.fine(section.spine)),
        (_("edge"), _("square") if not ground else _("zero") if zero else words.fine(section.edge)),
        (_("grind line"), built(show(section.high, words.unit)) if section.line is not None else _("none")),
        (_("per side"), angle),
        (_("stiffness"), f"{stiff:.0%}"),
    ]


def sections_beside(
    sections: Sequence[CrossSection], at: Point, span: float, tall: float, words: Words, *, size: float = 8.0
) -> tuple[Drawing, float]:
    """As cut, before hardening and finished in a row, each with its numbers; and the ratio of the scale across to that up.

    `at`: upper left corner; `span` and `tall`: the room, mm.
    """
    column = span / len(sections)
    size *= min(column / _COLUMN, 1.0)
    high = float(sections[0].polygon[:, 0].max() - sections[0].polygon[:, 0].min())
    thick = float(sections[0].polygon[:, 1].max() - sections[0].polygon[:, 1].min())
    up = min((tall - 9.0) / high, 3.0)
    across = _wider(up, min(0.22 * column, 16.0) / max(thick, 0.1))
    base = float(sections[0].polygon[:, 0].min())
    marks: list[Mark] = []
    for n, section in enumerate(sections):
        left = at[0] + n * column
        marks.append(Text((left, at[1] - 3.6), STATE_WORDS[section.state], size + 1.5, bold=True))
        frame = ViewFrame(at=(left + 0.17 * column, at[1] - 8.0 - high * up), up=up, across=across, base=base)
        marks += section_marks(section, sections[n - 1] if n else None, frame)
        for i, (name, value) in enumerate(section_rows(section, sections[0], words)):
            y = at[1] - 11.0 - i * size * 0.62
            marks += [
                Text((left + 0.39 * column, y), name, size, tone="soft"),
                Text((left + min(0.95 * column, 0.39 * column + 34.0), y), value, size, "end", True),
            ]
    return tuple(marks), across / up


def _wider(up: float, most: float) -> float:
    """The scale across: a whole multiple of the scale up, as large as there is room for, at most six times."""
    return up * max(min(int(most / up), 6), 1)


def sections_over(
    sections: Sequence[CrossSection], at: Point, span: float, tall: float, words: Words, *, size: float = 8.0
) -> tuple[Drawing, float]:
    """The three states superimposed: as cut dotted, before hardening dashed, finished filled; their numbers in a table."""
    cut, before, finished = sections
    size *= min(span / (3.4 * _COLUMN), 1.0)
    high, thick = np.ptp(cut.polygon[:, 0]), np.ptp(cut.polygon[:, 1])
    up = min((tall - 4.0) / high, 3.0)
    across = _wider(up, min(0.3 * span, 60.0) / max(thick, 0.1))
    frame = ViewFrame(at=(at[0] + 0.2 * span, at[1] - 2.0 - high * up), up=up, across=across, base=float(cut.polygon[:, 0].min()))
    marks: list[Mark] = [_ring(cut, frame, "as_cut", ""), _ring(finished, frame, "outline", "blank")]
    marks.append(_ring(before, frame, "grind_before", ""))
    columns = [at[0] + share * span for share in (0.62, 0.76, 0.92)]
    heads = (_("as cut"), _("before hardening"), _("finished"))
    for column, head, section in zip(columns, heads, sections, strict=True):
        marks.append(Text((column, at[1] - 5.0), head, size, "end", True))
        for i, (name, value) in enumerate(section_rows(section, cut, words)):
            y = at[1] - 5.0 - (i + 1.3) * size * 0.62
            marks.append(Text((column, y), value, size, "end"))
            if section is cut:
                marks.append(Text((at[0] + 0.42 * span, y), name, size, tone="soft"))
    return tuple(marks), across / up
