"""Files for a cutting service: each template as DXF with a note, or as SVG; all bars of a layout in one file or a file each."""

from workbook.formats.dxf_out import dxf
from workbook.formats.svg import svg
from workbook.geometry.drawing import Curve, Disc, Drawing, placed
from workbook.model.model import Model
from workbook.problems import JobError, Mistake
from workbook.sheets.bar import BarPlan
from workbook.sheets.cut_note import CutNote, note_draft
from workbook.sheets.furniture import footed
from workbook.shop.wording import sentence
from workbook.tasks.exports.bars import above_each_other
from workbook.tasks.exports.wanted import Files, Wanted, each, pages_pdf
from workbook.tasks.judging import judge_cut
from workbook.template.cut_blank import ServiceBlank, cut_blank, strays_at_most
from workbook.template.fields import RULES
from workbook.template.service import Service
from workbook.template.shape import Shape
from workbook.texts import _

ANY = Service(hole_share=0.0, smallest_hole=0.0)  # no requirements: every hole is cut to size
_NOTES = "notes.pdf"


def ready(blank: Shape, service: Service) -> ServiceBlank:
    """A blank prepared for a service. Raises JobError if that is not possible."""
    wrong = list(RULES[Service](service))
    if wrong:
        right = _("Use letters, digits, - and _.")
        raise JobError([Mistake(place=f"service.{key}", what=what, right=right) for key, what in wrong])
    try:
        return cut_blank(blank, service)
    except ValueError as trouble:
        message = _(
            "cannot be cut as {service} asks: {trouble} (kerf {kerf:g} mm, tabs: {tabs}).",
            service=service.name or _("the service"),
            trouble=trouble,
            kerf=service.kerf,
            tabs=service.tabs,
        )
        right = _("Change the kerf or tabs of the service, or leave them to the service.")
        raise JobError([Mistake(place=_("template “{name}”", name=blank.name), what=message, right=right)]) from None


def _marks(cut: ServiceBlank) -> Drawing:
    """The marks of a cutting file: outline and openings on OUTLINE, round holes on HOLES, nothing else."""
    paths = tuple(Curve(path) for path in (*cut.outline, *cut.openings))
    return (*paths, *(Disc(centre, diameter / 2) for centre, diameter in cut.circles))


def cut_dxf(blank: Shape, service: Service = ANY) -> str:
    """One template as a DXF cutting file. Raises JobError as `ready` does."""
    return dxf(_marks(ready(blank, service)), blank.name, service)


def cut_svg(blank: Shape) -> str:
    """One template as SVG, true to size, with its own curves."""
    paths = tuple(Curve(path) for path in (blank.outline, *blank.openings))
    return svg((*paths, *(Disc(h.centre, h.diameter / 2) for h in blank.holes)), blank.name)


def cutting(wanted: Wanted, file: str) -> Files:
    """A cutting file of each template, and the notes to them in one file."""
    model, service = wanted.model, wanted.model.job.service
    files = each(model, wanted.keys, file, lambda key: cut_dxf(model.shapes[key], service).encode())
    if not wanted.notes:
        return files
    notes = [_note(model, key, name) for key, name in zip(wanted.keys, files, strict=True)]
    drafts = [note_draft(wanted.run, note) for note in notes]
    return {
        **files,
        _NOTES: pages_pdf(wanted.run, footed(wanted.run, drafts), _("{job}: notes for the cutting service", job=wanted.run.job)),
    }


def _note(model: Model, key: str, file: str) -> CutNote:
    """The note to one cutting file, pre-flight included."""
    blank, service = model.shapes[key], model.job.service
    cut = ready(blank, service)
    problems, facts = judge_cut(cut, service, blank.thickness)
    return CutNote(
        blank=blank,
        cut=cut,
        service=service,
        file=file,
        quantity=sum(wish.quantity for wish in model.job.make if wish.template == key),
        steel=model.in_hand(key).steel,
        facts=facts,
        strays=strays_at_most(blank),
        found=tuple(sentence(p, model.job.unit) for p in problems),
    )


def outlines(wanted: Wanted, file: str) -> Files:
    """Each template as SVG."""
    return each(wanted.model, wanted.keys, file, lambda key: cut_svg(wanted.model.shapes[key]).encode())


def bars_cut(wanted: Wanted, file: str) -> Files:
    """Every bar of a layout as a service cuts it: all in one file, each above the one before, or a file each."""
    service, title = wanted.model.job.service, wanted.model.job.name

    def drawn(plan: BarPlan) -> Drawing:
        return tuple(mark for blank in plan.blanks for mark in placed(_marks(ready(blank.shape, service)), blank.placement))

    if not wanted.each:
        return {file: dxf(above_each_other(wanted.plans, drawn), title, service).encode()}
    return {
        f"bar-{plan.number}-to-cut.dxf": dxf(
            drawn(plan), _("{job}, bar {number}", job=title, number=plan.number), service
        ).encode()
        for plan in wanted.plans
    }
