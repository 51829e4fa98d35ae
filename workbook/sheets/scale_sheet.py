"""Both scales of a handle at true size, from outside: outline, front, holes, counterbores; or the block for a hidden tang."""

from collections.abc import Iterator
from itertools import pairwise
from math import pi

from msgspec import Struct

from workbook.geometry.drawing import Clip, Curve, Disc, Drawing, Mark, Text
from workbook.geometry.path import Path, Placement, bounds
from workbook.sheets.furniture import SMALL, crosshair
from workbook.sheets.paper import PrintRun
from workbook.sheets.table import pairs, table
from workbook.sheets.true_size import Sheet
from workbook.sheets.views import View
from workbook.template.contour import is_bare, thickness
from workbook.template.fittings import (
    bolster_of,
    bolster_outline,
    bolster_wanted,
    guard_of,
    guard_outline,
    joint,
    lean,
    liner_of,
    scale_front,
    scale_outline,
    scale_wanted,
)
from workbook.template.handle import handle_outline
from workbook.template.hole_places import scale_heads, scale_reading
from workbook.template.holes import WORDS, Hole
from workbook.template.model import Handle, Purpose, Template
from workbook.template.shape import Shape
from workbook.texts import _

_GAP = 12.0  # mm between both scales
_SPARE = 3.0  # mm of material all round before shaping
_SAME = 0.05  # mm
_BIG = 16.0  # points: read at arm's length
_LINE = 6.5  # mm from one line of them to the next
_LOWER = 2.0  # mm from the middle of such letters down to their line


class OwnScales(Struct, frozen=True, kw_only=True):
    """The scales of one blade: its serial, the mark on the pair, what they are of; "" is not known yet."""

    serial: str
    mark: str = ""
    material: str = ""
    thick: float = 0.0  # mm of one scale as it is; 0: as the template has it

    @property
    def words(self) -> str:
        """The serial and the mark."""
        return "  ".join(part for part in (self.serial, self.mark) if part)


_ANY = OwnScales(serial="")


def scale_sheet(run: PrintRun, blank: Shape, bar: float, own: OwnScales = _ANY) -> Sheet | None:
    """Build the sheet, for a template's or for one blade's own scales; None if the handle is the bare tang, or is not known."""
    template = blank.template
    if template is None or is_bare(template.handle):
        return None
    hidden = blank.grip is not None

    def numbers(x: float, y: float, span: float) -> tuple[Drawing, float]:
        marks, low = _holes(run, blank, template.handle, x, y)
        more, low = pairs(x, low - 2.0, min(118.0, span), _sizes(run, template, bar, own, hidden=hidden), run.measure, size=9)
        return (*marks, *more), low

    caption = _("Handle block, true size") if hidden else _("Both scales, true size")
    if own.serial:
        caption = _("{blade}: {what}", blade=own.words, what=caption)
    view = _block(blank, template, own) if hidden else _pair(blank, template, own)
    return Sheet(view=view, what=caption, blocks=(numbers,))


def _pair(blank: Shape, template: Template, own: OwnScales) -> View:
    """The right scale with its front to the right, and under it the left scale with its front to the left."""
    scale = scale_outline(template)
    x0, y0, x1, y1 = bounds(scale)
    x1 = max(x1, -guard_of(template))  # bolsters lie ahead of the scales
    down = y1 - y0 + _GAP
    left = Placement(x0 + x1, -down, pi, mirrored=True)
    marks = [
        *_scale(blank, template, scale, Placement(), (own.words, _("right scale, outside"))),
        *_scale(blank, template, scale, left, (own.words, _("left scale, outside"))),
    ]
    return View(marks=tuple(marks), x0=x0 - 4, y0=y0 - down - 4, x1=x1 + 8, y1=y1 + 6)


def _scale(blank: Shape, template: Template, outline: Path, where: Placement, words: tuple[str, str]) -> Drawing:
    """`words`: the blade's, written on the scale, and what is written over it."""
    bolster = bolster_outline(template)
    marks: list[Mark] = [Curve(where.path(outline)), *([Curve(where.path(bolster), line="hidden")] if bolster else ())]
    handle = template.handle
    half = handle.front / 2
    for hole in blank.holes:
        if hole.scale_drill is None:
            continue
        at = where.point(hole.centre)
        marks += crosshair(at, hole.scale_drill.diameter / 2)
        if hole.purpose is Purpose.BOLT:
            marks.append(Disc(at, handle.bolt_head / 2, line="hidden"))
        marks.append(Text((at[0] + max(handle.bolt_head, hole.size) / 2 + 1.5, at[1] + 2.5), hole.mark, 9, bold=True))
    middle = where.point((-0.5 * handle.length, 0.0))
    marks.append(Text((middle[0], where.point((0.0, half))[1] + 1.5), words[1], SMALL, "middle", tone="soft"))
    if words[0]:
        x, y = where.point((_widest_gap(blank, handle), (bounds(outline)[1] + bounds(outline)[3]) / 2))
        lines = words[0].split("  ")
        for n, line in enumerate(lines):  # under each other, so that they stand between the holes
            marks.append(Text((x, y - _LOWER + ((len(lines) - 1) / 2 - n) * _LINE), line, _BIG, "middle", True))
    return tuple(marks)


def _widest_gap(blank: Shape, handle: Handle) -> float:
    """x amid the longest stretch of a handle without a hole."""
    holes = sorted(hole.centre[0] for hole in blank.holes if hole.scale_drill is not None)
    stops = [-handle.length, *holes, 0.0]
    begin, end = max(pairwise(stops), key=lambda pair: pair[1] - pair[0])
    return (begin + end) / 2


