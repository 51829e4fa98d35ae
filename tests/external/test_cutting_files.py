"""Cutting files of random templates, judged by two readers of DXF that know nothing of this program."""

import io
from math import pi

import ezdxf
import numpy as np
import pyogrio
import pytest
import shapely
from ezdxf.math import bulge_to_arc
from hypothesis import example, given, settings
from shapely.geometry import LinearRing, Polygon

from tests.counts import some, tries
from tests.strategies import changes, made
from tests.template.test_parameters import sound
from workbook.formats.family import family, family_ids
from workbook.geometry.biarc import with_arcs
from workbook.geometry.path import Arc, flatten, tangents
from workbook.problems import JobError
from workbook.tasks.exports.cutting import cut_dxf, ready
from workbook.template.cut_blank import FIT, fit_of, strays_at_most
from workbook.template.service import DxfUnit, DxfVersion, Service
from workbook.template.shape import shape

MANY = tries(2, 500)
FINE = 0.0001  # mm of chords in what is compared


@pytest.fixture(autouse=True, scope="module")
def fine_arcs():
    """Arcs read in chords of a fiftieth of a degree."""
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": 0.02})
    yield
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": None})


def by_ezdxf(text):
    """Rings and circles (x, y, diameter), after an audit that finds nothing."""
    document = ezdxf.read(io.StringIO(text))
    audit = document.audit()
    assert (audit.errors, audit.fixes) == ([], [])
    space = document.modelspace()
    curves = space.query("LWPOLYLINE POLYLINE")
    assert all(curve.is_closed for curve in curves)
    rings = [LinearRing(chords(curve)) for curve in curves]
    circles = [(*c.dxf.center.vec2, 2 * c.dxf.radius) for c in space.query("CIRCLE")]
    return rings, circles


def chords(curve):
    """A closed polyline with its bulges as fine chords, by the reader's own arithmetic (its paths are Beziers, and stray)."""
    if curve.dxftype() == "LWPOLYLINE":
        rows = [(x, y, b) for x, y, b in curve.get_points("xyb")]
    else:
        rows = [(v.dxf.location.x, v.dxf.location.y, v.dxf.bulge) for v in curve.vertices]
    points = []
    for (x0, y0, bulge), (x1, y1, _) in zip(rows, rows[1:] + rows[:1], strict=True):
        points.append((x0, y0))
        if bulge:
            centre, first, last, radius = bulge_to_arc((x0, y0), (x1, y1), bulge)
            swept = (last - first) % (2 * pi)
            count = int(swept / np.arccos(1 - min(FINE / radius, 1.0))) + 2
            turns = first + swept * np.linspace(0, 1, count + 1)[1:-1]
            points += [
                (centre.x + radius * np.cos(t), centre.y + radius * np.sin(t)) for t in (turns if bulge > 0 else turns[::-1])
            ]
    return points


def by_gdal(text, folder):
    """The same by GDAL; circles by their rings' boxes."""
    file = folder / "cut.dxf"
    file.write_text(text, encoding="ascii")
    meta, _, geometries, fields = pyogrio.raw.read(file)
    layers = fields[list(meta["fields"]).index("Layer")]
    found = [(layer, shapely.force_2d(shapely.from_wkb(g))) for layer, g in zip(layers, geometries, strict=True)]
    rings = [g for layer, g in found if layer == "OUTLINE"]
    boxes = [g.bounds for layer, g in found if layer == "HOLES"]
    circles = [((x0 + x1) / 2, (y0 + y1) / 2, (x1 - x0 + y1 - y0) / 2) for x0, y0, x1, y1 in boxes]
    return rings, circles


def same_shape(ring, path):
    """Closed, the same area within 0.01 %, nowhere further than 0.01 mm."""
    assert ring.is_ring
    source = Polygon(flatten(path, FINE))
    assert Polygon(ring).area == pytest.approx(source.area, rel=1e-4)
    assert apart(ring, source.exterior) < 0.01 + 2 * FINE


def apart(one, other):
    """Hausdorff distance, of every third corner of either from the other's lines."""
    shapely.prepare((one, other))
    return max(
        shapely.distance(shapely.points(shapely.get_coordinates(a)[::3]), b).max() for a, b in ((one, other), (other, one))
    )


def judged(blank, folder):
    """Everything that is asked of a cutting file."""
    text = cut_dxf(blank)
    assert text == cut_dxf(blank)
    paths = [blank.outline, *blank.openings]
    for rings, circles in (by_ezdxf(text), by_gdal(text, folder)):
        assert len(rings) == len(paths)
        for ring, path in zip(rings, paths, strict=True):
            same_shape(ring, path)
        wanted = sorted((*hole.centre, hole.diameter) for hole in blank.holes)
        assert np.array(sorted(circles)).ravel() == pytest.approx(np.array(wanted).ravel(), abs=2e-5)
    for path in paths:
        fitted = with_arcs(path, fit_of(path))
        assert len(fitted.segments) <= max(len(flatten(path, 0.01)) / 2, len(path.segments))
        smooth(path, fitted)


def corners(path):
    """Places where a path turns by more than a hair."""
    following = path.segments[1:] + path.segments[:1]
    return [
        s.end
        for s, n in zip(path.segments, following, strict=True)
        if abs((tangents(n)[0] - tangents(s)[1] + pi) % (2 * pi) - pi) > 1e-3
    ]


def smooth(path, fitted):
    """The fitted path turns where the drawn one does, and nowhere else."""
    own = corners(path)
    for x, y in corners(fitted):
        assert min(np.hypot(x - px, y - py) for px, py in own) < 1e-6


