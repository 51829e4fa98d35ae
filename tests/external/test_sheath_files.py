"""Files of sheath patterns, judged by readers that know nothing of this program: pieces, holes, and what is only scored."""

import io
from itertools import combinations

import ezdxf
import numpy as np
import pyogrio
import pytest
import shapely
from shapely.geometry import Polygon

from tests.counts import some
from tests.external.reading import pages
from tests.external.test_cutting_files import by_gdal, chords
from workbook.formats.family import family
from workbook.formats.svg_in import read_svg
from workbook.geometry.path import flatten
from workbook.model.sheathing import sheath_for
from workbook.sheath.rules import SheathForm, SheathOf, SheathRules
from workbook.structs import replace
from workbook.tasks.exports import Wanted, exported
from workbook.tasks.load import shaped
from workbook.tasks.sheets import run_of

RULES = {
    "folded": SheathRules(layers=2),
    "flat": SheathRules(form=SheathForm.FLAT, leather=2.4, welt=9.0, stitch=4.0, belt=50.0),
    "riveted": SheathRules(of=SheathOf.THERMOPLASTIC, form=SheathForm.FLAT, drain=4.0),
}
NAMES = ("petty", "camp-bowie", "puukko-type")


@pytest.fixture(autouse=True, scope="module")
def fine_chords():
    """Arcs read in chords of half a degree."""
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": 0.5})
    yield
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": None})


@pytest.fixture(scope="module")
def model(demo):
    """The demo job with three other templates."""
    return shaped(replace(demo.job, templates=tuple(replace(family(name), name=name) for name in NAMES), make=()))


def wanted(model, name, rules, paper="a4"):
    own = shaped(replace(model.job, sheath=rules))
    made = Wanted(model=own, run=run_of(own.job, paper, ""), keys=(name,), parts=("sheath",))
    return made, sheath_for(own, name, made.bars_of(name)[0])


def one(files):
    (content,) = files.values()
    return content


@pytest.fixture(params=some([(name, rules) for name in NAMES for rules in RULES], 4), ids=" ".join)
def drawn(request, model):
    """What to write of a knife's sheath, and its pattern."""
    name, rules = request.param
    return wanted(model, name, RULES[rules])


def sizes_of(pattern):
    """The diameter of every hole that is made."""
    return sorted(hole.size for piece in pattern.pieces for hole in piece.holes * piece.count)


def areas_of(pattern):
    return sorted(Polygon(flatten(piece.outline, 0.0005)).area for piece in pattern.pieces for _ in range(piece.count))


@pytest.mark.own_working("two outside readers, of the program's own pattern")
def test_the_dxf_has_every_piece_closed_and_every_hole(drawn, tmp_path):
    made, pattern = drawn
    text = one(exported(made, ["sheath"])).decode()
    assert {layer for layer, _ in layers(text, tmp_path)} <= {"OUTLINE", "HOLES", "SCRIBE"}
    for rings, circles in (by_gdal(text, tmp_path), cut_by_ezdxf(text)):
        assert sorted(Polygon(ring).area for ring in rings) == pytest.approx(areas_of(pattern), rel=1e-3)
        for one_piece, other in combinations(map(Polygon, rings), 2):
            assert one_piece.distance(other) > 5
        cut = sizes_of(pattern) if pattern.rules.stitched else []  # those of thermoplastic are drilled after it is formed
        assert sorted(size for *_, size in circles) == pytest.approx(cut, abs=0.003)  # chords of a circle
        whole = shapely.union_all([Polygon(ring) for ring in rings])
        assert all(whole.contains(shapely.Point(x, y).buffer(size / 2)) for x, y, size in circles)


def layers(text, folder):
    file = folder / "layers.dxf"
    file.write_text(text, encoding="ascii")
    meta, _, geometries, fields = pyogrio.raw.read(file)
    return list(zip(fields[list(meta["fields"]).index("Layer")], shapely.from_wkb(geometries), strict=True))


def cut_by_ezdxf(text):
    """Rings and circles that are cut, after an audit that finds nothing."""
    document = ezdxf.read(io.StringIO(text))
    assert not document.audit().errors
    space = document.modelspace()
    curves = space.query('LWPOLYLINE[layer=="OUTLINE"]')
    assert all(curve.is_closed for curve in curves)
    circles = [(*c.dxf.center.vec2, 2 * c.dxf.radius) for c in space.query('CIRCLE[layer=="HOLES"]')]
    return [chords(curve) for curve in curves], circles


@pytest.mark.own_working("an outside reader, of the program's own pattern")
def test_fold_and_edges_are_scored_inside_the_pieces(drawn, tmp_path):
    made, pattern = drawn
    found = layers(one(exported(made, ["sheath"])).decode(), tmp_path)
    pieces = shapely.union_all([Polygon(shapely.force_2d(line)) for layer, line in found if layer == "OUTLINE"])
    scored = [line for layer, line in found if layer == "SCRIBE"]
    lines = sum(piece.count * (len(piece.edges) + (piece.fold is not None)) for piece in pattern.pieces)
    assert len(scored) == lines + (0 if pattern.rules.stitched else len(sizes_of(pattern)))
    assert all(pieces.buffer(0.01).contains(shapely.force_2d(line)) for line in scored)


@pytest.mark.own_working("the program's own reader of SVG files")
def test_the_svg_has_nothing_but_what_is_cut(drawn, tmp_path):
    made, pattern = drawn
    file = tmp_path / "cut.svg"
    file.write_bytes(one(exported(made, ["sheath-svg"])))
    loops, _ = read_svg(file, None)
    areas = sorted(Polygon(flatten(loop.path, 0.0005)).area for loop in loops.closed)
    holes = [np.pi * size**2 / 4 for size in sizes_of(pattern)] if pattern.rules.stitched else []
    assert areas == pytest.approx(sorted(holes + areas_of(pattern)), rel=2e-3)


@pytest.mark.own_working("the pattern's own outline, read back by pypdfium2")
@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_the_sheet_is_true_to_size(model, paper):
    """A straight throat is as long on paper as in the pattern; so are all pieces, where they are not in parts."""
    made, pattern = wanted(model, "petty", RULES["folded"], paper)
    lines = [path.points for _, paths, _ in pages(one(exported(made, ["sheets"]))) for path in paths]
    sizes = np.array([np.ptp(points, axis=0) for points in lines])
    for piece in pattern.pieces:
        wanted_size = np.ptp(flatten(piece.outline, 0.001), axis=0)
        off = np.minimum(np.abs(sizes - wanted_size).max(axis=1), np.abs(sizes[:, ::-1] - wanted_size).max(axis=1))
        assert (off < 0.05).sum() >= 1, piece.key
