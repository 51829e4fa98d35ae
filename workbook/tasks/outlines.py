"""Outlines from drawings, read in separate processes."""

from collections.abc import Callable, Sequence
from pathlib import Path
from threading import Thread

from workbook.formats.drawing_in import read_drawing
from workbook.problems import JobError
from workbook.system.names import shown
from workbook.tasks.guarded import guarded_all
from workbook.template.drawn import DrawnTemplate, assemble


def read_outline(file: Path, unit: str | None) -> DrawnTemplate:
    """The outline in a DXF or SVG; its name and thickness must still be set.

    `unit`: used if the file has none. Raises JobError, with `NO_UNIT` in it if the unit must be asked for.
    """
    (outline,) = read_outlines(file.parent, [(file.name, unit)])
    if isinstance(outline, JobError):
        raise outline
    return outline


def read_outlines(
    folder: Path, wanted: Sequence[tuple[str, str | None]], meanwhile: Callable[[], None] | None = None
) -> list[DrawnTemplate | JobError]:
    """The same for several files, each a name and a unit, read side by side; a JobError takes the place of what failed.

    `meanwhile`: called here while other processes read.
    """
    thread = Thread(target=meanwhile or (lambda: None))
    thread.start()
    try:
        return guarded_all(_outline, [(folder / name, unit) for name, unit in wanted])
    finally:
        thread.join()


def _outline(file: Path, unit: str | None) -> DrawnTemplate:
    loops, remarks = read_drawing(file, unit)
    return assemble(loops, shown(file.name), remarks)
