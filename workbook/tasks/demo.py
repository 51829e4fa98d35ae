"""The demo, out of the shipped resources: as a job and as a workbook."""

from itertools import count
from pathlib import Path

from workbook.document.actions.whole import bring_in
from workbook.document.document import Document
from workbook.paths import resource
from workbook.problems import JobError, Mistake
from workbook.storage.body import Body
from workbook.storage.file import SUFFIX, written
from workbook.tasks.load import LoadedJob, load_job
from workbook.tasks.write import write_all

DEMO = "harbour-kitchen-run.toml"


def demo_job() -> LoadedJob:
    """The demo, loaded."""
    return load_job(resource("demo", DEMO))


def demo_workbook() -> bytes:
    """The demo as a workbook's file: always the same bytes."""
    numbers = count(1)
    edit = bring_in(Document(), demo_job().job, lambda: f"demo{next(numbers)}")
    return written(Body(Document().applied(edit)))


def write_demo(folder: Path) -> Path:
    """Writes the demo job and workbook into a folder and says where the job is. Files that were changed are not overwritten."""
    files = {DEMO: resource("demo", DEMO).read_bytes(), Path(DEMO).with_suffix(SUFFIX).name: demo_workbook()}
    for name, data in files.items():
        there = folder / name
        if there.is_file() and there.read_bytes() != data:
            raise JobError([Mistake(place=str(there), what="is there already and was changed.", right="Choose another folder.")])
    write_all(folder, files)
    return folder / DEMO
