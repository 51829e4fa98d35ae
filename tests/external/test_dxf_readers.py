"""Cutting files read by GDAL, an independent reader of DXF."""

import re

import numpy as np
import pyogrio
import pytest
import shapely
from shapely.geometry import LinearRing, Polygon

from tests.counts import some
from tests.written import bars_dxf
from workbook.formats.dxf_out import dxf
from workbook.formats.family import family, family_ids
from workbook.geometry.drawing import Text, box
from workbook.geometry.path import flatten
from workbook.grind.lines import grind_lines
from workbook.model.laying import bar_of
from workbook.tasks.exports.cutting import cut_dxf
from workbook.template.shape import shape


@pytest.fixture(autouse=True)
def fine_arcs():
    """Arcs read in chords of a tenth of a degree."""
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": 0.1})
    yield
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": None})


def read(text, folder):
    """Curves by layer."""
    file = folder / "cut.dxf"
    file.write_text(text, encoding="utf-8")
    meta, _, geometries, fields = pyogrio.raw.read(file)
    layers = fields[list(meta["fields"]).index("Layer")]
    found = {}
    for layer, geometry in zip(layers, geometries, strict=True):
        found.setdefault(layer, []).append(shapely.from_wkb(geometry))
    return found


@pytest.mark.own_working("GDAL reads it, but what it must find is the program's own shape")
@pytest.mark.parametrize("name", some(family_ids(), 4))
def test_a_cutting_file_holds_closed_rings_of_the_templates_shape(name, tools, tmp_path):
    blank = shape(family(name), tools)
    found = read(cut_dxf(blank), tmp_path)
    assert set(found) == ({"OUTLINE", "HOLES"} if blank.holes else {"OUTLINE"})
    paths = [blank.outline, *blank.openings]
    assert len(found["OUTLINE"]) == len(paths)
    for ring, path in zip(found["OUTLINE"], paths, strict=True):
        assert ring.is_ring
        source = Polygon(flatten(path, 0.0005))
        assert ring.hausdorff_distance(source.exterior) < 0.0125  # 0.01 for the arcs, the rest for their chords
        assert Polygon(ring.coords).area == pytest.approx(source.area, abs=0.005 * source.length)


@pytest.mark.own_working("GDAL reads it, but what it must find is the program's own shape")
@pytest.mark.parametrize("name", ["petty", "drop-point-hunter", "everyday-fixed-blade"])
def test_holes_are_circles_where_they_are_drilled(name, tools, tmp_path):
    blank = shape(family(name), tools)
    rings = read(cut_dxf(blank), tmp_path)["HOLES"]
    assert len(rings) == len(blank.holes)
    for ring, hole in zip(rings, blank.holes, strict=True):
        assert ring.is_ring
        radii = np.hypot(*(np.array(ring.coords)[:, :2] - hole.centre).T)
        assert radii == pytest.approx(np.full(len(radii), hole.diameter / 2), abs=1e-6)


@pytest.mark.own_working("GDAL reads it, but what it must find is the program's own shape")
def test_the_bars_drawing_holds_every_blank_where_it_lies(laid_demo, tmp_path):
    found = read(bars_dxf(laid_demo), tmp_path)
    rings, rise = [], 0.0
    for use in laid_demo.layout.bars:
        for piece in use.pieces:
            points = piece.placement().points(laid_demo.nesting.parts[piece.part].outline)
            rings.append(LinearRing(np.add(points, (0.0, rise))))
        rise += laid_demo.nesting.stock[use.stock].width + 30.0
    assert len(found["OUTLINE"]) == len(rings)
    assert len(found["BAR"]) == len(laid_demo.layout.bars)
    for ring, source in zip(found["OUTLINE"], rings, strict=True):
        assert ring.is_ring
        assert ring.hausdorff_distance(source) < 0.03  # arcs and chords are each within 0.01 of the curve


@pytest.mark.own_working("GDAL reads it, but what it must find is the program's own shape")
def test_the_scribing_layer_of_the_bars_has_both_grind_lines_of_every_blank(laid_demo, tmp_path):
    """Each finished grind line, as the program has it in the blank's frame, lies on a curve of the layer, placed."""
    scribed = read(bars_dxf(laid_demo), tmp_path)["SCRIBE"]
    rise = 0.0
    for use in laid_demo.layout.bars:
        for piece in use.pieces:
            blank = laid_demo.model.shapes[laid_demo.nesting.parts[piece.part].name]
            lines = grind_lines(blank, bar_of(laid_demo.model.job, laid_demo.nesting.stock[use.stock]).true_thickness)
            for path in (lines.finished, lines.before, lines.plunge):
                points = np.add(piece.placement().points(flatten(path, 0.005)), (0.0, rise))
                assert min(shapely.LineString(points).hausdorff_distance(line) for line in scribed) < 0.05
        rise += laid_demo.nesting.stock[use.stock].width + 30.0


@pytest.mark.outside(r"DXF reference, text strings: \U+nnnn; read by GDAL")
def test_the_words_of_a_drawing_survive_in_any_script(tmp_path):
    r"""DXF reference: \U+nnnn stands for a character outside the file's code page; GDAL hands it on as it stands."""
    file = tmp_path / "words.dxf"
    file.write_text(dxf([box(0, 0, 10, 10), Text((0, 0), "Häher – чёрный", 9)]), encoding="utf-8")
    meta, _, _, fields = pyogrio.raw.read(file)
    words = [w for w in fields[list(meta["fields"]).index("Text")] if w]
    assert [re.sub(r"\\U\+([0-9A-F]{4})", lambda m: chr(int(m[1], 16)), w) for w in words] == ["Häher – чёрный"]
