"""The template on the board: its side view with dimensions in bands, handle, marked holes and highlighted lines.

Coordinates are the board's mm (text-scale mm): the knife is scaled by the zoom, dimension bands and texts are not.
"""

from typing import TYPE_CHECKING

from workbook.app.canvas.knife_dimensions import dimensions
from workbook.app.canvas.scene import ASIDE, BAND, GhostAt, Scene
from workbook.geometry.drawing import Copy, Curve, Disc, Drawing, Mark, Pattern, stroke
from workbook.geometry.lettering import Measure
from workbook.geometry.path import Placement, Point
from workbook.later import modules
from workbook.template.fittings import guard_outline, scale_front
from workbook.template.model import Purpose
from workbook.template.shape import loops

if TYPE_CHECKING:
    from workbook.grind import lines as grind_lines
else:
    (grind_lines,) = modules("grind.lines")


def knife_marks(scene: Scene, zoom: float, measure: Measure) -> Drawing:
    """The marks of the board's drawing at one zoom (1: true size)."""
    placement = Placement(scale=zoom)
    blank = scene.blank
    steel = (Curve(blank.outline, fill="bar"), *(Curve(p, fill="paper") for p in blank.openings))
    marks: list[Mark] = [Copy(Pattern(steel), placement)]
    if scene.ghost is not None:
        place = _ghost_place(scene, zoom)
        outline, *inside = loops(scene.ghost)
        marks.append(Curve(place.path(outline), line="grind_before", tone="blue"))
        marks += [Curve(place.path(loop), line="dimension", tone="blue") for loop in inside]  # too small for dashes
    grip = (Curve(blank.grip, line="hidden"),) if blank.grip is not None else ()
    marks.append(Copy(Pattern((*grip, *_guard(scene), *_grind(scene))), placement))
    marks += _construction(scene, zoom)
    for hole in blank.holes:
        marks += _hole(hole.purpose, placement.point(hole.centre), hole.diameter / 2 * zoom, hole.mark == scene.chosen)
    marks += dimensions(scene, zoom, measure)
    if scene.ring is not None:
        marks.append(Disc(placement.point(scene.ring), 5.0, line="lit", tone="warn"))
    return tuple(marks)


def _grind(scene: Scene) -> tuple[Curve, ...]:
    if scene.rough:
        return ()
    lines = grind_lines.grind_lines(scene.blank, scene.bar)
    if lines is None:
        return ()
    marks = [Curve(lines.plunge, line="plunge"), Curve(lines.finished, line="grind_finished")]
    if lines.before is not None:
        marks.append(Curve(lines.before, line="grind_before"))
    if lines.swedge is not None:
        marks.append(Curve(lines.swedge, line="grind_finished"))
    return tuple(marks)


def _construction(scene: Scene, zoom: float) -> Drawing:
    template = scene.blank.template
    if template is None:
        return ()
    length, half = template.handle.length * zoom, template.handle.front / 2 * zoom
    fronts = {0.0, scale_front(template) * zoom}
    return (
        stroke(((-length - 4, 0), (5, 0)), "construction", "soft"),
        *(stroke(((x, -half - 3), (x, half + 3)), "construction", "soft") for x in fronts),
    )


def _guard(scene: Scene) -> tuple[Curve, ...]:
    template = scene.blank.template
    guard = guard_outline(template) if template is not None else None
    return (Curve(guard, line="hidden"),) if guard is not None else ()


def _hole(purpose: Purpose, at: Point, radius: float, chosen: bool) -> Drawing:
    """Draw a hole by purpose: B two rings, P a solid disc, L a thick ring, E a thin ring with a stroke; never by colour alone."""
    tone = "blue" if chosen else "ink"
    ring: list[Mark] = [Disc(at, radius + 1.8, line="lit", tone="blue")] if chosen else []
    match purpose:
        case Purpose.BOLT:
            return (*ring, Disc(at, radius * 1.55, tone=tone, fill="board"), Disc(at, radius, tone=tone))
        case Purpose.PIN:
            return (*ring, Disc(at, radius, tone=tone, fill=tone))
        case Purpose.LANYARD:
            return (*ring, Disc(at, radius, tone=tone, fill=tone), Disc(at, radius * 0.6, line="", fill="board"))
        case Purpose.EPOXY:
            slant = stroke(
                ((at[0] - radius * 0.7, at[1] - radius * 0.7), (at[0] + radius * 0.7, at[1] + radius * 0.7)), "hole", tone
            )
            return (*ring, Disc(at, radius, tone=tone, fill="board"), slant)


def _ghost_place(scene: Scene, zoom: float) -> Placement:
    """The placement of the compared outline: below or beside the knife without touching it, or directly over it."""
    assert scene.ghost is not None
    match scene.ghost_at:
        case GhostAt.BELOW:
            return Placement(0.0, (scene.blank.extent()[1] - scene.ghost.extent()[3]) * zoom - 3 * BAND, scale=zoom)
        case GhostAt.BESIDE:
            return Placement((scene.blank.extent()[2] - scene.ghost.extent()[0]) * zoom + ASIDE, 0.0, scale=zoom)
        case GhostAt.OVER:
            return Placement(scale=zoom)
