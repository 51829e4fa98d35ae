"""Prepare a blank for a cutting service: arcs, holes it can cut, kerf, tabs. Lengths mm."""

from msgspec import Struct

from workbook.geometry.biarc import strays, with_arcs
from workbook.geometry.offset import moved_out
from workbook.geometry.path import Arc, Line, Path, Point, Segment, path_length, reverse
from workbook.geometry.polygon import polygon
from workbook.geometry.tabs import tabbed
from workbook.template.holes import Hole
from workbook.template.service import Service
from workbook.template.shape import Shape

FIT, _SLENDER = 0.005, 0.00055  # mm, and share of area over outline: areas then stay within a ten thousandth
_LEAST_CIRCLE = 0.2  # mm


class ServiceBlank(Struct, frozen=True, kw_only=True):
    """A blank as it is cut: paths of lines and arcs, circles, and what is left to be drilled."""

    outline: tuple[Path, ...]  # one closed loop; with tabs the open pieces between them
    openings: tuple[Path, ...]
    circles: tuple[tuple[Point, float], ...]  # centre and diameter
    left_out: tuple[Hole, ...]  # too small for the service

    @property
    def lines(self) -> int:
        """Number of straight pieces that are cut."""
        return sum(isinstance(s, Line) for p in self._paths() for s in p.segments)

    @property
    def arcs(self) -> int:
        """Number of arcs that are cut, besides circles."""
        return sum(isinstance(s, Arc) for p in self._paths() for s in p.segments)

    @property
    def pierces(self) -> int:
        """How often the jet pierces."""
        return len(self._paths()) + len(self.circles)

    def _paths(self) -> tuple[Path, ...]:
        return (*self.outline, *self.openings)


def cut_blank(blank: Shape, service: Service) -> ServiceBlank:
    """Prepare a blank for a service.

    Raises ValueError, with a message for the user, where its kerf cannot be compensated or its tabs leave too little to cut.
    """
    fitted = [with_arcs(path, fit_of(path)) for path in _drawn(blank)]
    half, least = service.kerf / 2, service.least_hole(blank.thickness)
    if half > 0:
        fitted = [moved_out(path, half if i == 0 else -half) for i, path in enumerate(fitted)]

    def can_be_cut(size: float) -> bool:
        return size >= least - 1e-6 and size - service.kerf >= _LEAST_CIRCLE

    sizes = [(hole, hole.diameter - service.drilled_under) for hole in blank.holes]
    return ServiceBlank(
        outline=tabbed(fitted[0], service.tabs, service.gap, _edge(blank)) if service.tabs else (fitted[0],),
        openings=tuple(fitted[1:]),
        circles=tuple((hole.centre, size - service.kerf) for hole, size in sizes if can_be_cut(size)),
        left_out=tuple(hole for hole, size in sizes if not can_be_cut(size)),
    )


def fit_of(path: Path) -> float:
    """How far arcs may lie from a path's curves, mm: less where it is long and thin."""
    return min(FIT, _SLENDER * polygon(path).area / path_length(path))


def strays_at_most(blank: Shape) -> float:
    """The largest distance, measured, between the curves as cut and as drawn, mm, before the kerf is compensated."""
    return max(strays(path, with_arcs(path, fit_of(path))) for path in _drawn(blank))


def _drawn(blank: Shape) -> tuple[Path, ...]:
    return tuple(_anticlockwise(path) for path in (blank.outline, *blank.openings))


def _anticlockwise(path: Path) -> Path:
    return path if polygon(path).exterior.is_ccw else reverse(path)


def _edge(blank: Shape) -> tuple[Segment, ...]:
    """The cutting edge, where no tab is wanted."""
    return blank.curves.edge if blank.curves is not None else ()
