"""Outlines from drawings, read in separate processes."""

from collections.abc import Callable, Sequence
from pathlib import Path
from threading import Thread

from workbook.formats.drawing_in import read_drawing
from workbook.problems import JobError
from workbook.system.names import shown
from workbook.tasks.guarded import guarded_all
from workbook.template.drawn import DrawnTemplate, assemble

_A_PROCESS = 1_000_000  # bytes of drawings, which take as long to read as another process takes to start


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
        files = [(folder / name, unit) for name, unit in wanted]
        return guarded_all(_outline, files, worth=1 + sum(_size(file) for file, _unused in files) // _A_PROCESS)
    finally:
        thread.join()


def _size(file: Path) -> int:
    """The bytes of a file; 0 if it cannot be read, which its reader will say."""
    try:
        return file.stat().st_size
    except OSError:
        return 0


def _outline(file: Path, unit: str | None) -> DrawnTemplate:
    loops, remarks = read_drawing(file, unit)
    return assemble(loops, shown(file.name), remarks)
