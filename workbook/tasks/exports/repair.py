"""A cutting file from any source, repaired as far as possible."""

from workbook.formats.dxf_out import dxf
from workbook.geometry.drawing import Curve, Disc
from workbook.problems import JobError, Mistake
from workbook.tasks.judging import Judged
from workbook.template.drawn import as_circle
from workbook.template.repair import repaired
from workbook.template.service import DxfVersion, Service
from workbook.texts import _


def mended(judged: Judged, version: DxfVersion = DxfVersion.R2000) -> tuple[str, tuple[str, ...]]:
    """The repaired drawing as DXF in mm, with outlines and holes on their layers; and what was done, in words.

    Raises JobError if nothing closed is left.
    """
    repair = repaired(judged.drawn)
    if not repair.paths:
        message = _("nothing closed is left after the repair. The outline itself has to be drawn.")
        raise JobError([Mistake(place=judged.name, what=message)])
    pairs = [(path, as_circle(path)) for path in repair.paths]
    curves = [Curve(path) for path, hole in pairs if not hole]
    return dxf(
        [*curves, *(Disc(hole[0], hole[1] / 2) for _unused, hole in pairs if hole)], judged.name, Service(version=version)
    ), repair.told
