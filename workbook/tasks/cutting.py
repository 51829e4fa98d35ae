"""Cutting files of a job: each template as DXF and SVG for a service, all blanks of a layout in one file or one each."""

from workbook.formats.dxf_out import dxf
from workbook.formats.svg import svg
from workbook.geometry.drawing import Curve, Disc, Drawing
from workbook.problems import JobError, Mistake
from workbook.template.service import CutBlank, Service, cut_blank
from workbook.template.shape import Shape

ANY = Service(hole_share=0.0, smallest_hole=0.0)  # asks for nothing: every hole is cut to size


def ready(blank: Shape, service: Service) -> CutBlank:
    """A blank made ready for a service. Raises JobError where that cannot be."""
    try:
        return cut_blank(blank, service)
    except ValueError as trouble:
        what = f"cannot be cut as {service.name or 'the service'} asks, with a kerf of {service.kerf:g} mm: {trouble}."
        raise JobError([Mistake(place=f"template “{blank.name}”", what=what, right="Leave the kerf to the service.")]) from None


def cut_marks(cut: CutBlank) -> Drawing:
    """What a cutting file holds: outline and openings on OUTLINE, round holes on HOLES, nothing else."""
    paths = tuple(Curve(path) for path in (*cut.outline, *cut.openings))
    return (*paths, *(Disc(centre, diameter / 2) for centre, diameter in cut.circles))


def cut_dxf(blank: Shape, service: Service = ANY) -> str:
    """One template as a cutting file."""
    return dxf(cut_marks(ready(blank, service)), blank.name, service.version)


def cut_svg(blank: Shape) -> str:
    """One template as SVG, true to size, its own curves kept."""
    paths = tuple(Curve(path) for path in (blank.outline, *blank.openings))
    return svg((*paths, *(Disc(h.centre, h.diameter / 2) for h in blank.holes)), blank.name)
