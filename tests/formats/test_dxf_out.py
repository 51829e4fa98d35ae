"""Cutting files read back: lines and true arcs, closed, in millimetres, the same bytes twice."""

import io

import ezdxf
import pytest
from ezdxf.entities.lwpolyline import LWPolylinePoints
from ezdxf.lldxf.encoding import decode_dxf_unicode
from ezdxf.lldxf.tagwriter import TagWriter
from ezdxf.path import make_path
from shapely.geometry import Polygon

from tests.written import bars_dxf
from workbook.formats import dxf_out, dxf_vertices
from workbook.formats.dxf_out import dxf
from workbook.formats.family import family, family_ids
from workbook.geometry.drawing import Clip, Curve, Disc, Text, box
from workbook.geometry.path import Line, Path, flatten
from workbook.tasks.exports.cutting import cut_dxf
from workbook.template.service import Service
from workbook.template.shape import shape


def read(text):
    return ezdxf.read(io.StringIO(text))


@pytest.fixture(scope="module", params=family_ids())
def cut(request, tools):
    """A family's shape, and its cutting file read back."""
    blank = shape(family(request.param), tools)
    return blank, read(cut_dxf(blank))


def test_an_audit_finds_nothing(cut):
    audit = cut[1].audit()
    assert (audit.errors, audit.fixes) == ([], [])


def test_it_is_in_millimetres(cut):
    """DXF reference: $INSUNITS 4 is millimetres, $MEASUREMENT 1 metric."""
    assert (cut[1].header["$INSUNITS"], cut[1].header["$MEASUREMENT"]) == (4, 1)


def test_it_holds_outline_and_holes_and_nothing_else(cut):
    blank, document = cut
    found = sorted((e.dxftype(), e.dxf.layer) for e in document.modelspace())
    wanted = [("CIRCLE", "HOLES")] * len(blank.holes) + [("LWPOLYLINE", "OUTLINE")] * (1 + len(blank.openings))
    assert found == sorted(wanted)


def test_every_outline_is_closed_and_the_templates_own(cut):
    blank, document = cut
    curves = document.modelspace().query("LWPOLYLINE")
    assert all(curve.closed for curve in curves)
    for curve, path in zip(curves, (blank.outline, *blank.openings), strict=True):
        points = [(v.x, v.y) for v in make_path(curve).flattening(0.0005)]
        source = Polygon(flatten(path, 0.0005))
        assert Polygon(points).exterior.hausdorff_distance(source.exterior) < 0.0115


def test_an_outline_is_tens_of_arcs_not_hundreds_of_facets(cut):
    for curve in cut[1].modelspace().query("LWPOLYLINE"):
        assert len(curve) < 90
        assert any(bulge for *_, bulge in curve.get_points("xyb"))


def test_holes_are_circles_of_their_drill(cut):
    blank, document = cut
    found = [((c.dxf.center.x, c.dxf.center.y), 2 * c.dxf.radius) for c in document.modelspace().query("CIRCLE")]
    assert [c for c, _ in found] == [pytest.approx(h.centre) for h in blank.holes]
    assert [d for _, d in found] == pytest.approx([h.diameter for h in blank.holes])


def test_its_extents_are_those_of_the_drawing(tools):
    blank = shape(family("petty"), tools)
    header = read(cut_dxf(blank)).header
    x0, y0, x1, y1 = blank.extent()
    assert header["$EXTMIN"][:2] == pytest.approx((x0, y0), abs=0.06)
    assert header["$EXTMAX"][:2] == pytest.approx((x1, y1), abs=0.06)


def test_the_same_template_is_the_same_bytes(tools):
    blank = shape(family("petty"), tools)
    assert cut_dxf(blank) == cut_dxf(blank)


def test_the_bars_drawing_is_on_its_documented_layers(laid_demo):
    document = read(bars_dxf(laid_demo))
    assert document.audit().errors == []
    layers = {e.dxf.layer for e in document.modelspace()}
    assert layers <= {"OUTLINE", "HOLES", "SCRIBE", "BAR", "NOTES"}
    assert len(document.modelspace().query("LWPOLYLINE[layer=='BAR']")) == len(laid_demo.layout.bars)
    pieces = sum(len(use.pieces) for use in laid_demo.layout.bars)
    outlines = document.modelspace().query("LWPOLYLINE[layer=='OUTLINE']")
    assert len(outlines) == pieces
    assert all(curve.closed for curve in outlines)
    assert not document.modelspace().query("SPLINE")


def test_words_are_written_plain_and_survive_in_any_script(tmp_path):
    """DXF reference: letters beyond the code page stand as \\U+XXXX."""
    words = "1\u20091⁄2 in Häher – чёрный"
    file = tmp_path / "words.dxf"
    file.write_bytes(dxf([box(0, 0, 10, 10), Text((0, 0), words, 9)]).encode())
    (text,) = ezdxf.readfile(file).modelspace().query("TEXT")
    assert decode_dxf_unicode(text.plain_text()) == "1 1/2 in Häher – чёрный"


def test_what_a_window_shows_is_drawn():
    document = read(dxf([Clip((0, 0, 9, 9), (Disc((3, 3), 2, layer="HOLES"),))]))
    assert [e.dxftype() for e in document.modelspace()] == ["CIRCLE"]
    assert "HOLES" in document.layers


def test_vertices_written_together_are_what_the_library_writes_one_by_one(monkeypatch):
    """Numbers of every kind: whole, tiny, huge, negative, with and without a bulge."""
    rows = [(0.0, -1.0, 0.0), (1e-17, 123456789.125, -0.4142135623730951), (1 / 3, 1e21, 1.0), (-2.5e-5, 0.1, 1e-300)]
    curve = Curve(Path((Line((0, 0), (1, 0)),), closed=False))

    def written():
        made = ezdxf.new("R2000")
        dxf_out._Writer(made.modelspace(), Service())._add_line(curve, rows)
        stream = io.StringIO()
        made.entitydb.query("LWPOLYLINE").first.export_dxf(TagWriter(stream, made.dxfversion))
        return stream.getvalue()

    together = written()
    monkeypatch.setattr(dxf_vertices, "Together", lambda rows: LWPolylinePoints([(x, y, 0, 0, b) for x, y, b in rows]))
    assert together.count("\n 42\n") == 3
    assert together == written()