@pytest.mark.own_working("two outside readers, of the program's own shape")
@pytest.mark.parametrize("name", some(family_ids(), 2))
def test_every_familys_file_is_its_shape(name, tools, tmp_path):
    judged(shape(family(name), tools), tmp_path)


@pytest.mark.own_working("two outside readers, of the program's own shape")
@given(moved=changes())
@example(moved=("bird-and-trout", (("blade.height", 8.0), ("blade.length", 450.0))))
@settings(max_examples=MANY)
def test_so_is_that_of_any_sound_template(tmp_path_factory, moved):
    blank = sound(made(moved))
    if blank is not None:
        judged(blank, tmp_path_factory.mktemp("cut"))


@pytest.mark.outside("shapely: Hausdorff distance of the file's arcs, read by ezdxf, from the curves")
@pytest.mark.parametrize("name", some(family_ids(), 2))
def test_what_is_told_of_the_curves_is_what_another_measures(name, tools):
    """The worst place, against shapely's own distance of curves flattened ten times finer."""
    blank = shape(family(name), tools)
    rings, _ = by_ezdxf(cut_dxf(blank))
    most = max(
        max(r.hausdorff_distance(s), s.hausdorff_distance(r))
        for r, s in (
            (ring, Polygon(flatten(path, 0.00005)).exterior)
            for ring, path in zip(rings, [blank.outline, *blank.openings], strict=True)
        )
    )
    assert strays_at_most(blank) == pytest.approx(most, abs=0.0012)
    assert strays_at_most(blank) < FIT


@pytest.mark.own_working("two outside readers, of the program's own shape")
@pytest.mark.parametrize("version", [DxfVersion.R12, DxfVersion.R2013])
def test_other_versions_hold_the_same(version, tools, tmp_path):
    blank = shape(family("everyday-fixed-blade"), tools)
    text = cut_dxf(blank, Service(version=version))
    for rings, circles in (by_ezdxf(text), by_gdal(text, tmp_path)):
        for ring, path in zip(rings, [blank.outline, *blank.openings], strict=True):
            same_shape(ring, path)
        assert len(circles) == len(blank.holes)


@pytest.mark.outside("shapely (GEOS): buffer of the drawn shape")
@pytest.mark.parametrize("kerf", [0.2, 0.9])
@pytest.mark.parametrize("name", some(["petty", "skinner", "everyday-fixed-blade", "kiridashi", "puukko-type"], 3))
def test_a_kerf_is_made_up_for(name, kerf, tools):
    """Shapely's buffer of the drawn shape, its openings grown too: the same within the curves' 0.01 mm and its own chords."""
    blank = shape(family(name), tools)
    cut = ready(blank, Service(kerf=kerf))
    for path, drawn, by in zip(
        (*cut.outline, *cut.openings), (blank.outline, *blank.openings), (kerf / 2, *(-kerf / 2,) * 9), strict=False
    ):
        wanted = Polygon(flatten(drawn, FINE)).buffer(by, quad_segs=64)
        found = Polygon(flatten(path, FINE))
        assert found.exterior.hausdorff_distance(wanted.exterior) < 0.02
        assert any(isinstance(s, Arc) for s in path.segments) or name == "kiridashi"
    sizes = [diameter for _, diameter in cut.circles]
    assert sizes == pytest.approx([hole.diameter - kerf for hole in blank.holes])


@pytest.mark.outside("ezdxf: DXF reference, $INSUNITS 1 is inches, $MEASUREMENT 0 English; 1 in = 25.4 mm")
@pytest.mark.parametrize("version", list(DxfVersion))
def test_a_file_in_inches_on_a_services_own_layers_is_the_same_in_another_unit(tools, version):
    blank = shape(family("petty"), tools)
    inches = Service(version=version, unit=DxfUnit.INCHES, outline_layer="CUT_OUT", hole_layer="PIERCE 1")
    document = ezdxf.read(io.StringIO(cut_dxf(blank, inches)))
    assert document.header.get("$MEASUREMENT", 0) == 0
    assert version is DxfVersion.R12 or document.header["$INSUNITS"] == 1
    assert {entity.dxf.layer for entity in document.modelspace()} == {"CUT_OUT", "PIERCE 1"}
    assert not document.audit().errors
    rings, circles = by_ezdxf(cut_dxf(blank, inches))
    in_mm, circles_in_mm = by_ezdxf(cut_dxf(blank, Service(version=version)))
    for ring, other in zip(rings, in_mm, strict=True):
        grown = shapely.transform(ring, lambda points: points * 25.4)
        assert Polygon(grown).symmetric_difference(Polygon(other)).area < 0.2  # of chords of another length
        assert ring.bounds[2] * 25.4 == pytest.approx(other.bounds[2], abs=1e-6)
    assert np.array(circles) * 25.4 == pytest.approx(np.array(circles_in_mm), abs=1e-6)


@pytest.mark.own_working("the DXF reference's list of characters, as ezdxf has it")
def test_a_layers_name_that_no_dxf_can_have_is_refused(tools):
    blank = shape(family("petty"), tools)
    for wrong in ("cut|out", "a*b", "a:b"):
        with pytest.raises(JobError, match="which a layer name cannot have"):
            cut_dxf(blank, Service(outline_layer=wrong))


@pytest.mark.own_working("an outside reader, of the program's own shape")
@pytest.mark.parametrize(("outline", "holes"), [("0", "0"), ("CUT", "cut"), ("Defpoints", "HOLES")])
def test_one_layer_for_all_or_one_that_is_there_already_is_written(tools, outline, holes):
    blank = shape(family("petty"), tools)
    document = ezdxf.read(io.StringIO(cut_dxf(blank, Service(outline_layer=outline, hole_layer=holes))))
    assert {entity.dxf.layer for entity in document.modelspace()} == {outline, holes}
    assert not document.audit().errors
