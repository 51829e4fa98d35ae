"""Files of sheath patterns: what is cut, as DXF or SVG, the pieces above each other."""

from collections.abc import Iterator

from workbook.formats.dxf_out import dxf
from workbook.formats.svg import svg
from workbook.geometry.drawing import Curve, Drawing, Mark, extent, shifted
from workbook.model.sheathing import sheath_for
from workbook.sheath.pattern import SheathPattern
from workbook.sheets.sheath_sheet import pieces_marks
from workbook.structs import replace
from workbook.tasks.exports.wanted import Files, Wanted, each
from workbook.texts import _

_GAP = 10.0  # mm between pieces


def _pattern(wanted: Wanted, key: str) -> SheathPattern:
    """The pattern for the first of the bars that blades of a template are made of. Raises JobError where there is none."""
    return sheath_for(wanted.model, key, wanted.bars_of(key)[0])


def _cut(pattern: SheathPattern, *, scored: bool) -> Drawing:
    """Every piece as often as it is cut. `scored`: with the fold and the edges of the room, on the layer SCRIBE."""
    return tuple(_above_each_other(pattern, scored=scored))


def _above_each_other(pattern: SheathPattern, *, scored: bool) -> Iterator[Mark]:
    top = 0.0
    for piece in pattern.pieces:
        marks = pieces_marks(piece)
        x0, y0, _x1, y1 = extent(marks)
        lines = [*([piece.fold] if piece.fold else []), *piece.edges] if scored else []
        marks += tuple(replace(Curve(line, line="construction"), layer="SCRIBE") for line in lines)
        for _time in range(piece.count):
            yield from shifted(marks, -x0, top - y0)
            top += y1 - y0 + _GAP


def drawings(wanted: Wanted, file: str) -> Files:
    """The pattern of each family template's sheath as DXF."""
    service = wanted.model.job.service

    def drawing(key: str) -> bytes:
        title = _("{name}: sheath", name=wanted.model.shapes[key].name)
        return dxf(_cut(_pattern(wanted, key), scored=True), title, service).encode()

    return each(wanted.model, _keys(wanted), file, drawing)


def outlines(wanted: Wanted, file: str) -> Files:
    """The same as SVG, with nothing but what is cut."""

    def drawing(key: str) -> bytes:
        title = _("{name}: sheath", name=wanted.model.shapes[key].name)
        return svg(_cut(_pattern(wanted, key), scored=False), title).encode()

    return each(wanted.model, _keys(wanted), file, drawing)


def _keys(wanted: Wanted) -> list[str]:
    """The templates that have a handle; of an outline from a file alone, that, so that it is told why it has no sheath."""
    return wanted.ground or list(wanted.keys)
