"""A job as files: its TOML, and beside it a DXF for every outline that came from one."""

from workbook.formats.job_out import job_text
from workbook.model.model import Model
from workbook.tasks.exports.cutting import cut_dxf
from workbook.tasks.write import file_name
from workbook.template.drawn import DrawnTemplate


def job_files(model: Model, name: str) -> dict[str, bytes]:
    """All files of the job under a name such as "harbour-kitchen.toml"."""
    taken: set[str] = set()
    drawn = [template for template in model.job.templates if isinstance(template, DrawnTemplate)]
    outlines = {template.name: f"{file_name(template.name, taken)}.dxf" for template in drawn}
    files = {file: cut_dxf(model.shapes[template]).encode() for template, file in outlines.items()}
    return {name: job_text(model.job, outlines).encode(), **files}
