"""Read the closed lines of a drawing, DXF or SVG. Each reader is loaded on first use."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from workbook.later import modules
from workbook.problems import JobError, Mistake
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.formats import dxf_in, svg_in
    from workbook.geometry.loops import Loops
else:
    dxf_in, svg_in = modules("formats.dxf_in", "formats.svg_in")

_OUTLINES = (".dxf", ".svg")


def is_outline(file: Path) -> bool:
    """Whether a file's name is that of a drawing from which an outline can be read."""
    return file.suffix.lower() in _OUTLINES


def read_drawing(file: Path, unit: str | None) -> tuple[Loops, list[str]]:
    """Read loops in mm and remarks on what was left out. `unit`: for a file that does not say. Raises JobError."""
    if not is_outline(file):
        right = _('Name a file that ends in ".dxf" or ".svg".')
        raise JobError([Mistake(place=_("file"), what=_("is not a DXF or SVG file."), right=right)])
    if file.suffix.lower() == ".svg":
        return svg_in.read_svg(file, unit)
    return dxf_in.read_loops(file, unit)
