"""Cutting files of a job: each template as DXF and SVG for a service, all blanks of a layout in one file or one each."""

from collections.abc import Sequence

from workbook.formats import pdf
from workbook.formats.dxf_out import dxf
from workbook.formats.svg import svg
from workbook.geometry.drawing import Curve, Disc, Drawing, Mark, placed, shifted
from workbook.problems import JobError, Mistake
from workbook.sheets.bar import BarPlan
from workbook.sheets.cut_note import CutNote, note_draft
from workbook.sheets.furniture import footed
from workbook.sheets.paper import Run
from workbook.shop.wording import sentence
from workbook.tasks.judging import judge_cut
from workbook.tasks.load import LoadedJob
from workbook.tasks.sheets import BETWEEN_BARS
from workbook.tasks.write import file_name
from workbook.template.cut_blank import CutBlank, cut_blank, strays_at_most
from workbook.template.service import Service
from workbook.template.shape import Shape

ANY = Service(hole_share=0.0, smallest_hole=0.0)  # asks for nothing: every hole is cut to size


def ready(blank: Shape, service: Service) -> CutBlank:
    """A blank made ready for a service. Raises JobError where that cannot be."""
    try:
        return cut_blank(blank, service)
    except ValueError as trouble:
        what = (
            f"cannot be cut as {service.name or 'the service'} asks: {trouble} (kerf {service.kerf:g} mm, {service.tabs} tabs)."
        )
        right = "Change kerf or tabs of the service, or leave them to it."
        raise JobError([Mistake(place=f"template “{blank.name}”", what=what, right=right)]) from None


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


def cut_files(loaded: LoadedJob, run: Run, blanks: Sequence[Shape], service: Service) -> dict[str, bytes]:
    """A DXF and an SVG of each template under `cut/`, and the notes to them in one PDF, by their file names."""
    files: dict[str, bytes] = {}
    drafts = []
    taken: set[str] = set()
    for blank in blanks:
        name = file_name(blank.name, taken)
        cut = ready(blank, service)
        files[f"cut/{name}.dxf"] = dxf(cut_marks(cut), blank.name, service.version).encode()
        files[f"cut/{name}.svg"] = cut_svg(blank).encode()
        drafts.append(note_draft(run, cut_note(loaded, blank, cut, f"{name}.dxf", service)))
    files["notes.pdf"] = pdf.pdf(footed(run, drafts), f"{loaded.job.name}: notes to cutting files", run.printer)
    return files


def cut_note(loaded: LoadedJob, blank: Shape, cut: CutBlank, file: str, service: Service) -> CutNote:
    """The note to one cutting file, pre-flight included."""
    problems, found = judge_cut(cut, service, blank.thickness)
    return CutNote(
        blank=blank,
        cut=cut,
        service=service,
        file=file,
        quantity=sum(wish.quantity for wish in loaded.job.make if wish.template == blank.name),
        steel=loaded.in_hand(blank.name).steel,
        facts=found,
        strays=strays_at_most(blank),
        found=tuple(sentence(p, loaded.job.unit) for p in problems),
    )


def bar_cut_marks(plan: BarPlan, service: Service) -> Drawing:
    """All blanks of a bar where they lie, as they are cut."""
    return tuple(mark for blank in plan.blanks for mark in placed(cut_marks(ready(blank.shape, service)), blank.placement))


def bars_cut_dxf(plans: Sequence[BarPlan], title: str, service: Service) -> str:
    """Every bar of a layout in one cutting file, each above the one before."""
    marks: list[Mark] = []
    rise = 0.0
    for plan in plans:
        marks += shifted(bar_cut_marks(plan, service), 0.0, rise)
        rise += plan.size[1] + BETWEEN_BARS
    return dxf(marks, title, service.version)
