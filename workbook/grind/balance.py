"""How each hole, taper or thinner scale would change a knife's mass and balance; lightening holes for a target balance."""

from collections.abc import Iterator

from msgspec import Struct

from workbook.grind.handle_mass import Densities
from workbook.grind.mass import Masses, masses
from workbook.problems import Severity
from workbook.structs import replace
from workbook.template.checks import check
from workbook.template.contour import is_bare
from workbook.template.hole_edits import wishes_of, without_hole
from workbook.template.holes import filled
from workbook.template.model import HolePattern, HoleWish, Purpose, TangForm, Template
from workbook.template.shape import shape
from workbook.template.tools import Tools
from workbook.texts import _

_THINNER = 1.0  # mm off each scale
_SIZES = (5.0, 6.0, 8.0, 10.0, 12.0)  # mm, of lightening holes
_MOST = 12  # lightening holes between two others
_FROM_TAPER = 1.5  # mm left at the butt when a tapered tang is tried


class BalanceChange(Struct, frozen=True, kw_only=True):
    """One possible change and its effect on the mass (g) and the balance (mm towards the point)."""

    what: str
    mass: float
    balance: float


class Lightened(Struct, frozen=True, kw_only=True):
    """A template with lightening holes, with its mass (g) and its balance (mm ahead of the handle front)."""

    template: Template
    holes: int
    size: float
    mass: float
    balance: float


def changes(template: Template, tools: Tools, bar: float, densities: Densities) -> Iterator[BalanceChange]:
    """Yield each single change from the current template."""
    now = masses(shape(template, tools), bar, densities)
    for text, variant in _others(template, tools, bar):
        after = masses(shape(variant, tools), bar, densities)
        yield BalanceChange(what=text, mass=after.knife_mass - now.knife_mass, balance=after.balance[0] - now.balance[0])


def _others(template: Template, tools: Tools, bar: float) -> Iterator[tuple[str, Template]]:
    if template.blade.point_thickness > 0:
        yield _("no distal taper"), replace(template, blade=replace(template.blade, point_thickness=0.0))
    tang = template.tang
    if tang.form is TangForm.FULL and bar > _FROM_TAPER + 0.4:
        tapered = replace(tang, form=TangForm.TAPERED, butt_thickness=_FROM_TAPER)
        yield _("tang tapered"), replace(template, tang=tapered)
    elif tang.form is TangForm.TAPERED:
        yield _("tang not tapered"), replace(template, tang=replace(tang, form=TangForm.FULL))
    handle, off = template.handle, 2 * _THINNER
    if not is_bare(handle) and min(handle.thick_front, handle.thick_palm, handle.thick_butt) - off > bar + 4:
        thin = replace(
            handle,
            thick_front=handle.thick_front - off,
            thick_palm=handle.thick_palm - off,
            thick_butt=handle.thick_butt - off,
            edge_radius=min(handle.edge_radius, (min(handle.thick_front, handle.thick_butt) - off) / 2),
        )
        yield _("each scale 1 mm thinner"), replace(template, handle=thin)
    blank = shape(template, tools)
    for hole in blank.holes:
        yield _("without {mark}", mark=hole.mark), without_hole(blank, hole.mark)


def lightened(template: Template, tools: Tools, bar: float, densities: Densities, target: float) -> Lightened | None:
    """The last, and best, result of `lightenings`."""
    best = None
    for result in lightenings(template, tools, bar, densities, target):
        best = result
    return best


def lightenings(template: Template, tools: Tools, bar: float, densities: Densities, target: float) -> Iterator[Lightened | None]:
    """Try lightening holes between those that carry load: the fewest that bring the balance closest to the target.

    `target`: mm ahead of the handle front, and ahead of the current balance. Yields the best so far after each try; None while
    no hole brings the balance closer, or none fits with its web.
    """
    blank = shape(template, tools)
    wishes = tuple(wish for wish in wishes_of(blank) if wish.purpose is not Purpose.EPOXY)
    now = masses(blank, bar, densities)
    base_warnings = _warnings(template, tools)
    best: Lightened | None = None
    for size in _SIZES:
        for candidate in _drilled(template, tools, wishes, size):
            if _warnings(candidate, tools) > base_warnings:
                break
            best = _nearer(best, _tried(candidate, tools, bar, densities, size, len(wishes)), now, target)
            yield best


def _drilled(template: Template, tools: Tools, wishes: tuple[HoleWish, ...], size: float) -> Iterator[Template]:
    """Yield the template with more and more holes of one size between each pair of existing ones, until no more fit."""
    last_count = 0
    for count in range(1, _MOST + 1):
        pattern = HolePattern(purpose=Purpose.EPOXY, size=size, count=count, fill=True, web=tools.web)
        new = tuple(filled(template, pattern, list(wishes)))
        if len(new) <= last_count:
            return
        last_count = len(new)
        yield replace(template, holes=(*wishes, *new))


def _tried(after: Template, tools: Tools, bar: float, densities: Densities, size: float, old_count: int) -> Lightened:
    totals = masses(shape(after, tools), bar, densities)
    assert after.holes is not None
    return Lightened(
        template=after, holes=len(after.holes) - old_count, size=size, mass=totals.knife_mass, balance=totals.balance[0]
    )


def _nearer(best: Lightened | None, candidate: Lightened, now: Masses, target: float) -> Lightened | None:
    """The result closer to the target; one with more holes must be closer by more than 0.1 mm."""
    error = abs(candidate.balance - target)
    best_error = abs(now.balance[0] - target) if best is None else abs(best.balance - target)
    more = best is None or candidate.holes > best.holes
    return candidate if error < best_error - (0.1 if more else 0.0) else best


def _warnings(template: Template, tools: Tools) -> int:
    """The number of a template's problems that are more than notes."""
    return sum(problem.severity is not Severity.NOTE for problem in check(shape(template, tools), tools))
