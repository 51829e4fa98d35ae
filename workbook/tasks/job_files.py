"""A job as files: its TOML, and beside it a DXF for every outline that came from a drawing."""

from workbook.formats.job_out import job_text
from workbook.model.model import Model
from workbook.tasks.exports.cutting import cut_dxf
from workbook.tasks.write import file_name


def job_files(model: Model, name: str) -> dict[str, bytes]:
    """All files of the job under a name such as "harbour-kitchen.toml"."""
    existing: set[str] = set()
    drawings = [blank for blank in model.shapes.values() if blank.template is None]
    outlines = {blank.name: f"{file_name(blank.name, existing)}.dxf" for blank in drawings}
    files = {outlines[blank.name]: cut_dxf(blank).encode() for blank in drawings}
    return {name: job_text(model.job, outlines).encode(), **files}
