"""Files of sheath patterns: what is cut, as DXF or SVG, the pieces above each other."""

from collections.abc import Iterator

from workbook.formats.dxf_out import dxf
from workbook.formats.svg import svg
from workbook.geometry.drawing import Curve, Disc, Mark, shifted
from workbook.geometry.path import bounds
from workbook.model.sheathing import sheath_for
from workbook.sheath.pattern import SheathPattern
from workbook.sheath.piece import SheathPiece
from workbook.sheath.rules import SheathRules
from workbook.tasks.exports.wanted import Files, Wanted, each
from workbook.texts import _
from workbook.units import show

_GAP = 10.0  # mm between pieces
_MARKED = "SCRIBE"  # the layer of what is not cut


def _pattern(wanted: Wanted, key: str) -> SheathPattern:
    """The pattern for the first of the bars that blades of a template are made of. Raises JobError where there is none."""
    return sheath_for(wanted.model, key, wanted.bars_of(key)[0])


def _above_each_other(pattern: SheathPattern, *, marked: bool) -> Iterator[Mark]:
    """Every piece as often as it is cut. `marked`: with what is not cut."""
    top = 0.0
    for piece in pattern.pieces:
        cut, marked_only = _cut(piece, pattern.rules)
        marks = (*cut, *marked_only) if marked else tuple(cut)
        x0, y0, _x1, y1 = bounds(piece.outline)
        for _time in range(piece.count):
            yield from shifted(marks, -x0, top - y0)
            top += y1 - y0 + _GAP


def _cut(piece: SheathPiece, rules: SheathRules) -> tuple[list[Curve | Disc], list[Curve | Disc]]:
    """What is cut of a piece, and what is marked on it: fold, edges of the room, and holes that are drilled after forming."""
    lines = [*([piece.fold] if piece.fold else []), *piece.edges]
    marks = [Curve(line, line="construction", layer=_MARKED) for line in lines]
    if rules.stitched:
        return [Curve(piece.outline), *(Disc(hole.at, hole.size / 2) for hole in piece.holes)], [*marks]
    return [Curve(piece.outline)], [*marks, *(Disc(hole.at, hole.size / 2, layer=_MARKED) for hole in piece.holes)]


def _title(wanted: Wanted, key: str) -> str:
    """Of which bar's blades it is."""
    job, bar = wanted.model.job, wanted.bars_of(key)[0]
    thick = f"{show(bar.thickness, job.unit, fine=True)} {job.unit}"
    return _("{name}: sheath, bar {thick}", name=wanted.model.shapes[key].name, thick=thick)


def drawings(wanted: Wanted, file: str) -> Files:
    """The pattern of each family template's sheath as DXF."""
    service = wanted.model.job.service

    def drawing(key: str) -> bytes:
        marks = tuple(_above_each_other(_pattern(wanted, key), marked=True))
        return dxf(marks, _title(wanted, key), service).encode()

    return each(wanted.model, _keys(wanted), file, drawing)


def outlines(wanted: Wanted, file: str) -> Files:
    """The same as SVG, with nothing but what is cut."""

    def drawing(key: str) -> bytes:
        return svg(tuple(_above_each_other(_pattern(wanted, key), marked=False)), _title(wanted, key)).encode()

    return each(wanted.model, _keys(wanted), file, drawing)


def _keys(wanted: Wanted) -> list[str]:
    """The templates that have a handle; of an outline from a file alone, that, so that it is told why it has no sheath."""
    return wanted.ground or list(wanted.keys)
