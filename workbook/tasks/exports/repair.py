"""A cutting file from anywhere, mended as far as it can be."""

from workbook.formats.dxf_out import dxf
from workbook.geometry.drawing import Curve, Disc
from workbook.problems import JobError, Mistake
from workbook.tasks.judging import Judged
from workbook.template.drawn import as_circle
from workbook.template.repair import repaired
from workbook.template.service import DxfVersion, Service
from workbook.texts import _


def mended(judged: Judged, version: DxfVersion = DxfVersion.R2000) -> tuple[str, tuple[str, ...]]:
    """The drawing mended, as DXF in mm, outlines and holes on their layers; and in words what was done.

    Raises JobError where nothing closed is left.
    """
    made = repaired(judged.drawn)
    if not made.paths:
        what = _("nothing closed is left when it is mended: the outline itself has to be drawn.")
        raise JobError([Mistake(place=judged.name, what=what)])
    found = [(path, as_circle(path)) for path in made.paths]
    curves = [Curve(path) for path, hole in found if not hole]
    return dxf(
        [*curves, *(Disc(hole[0], hole[1] / 2) for _unused, hole in found if hole)], judged.name, Service(version=version)
    ), made.told
