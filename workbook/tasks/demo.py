"""The demo job, out of the shipped resources."""

from pathlib import Path

from workbook.paths import resource
from workbook.problems import JobError, Mistake
from workbook.tasks.load import LoadedJob, load_job
from workbook.tasks.write import write_all

DEMO = "harbour-kitchen-run.toml"


def demo_job() -> LoadedJob:
    """The demo, loaded."""
    return load_job(resource("demo", DEMO))


def write_demo(folder: Path) -> Path:
    """Writes the demo job into a folder and says where it is. A file of its name that was changed is not overwritten."""
    there = folder / DEMO
    if there.is_file() and there.read_bytes() != resource("demo", DEMO).read_bytes():
        raise JobError([Mistake(place=str(there), what="is there already and was changed.", right="Choose another folder.")])
    write_all(folder, {DEMO: resource("demo", DEMO).read_bytes()})
    return folder / DEMO
