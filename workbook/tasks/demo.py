"""The demo job, out of the shipped resources."""

from pathlib import Path

from workbook.paths import resource
from workbook.tasks.load import LoadedJob, load_job
from workbook.tasks.write import write_all

DEMO = "harbour-kitchen-run.toml"


def demo_job() -> LoadedJob:
    """The demo, loaded."""
    return load_job(resource("demo", DEMO))


def write_demo(folder: Path) -> Path:
    """Writes the demo job into a folder and says where it is."""
    write_all(folder, {DEMO: resource("demo", DEMO).read_bytes()})
    return folder / DEMO
