"""The outline, holes and openings of a template, parametric or from a file: what is cut, drilled, nested and printed."""

from operator import itemgetter

from msgspec import Struct

from workbook.geometry.path import Path, Point, Segment, bounds, circle, corners
from workbook.template.blade import BladeCurves, blade_curves
from workbook.template.handle import butt, handle_back, handle_belly, handle_outline
from workbook.template.heel import front_to_heel
from workbook.template.holes import Hole, holes
from workbook.template.model import TangForm, Template
from workbook.template.tang import openings, stick
from workbook.template.tools import Tools


class Shape(Struct, frozen=True, kw_only=True, eq=False, weakref=True):
    """One blank of steel as it is when profiled to the line, in its template's frame. Lengths mm.

    Shapes compare by identity: comparing all their curves at each cache lookup would take longer than what is cached.
    """

    name: str
    outline: Path  # closed, counter-clockwise
    holes: tuple[Hole, ...]
    thickness: float  # nominal bar
    openings: tuple[Path, ...] = ()
    grip: Path | None = None  # the handle's outline where the tang does not fill it
    template: Template | None = None  # None for an outline from a file
    curves: BladeCurves | None = None

    def extent(self) -> tuple[float, float, float, float]:
        """Smallest x and y, largest x and y, mm, within 0.001 mm."""
        return bounds(self.outline)


def outline_of(template: Template, curves: BladeCurves) -> Path:
    """The blank's outline, counter-clockwise from the heel: edge, spine, handle or tang, and back to the heel."""
    if template.tang.is_enclosed:
        behind: tuple[Segment, ...] = stick(template)
    else:
        behind = (*handle_back(template.handle), *butt(template.handle), *handle_belly(template.handle))
    return Path((*curves.edge, *curves.spine, *behind, *front_to_heel(template, curves.heel)))


def shape(template: Template, tools: Tools) -> Shape:
    """Build the shape that follows from the parameters. Pure; takes a few ms."""
    curves = blade_curves(template)
    drilled = holes(template, tools)
    hidden = template.tang.is_enclosed
    return Shape(
        name=template.name,
        outline=outline_of(template, curves),
        holes=drilled,
        thickness=template.blade.thickness,
        openings=_openings(template, drilled),
        grip=handle_outline(template.handle) if hidden else None,
        template=template,
        curves=curves,
    )


def _openings(template: Template, drilled: tuple[Hole, ...]) -> tuple[Path, ...]:
    if template.tang.form is not TangForm.SKELETON:
        return ()
    return openings(template, [(h.centre, h.diameter / 2) for h in drilled])


def loops(blank: Shape) -> list[Path]:
    """Every closed loop to be cut, the outline first."""
    return [blank.outline, *blank.openings, *(circle(h.centre, h.diameter / 2) for h in blank.holes)]


def punch_marks(blank: Shape) -> tuple[Point, Point]:
    """Two places that locate a blank however it lies.

    They are the first and the last hole, or, with fewer than two holes, the point and the butt (the outline's ends along x).
    """
    if len(blank.holes) >= 2:
        return blank.holes[0].centre, blank.holes[-1].centre
    points = corners(blank.outline)
    return max(points, key=itemgetter(0)), min(points, key=itemgetter(0))