def _block(blank: Shape, template: Template, own: OwnScales) -> View:
    """The handle of a hidden tang with the tang inside it."""
    assert blank.grip is not None
    scale, guard = scale_outline(template), guard_outline(template)
    x0, y0, x1, y1 = bounds(blank.grip)
    window_end = min(x1 + 6.0, blank.extent()[2])
    marks: list[Mark] = [Curve(scale), Curve(blank.outline, line="hidden"), *([Curve(guard, line="hidden")] if guard else ())]
    for hole in blank.holes:
        if hole.scale_drill is not None:
            marks += crosshair(hole.centre, hole.scale_drill.diameter / 2)
            marks.append(Text((hole.centre[0] + hole.size / 2 + 2.5, hole.centre[1] + 2.0), hole.mark, 9, bold=True))
    if own.serial:
        marks.append(Text(((x0 + x1) / 2, (y0 + y1) / 2 - _LOWER), own.words, _BIG, "middle", True))
    return View(
        marks=(Clip((x0 - 3, y0 - 3, window_end, y1 + 3), tuple(marks)),), x0=x0 - 4, y0=y0 - 5, x1=window_end + 3, y1=y1 + 5
    )


def _holes(run: PrintRun, blank: Shape, handle: Handle, x: float, y: float) -> tuple[Drawing, float]:
    template = blank.template
    assert template is not None
    own = (hole for hole in blank.holes if hole.scale_drill is not None and hole.centre[0] < joint(template, hole.centre[1]))
    rows = [_row(run, handle, scale_front(template), hole) for hole in own]
    if not rows:
        return (), y
    places = scale_heads(run.datum)
    heads = ("", _("Purpose"), *places, _("Drill"), _("Counterbore, dia. × depth"), _("Pin or bolt"))
    sizes = (11.0, SMALL, _BIG, _BIG, SMALL, SMALL, SMALL)
    marks, _wide, low = table(x, y, heads, rows, run.measure, size=sizes, gap=3.0, leading=1.2)
    return marks, low


def _row(run: PrintRun, handle: Handle, front: float, hole: Hole) -> tuple[str, ...]:
    assert hole.scale_drill is not None
    counterbore = f"{run.length(handle.bolt_head)} × {run.length(handle.head_height)}" if hole.purpose is Purpose.BOLT else "-"
    along, across = (run.length(v, fine=True) for v in scale_reading(handle, hole.centre, run.datum, front))
    return hole.mark, WORDS[hole.purpose], along, across, hole.scale_drill.named(run.unit), counterbore, run.exact(hole.size)


def _sizes(run: PrintRun, template: Template, bar: float, own: OwnScales, *, hidden: bool) -> list[tuple[str, str]]:
    """The stock to saw the handle from, and its finished thickness."""
    handle = template.handle
    x0, y0, _x1, y1 = bounds(handle_outline(handle))
    long, tall = scale_front(template) - x0 + lean(handle) + 2 * _SPARE, y1 - y0 + 2 * _SPARE
    places = (("front", 0.0), ("palm", -handle.palm_at * handle.length), ("butt", -handle.length))
    thicknesses = ", ".join(run.length(thickness(handle, x)) for _unused, x in places)
    most = max(thickness(handle, x) for _unused, x in places)
    rows = [(_("Material"), own.material or handle.material), (_("Finished handle thickness: front, palm, butt"), thicknesses)]
    if hidden:
        tang, guard = template.tang, guard_of(template)
        wide = tang.width + (tang.end_width - tang.width) * min(guard / tang.length, 1.0)  # at the block's front
        slot = " × ".join(run.length(v) for v in (wide, bar))
        rows += [(_("Handle block (L × W × T)"), " × ".join(run.length(v) for v in (long, tall, most + 2 * _SPARE)))]
        rows += [(_("Slot at the front, for the tang"), slot), (_("Depth"), run.length(max(tang.length - guard, 0.0)))]
        return [*rows, *_of_fittings(run, template, bar)]
    there = own.thick or handle.scale_thickness
    thick = max(there, scale_wanted(template, bar))
    if thick > there + _SAME:
        rows.append((_("Your scales are too thin for that"), run.length(there)))
    scale = " × ".join(run.length(v) for v in (long, tall, thick))
    front = f"{handle.front_angle:g}°"
    rows += [(_("Scale blank, each (L × W × T)"), scale), (_("Scale front angle"), front)]
    return [*rows, *_of_fittings(run, template, bar)]


def _of_fittings(run: PrintRun, template: Template, bar: float) -> Iterator[tuple[str, str]]:
    """Guard, bolsters and liners, each with its material and the sizes to saw it from."""
    handle, fittings = template.handle, template.fittings

    def sized(material: str, *sizes: float) -> str:
        return f"{material}, {' x '.join(run.length(size) for size in sizes)}"

    if guard_of(template) > 0:
        yield _("Guard"), sized(fittings.guard_material, fittings.guard, fittings.guard_height, fittings.guard_width)
    if bolster_of(template) > 0:
        thick = max(fittings.bolster_thickness, bolster_wanted(template, bar))
        long, tall = fittings.bolster + lean(handle), handle.front + 2 * _SPARE
        yield _("Bolster blank, each (L × W × T)"), sized(fittings.bolster_material, long, tall, thick)
    if liner_of(template) > 0:
        x0, y0, _x1, y1 = bounds(handle_outline(handle))
        long, tall = scale_front(template) - x0 + lean(handle) + 2 * _SPARE, y1 - y0 + 2 * _SPARE
        yield _("Each liner"), sized(fittings.liner_material, long, tall, fittings.liner)
