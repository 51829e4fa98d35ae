"""Which usual sets of pins and bolts a template can take, by the checks."""

from collections.abc import Iterator

from workbook.problems import Severity
from workbook.template.checks import check
from workbook.template.contour import is_bare
from workbook.template.hole_presets import HolePreset, with_preset
from workbook.template.model import Purpose
from workbook.template.shape import Shape, shape
from workbook.template.tools import Tools


def presets_of(blank: Shape, tools: Tools, sizes: dict[Purpose, float], step: float) -> tuple[HolePreset, ...]:
    """The sets that a template can take: those that bring no problem that stops it. `sizes`, `step`: as in `with_preset`."""
    template = blank.template
    if template is None or is_bare(template.handle):
        return ()
    known = set(_stops(blank, tools))
    offered = (HolePreset.ONE_PIN,) if template.tang.is_enclosed else tuple(p for p in HolePreset if p is not HolePreset.ONE_PIN)
    return tuple(p for p in offered if set(_stops(shape(with_preset(blank, p, sizes, step), tools), tools)) <= known)


def _stops(blank: Shape, tools: Tools) -> Iterator[str]:
    return (problem.what for problem in check(blank, tools) if problem.severity is Severity.STOP)
