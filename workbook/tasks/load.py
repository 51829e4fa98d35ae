"""Reading a job file with the outlines it names: everything is read, or every mistake reported."""

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from workbook.formats.tables import facts
from workbook.later import modules
from workbook.model.model import Model, model_of
from workbook.problems import JobError, Mistake
from workbook.shop.job import Job
from workbook.structs import replace
from workbook.system.files import read_file
from workbook.tasks.guarded import tried
from workbook.tasks.outlines import read_outlines
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.formats import job as job_format
else:
    (job_format,) = modules("formats.job")

_MOST_BYTES = 1_000_000


def load_job(file: Path, meanwhile: Callable[[], None] | None = None) -> Model:
    """Read a job file. Raises JobError listing every mistake; nothing is written.

    `meanwhile`: called while other processes read drawings, if there are any.
    """
    try:
        job = job_format.read_job(_text(file), partial(read_outlines, file.parent, meanwhile=meanwhile))
    except JobError as trouble:
        raise JobError(trouble.mistakes, source=file.name) from None
    return shaped(job)


def job_in(text: str) -> Model:
    """The job in a text that refers to no other file. Raises JobError listing every mistake."""
    return shaped(job_format.read_job(text, _no_outline))


def load_strange_job(file: Path) -> Model:
    """The same for a file that may be a stranger's: its text is first read in a separate process."""
    try:
        tried(_read_text, file)
    except JobError as trouble:
        raise JobError([replace(mistake, right="") for mistake in trouble.mistakes], source=file.name) from None
    return load_job(file)


def _read_text(file: Path) -> None:
    job_format.read_job(_text(file), _no_outline)


def _no_outline(wanted: Sequence[tuple[str, str | None]]) -> list[JobError]:
    """Read no outlines: they have their own guard when the job is read."""
    return [JobError([Mistake(place=_("file"), what=_("is not read here."))]) for _unused in wanted]


def shaped(job: Job, before: Model | None = None) -> Model:
    """The model of a job, with the facts of `before`, or else those that come with the program."""
    return model_of(job, facts() if before is None else before.facts, before)


def _text(file: Path) -> str:
    try:
        if file.stat().st_size > _MOST_BYTES:
            raise JobError([Mistake(place=_("file"), what=_("is too large for a job."))])
        return read_file(file).decode("utf-8-sig")
    except UnicodeDecodeError as trouble:
        message = _("is not UTF-8 text (byte {start}).", start=trouble.start)
        raise JobError([Mistake(place=_("file"), what=message, right=_("Save it from the editor as UTF-8."))]) from None
    except OSError as trouble:
        message = _("cannot be read: {reason}.", reason=trouble.strerror or trouble)
        raise JobError([Mistake(place=_("file"), what=message)]) from None
