"""Outlines from drawings, read in processes of their own."""

from collections.abc import Callable, Sequence
from pathlib import Path
from threading import Thread

from workbook.formats.drawing_in import read_drawing
from workbook.problems import JobError
from workbook.system.names import shown
from workbook.tasks.guarded import guarded_all
from workbook.template.drawn import DrawnTemplate, assemble


def read_outline(file: Path, unit: str | None) -> DrawnTemplate:
    """The outline in a DXF or SVG; its name and thickness are still to be given.

    `unit`: where the file does not say. Raises JobError; `NO_UNIT` in it where the unit must be asked for.
    """
    (found,) = read_outlines(file.parent, [(file.name, unit)])
    if isinstance(found, JobError):
        raise found
    return found


def read_outlines(
    folder: Path, wanted: Sequence[tuple[str, str | None]], meanwhile: Callable[[], None] | None = None
) -> list[DrawnTemplate | JobError]:
    """The same of several, each a file's name and a unit, read side by side; in place of what raises JobError the error.

    `meanwhile`: done here while other processes read.
    """
    beside = Thread(target=meanwhile or (lambda: None))
    beside.start()
    try:
        return guarded_all(_outline, [(folder / name, unit) for name, unit in wanted])
    finally:
        beside.join()


def _outline(file: Path, unit: str | None) -> DrawnTemplate:
    loops, remarks = read_drawing(file, unit)
    return assemble(loops, shown(file.name), remarks)
