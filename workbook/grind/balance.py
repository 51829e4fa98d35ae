"""What each hole, taper or thinner scale would change of a knife's mass and balance; lightening holes for a balance wanted."""

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
_MOST = 12  # of them between two others
_FROM_TAPER = 1.5  # mm left at the butt of a tang tapered for trial


class BalanceChange(Struct, frozen=True, kw_only=True):
    """Something that could be otherwise, and what it would do: g, and mm towards the point."""

    what: str
    mass: float
    balance: float


class Lightened(Struct, frozen=True, kw_only=True):
    """A template with lightening holes, and what it would weigh and where it would balance."""

    template: Template
    holes: int
    size: float
    mass: float
    balance: float


def changes(template: Template, tools: Tools, bar: float, densities: Densities) -> Iterator[BalanceChange]:
    """Each one change, from what is there now."""
    now = masses(shape(template, tools), bar, densities)
    for what, other in _others(template, tools, bar):
        made = masses(shape(other, tools), bar, densities)
        yield BalanceChange(what=what, mass=made.knife_mass - now.knife_mass, balance=made.balance[0] - now.balance[0])


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


def lightened(template: Template, tools: Tools, bar: float, densities: Densities, wanted: float) -> Lightened | None:
    """The last and best of `lightenings`."""
    best = None
    for found in lightenings(template, tools, bar, densities, wanted):
        best = found
    return best


def lightenings(template: Template, tools: Tools, bar: float, densities: Densities, wanted: float) -> Iterator[Lightened | None]:
    """Lightening holes between those that carry load, as few as bring the balance nearest to a place wanted ahead of today's.

    The best so far after each try; None while no hole brings it nearer, or fits with its web left.
    """
    blank = shape(template, tools)
    placed = tuple(wish for wish in wishes_of(blank) if wish.purpose is not Purpose.EPOXY)
    now = masses(blank, bar, densities)
    tolerated = _warnings(template, tools)
    best: Lightened | None = None
    for size in _SIZES:
        for made in _drilled(template, tools, placed, size):
            if _warnings(made, tools) > tolerated:
                break
            best = _nearer(best, _tried(made, tools, bar, densities, size, len(placed)), now, wanted)
            yield best


def _drilled(template: Template, tools: Tools, placed: tuple[HoleWish, ...], size: float) -> Iterator[Template]:
    """The template with ever more holes of a size between each two of those it has; ends where no more fit."""
    fitted = 0
    for count in range(1, _MOST + 1):
        pattern = HolePattern(purpose=Purpose.EPOXY, size=size, count=count, fill=True, web=tools.web)
        new = tuple(filled(template, pattern, list(placed)))
        if len(new) <= fitted:
            return
        fitted = len(new)
        yield replace(template, holes=(*placed, *new))


def _tried(after: Template, tools: Tools, bar: float, densities: Densities, size: float, had: int) -> Lightened:
    weighed = masses(shape(after, tools), bar, densities)
    assert after.holes is not None
    return Lightened(template=after, holes=len(after.holes) - had, size=size, mass=weighed.knife_mass, balance=weighed.balance[0])


def _nearer(best: Lightened | None, tried: Lightened, now: Masses, wanted: float) -> Lightened | None:
    """Whichever comes nearer to the place wanted, by more than a tenth of a mm where it takes more holes."""
    off = abs(tried.balance - wanted)
    standing = abs(now.balance[0] - wanted) if best is None else abs(best.balance - wanted)
    more = best is None or tried.holes > best.holes
    return tried if off < standing - (0.1 if more else 0.0) else best


def _warnings(template: Template, tools: Tools) -> int:
    """How much there is to say against a template."""
    return sum(problem.severity is not Severity.NOTE for problem in check(shape(template, tools), tools))
