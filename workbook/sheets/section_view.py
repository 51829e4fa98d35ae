"""Cross-sections as marks: one section to a scale, its thickness drawn wider where it is too thin to see."""

from dataclasses import dataclass

from workbook.geometry.drawing import Curve, Drawing, Mark, Text, stroke
from workbook.geometry.path import Point, Points, polyline
from workbook.grind.section import CrossSection


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """How a section is drawn: edge down, at a place on the paper."""

    at: Point  # where the middle of the edge lands
    up: float = 1.0
    across: float = 1.0
    base: float = 0.0  # y of the template's frame that lands there

    def point(self, y: float, z: float) -> Point:
        """A corner of a section on the paper; the right face lies to the right."""
        return self.at[0] + z * self.across, self.at[1] + (y - self.base) * self.up

    def outline(self, polygon: Points) -> Curve:
        """A section's outline."""
        return Curve(polyline([self.point(y, z) for y, z in polygon.tolist()], closed=True), line="outline", fill="steel")


def section_marks(made: CrossSection, around: CrossSection | None, scale: Scale, *, line: str = "") -> Drawing:
    """A section, dotted round it what it was ground from, and its grind line on both sides."""
    marks: list[Mark] = []
    if around is not None:
        dotted = scale.outline(around.polygon)
        marks.append(Curve(dotted.path, line="hidden"))
    marks.append(scale.outline(made.polygon))
    if line and made.line is not None:
        low = float(made.polygon[:, 0].min()) + made.line
        half = made.spine / 2
        for side in (-1, 1):
            near, far = scale.point(low, side * half), scale.point(low, side * half)
            marks.append(stroke(((near[0] + side * 1.0, near[1]), (far[0] + side * 5.0, far[1])), line))
    return tuple(marks)


def words_beside(at: Point, rows: list[tuple[str, str]], *, span: float, step: float, size: float = 8.0) -> Drawing:
    """Words at the left and values at the right of a span, downward from a place."""
    marks: list[Mark] = []
    for n, (words, value) in enumerate(rows):
        y = at[1] - n * step
        marks += [Text((at[0], y), words, size, tone="soft"), Text((at[0] + span, y), value, size, "end", True)]
    return tuple(marks)
