"""DXF files with more or less in them than an outline: what is left out, mended and refused."""

import ezdxf
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.counts import FULL, tries
from tests.formats.dxf_drawings import PENTAGON, STADIUM, area, pentagon, stadium, template
from workbook.formats import dxf_check, dxf_in
from workbook.formats.drawing_in import read_drawing
from workbook.geometry.path import flatten
from workbook.problems import JobError
from workbook.tasks.load import load_job
from workbook.tasks.outlines import read_outline


def test_what_is_not_cut_is_left_out_and_told(drawing):
    def draw(space):
        stadium(space)
        space.add_line((0, 50), (200, 50), dxfattribs={"layer": "DIMENSIONS"})
        space.add_circle((100, 20), 30, dxfattribs={"layer": "Construction"})
        space.add_lwpolyline([(-50, -50), (300, -50), (300, 90), (-50, 90)], close=True, dxfattribs={"layer": "BORDER"})
        space.add_text("old pattern")
        space.add_point((5, 5))

    found = drawing(draw)
    assert area(found) == pytest.approx(STADIUM, rel=5e-5)
    assert found.circles == ()
    layers = ("1 LINE on layer DIMENSIONS", "1 CIRCLE on layer Construction", "1 LWPOLYLINE on layer BORDER", "1 TEXT", "1 POINT")
    for words in layers:
        assert any(words in remark for remark in found.remarks)


@pytest.mark.parametrize("hide", ["off", "freeze"])
def test_a_layer_that_is_off_is_left_out(drawing, hide):
    def draw(space):
        stadium(space)
        getattr(space.doc.layers.add("ASIDE"), hide)()
        space.add_circle((100, 20), 4, dxfattribs={"layer": "ASIDE"})

    assert drawing(draw).circles == ()


def test_an_outline_on_any_other_layer_is_read(drawing):
    assert area(drawing(lambda space: stadium(space, layer="messer 1"))) == pytest.approx(STADIUM, rel=5e-5)


def test_doubled_lines_are_dropped_and_told(drawing):
    def draw(space):
        pentagon(space)
        pentagon(space)

    found = drawing(draw)
    assert area(found) == pytest.approx(PENTAGON)
    assert "removed 5 doubled pieces" in found.remarks


def test_a_line_of_no_length_does_no_harm(drawing):
    def draw(space):
        space.add_line((180, 0), (180, 0))
        pentagon(space)
        space.add_line((90, 10), (90, 10))
        space.add_circle((50, 10), 0)

    assert area(drawing(draw)) == pytest.approx(PENTAGON)


def test_a_second_outline_is_refused(drawing):
    def draw(space):
        stadium(space)
        space.add_lwpolyline([(0, 100), (200, 100), (200, 140), (0, 140)], close=True)

    with pytest.raises(JobError, match=r"more than one outline\. Save one part per file"):
        drawing(draw)


def test_an_outline_that_crosses_itself_is_refused_with_the_place(drawing):
    with pytest.raises(JobError, match=r"crosses itself at \(100\.00, 20\.00\) mm"):
        drawing(lambda space: space.add_lwpolyline([(0, 0), (200, 40), (200, 0), (0, 40)], close=True))


@pytest.mark.parametrize(
    ("values", "width"),
    [({"xscale": 2, "yscale": 2}, 400), ({"rotation": 90}, 40), ({"xscale": -1}, 200), ({"xscale": 0.5, "yscale": 2}, 100)],
)
def test_a_block_is_taken_apart_where_it_lies(drawing, values, width):
    def draw(space):
        block = space.doc.blocks.new("KNIFE")
        stadium(block)
        block.add_circle((100, 20), 3)
        space.add_blockref("KNIFE", (500, 300), dxfattribs=values)

    found = drawing(draw)
    points = flatten(found.outline, 0.001)
    assert np.ptp(points[:, 0]) == pytest.approx(width, abs=0.01)
    assert area(found) == pytest.approx(STADIUM * abs(values.get("xscale", 1) * values.get("yscale", 1)), rel=1e-3)


def test_blocks_in_blocks_are_taken_apart(drawing):
    def draw(space):
        inner, outer = space.doc.blocks.new("INNER"), space.doc.blocks.new("OUTER")
        stadium(inner)
        outer.add_blockref("INNER", (10, 10))
        space.add_blockref("OUTER", (0, 0))

    assert area(drawing(draw)) == pytest.approx(STADIUM, rel=5e-5)


def bomb(file, depth):
    """Each block holds the next a hundred times: a million entities, or more than there is memory for."""
    made = ezdxf.new(units=4)
    last = made.blocks.new("B0")
    last.add_point((0, 0))
    for n in range(1, depth + 1):
        block = made.blocks.new(f"B{n}")
        for i in range(100):
            block.add_blockref(f"B{n - 1}", (i, 0))
    made.modelspace().add_blockref(f"B{depth}", (0, 0))
    made.saveas(file)


@pytest.mark.skipif(not FULL, reason="takes long; the next test does the same with a lower limit")
@pytest.mark.parametrize("depth", [40, 3])
def test_blocks_that_multiply_without_end_are_refused(tmp_path, depth):
    bomb(tmp_path / "bomb.dxf", depth)
    with pytest.raises(JobError, match=r"too many entities|takes more than"):
        read_outline(tmp_path / "bomb.dxf", None)


@pytest.mark.parametrize("depth", [40, 3])
def test_blocks_that_multiply_past_the_limit_are_refused(tmp_path, monkeypatch, depth):
    monkeypatch.setattr(dxf_in, "_MOST_ENTITIES", 1000)
    bomb(tmp_path / "bomb.dxf", depth)
    with pytest.raises(JobError, match="too many entities"):
        read_drawing(tmp_path / "bomb.dxf", None)


def test_a_check_takes_no_more_blocks_apart_than_it_judges(tmp_path, monkeypatch):
    monkeypatch.setattr(dxf_check, "_MOST_ENTITIES", 1000)
    bomb(tmp_path / "bomb.dxf", 3)
    taken = []
    monkeypatch.setattr(dxf_check, "entities", lambda *given: (taken.append(e) or e for e in dxf_in.entities(*given)))
    with pytest.raises(JobError, match="too many entities to check"):
        dxf_check.read_to_judge(tmp_path / "bomb.dxf", None)
    assert len(taken) == 1001


def test_a_block_in_itself_ends(tmp_path):
    made = ezdxf.new(units=4)
    made.blocks.new("round").add_blockref("round", (1, 0))
    made.modelspace().add_blockref("round", (0, 0))
    made.saveas(tmp_path / "round.dxf")
    with pytest.raises(JobError, match="has no outline"):
        read_outline(tmp_path / "round.dxf", None)


def test_an_empty_drawing_is_told(drawing):
    with pytest.raises(JobError, match="has no outline"):
        drawing(lambda space: None)


@pytest.mark.parametrize("size", [0, 1, 40, 4000])
@given(data=st.data())
@settings(max_examples=5)
def test_garbage_is_told(tmp_path_factory, size, data):
    file = tmp_path_factory.mktemp("garbage") / "old.dxf"
    file.write_bytes(data.draw(st.binary(min_size=size, max_size=size)))
    with pytest.raises(JobError, match="DXF: "):
        template(file, "mm")


@given(st.data())
@settings(max_examples=tries(20, 160))
def test_a_damaged_file_is_a_template_or_a_mistake(tmp_path_factory, data):
    document = ezdxf.new("R2000")
    document.header["$INSUNITS"] = 4
    stadium(document.modelspace())
    file = tmp_path_factory.mktemp("damaged") / "old.dxf"
    document.saveas(file)
    lines = file.read_text(encoding="utf-8").splitlines()
    at = data.draw(st.integers(0, len(lines) - 1))
    junk = st.lists(st.sampled_from(["0", "ENDSEC", "x", "-1", "1e999", "10", "nan"]), max_size=3)
    lines[at : at + data.draw(st.integers(0, 60))] = data.draw(junk)
    file.write_text("\n".join(lines), encoding="utf-8")
    try:
        found = template(file)
        assert area(found) > 0
    except JobError as trouble:
        assert all(str(m).startswith("DXF: ") for m in trouble.mistakes)


JOB = """
[[template]]
name = "Old"
outline = "{name}"
[template.blade]
thickness = "2 mm"
[[bar]]
steel = "1095"
thickness = "2 mm"
width = "60 mm"
length = "900 mm"
[[make]]
template = "Old"
"""


def test_a_job_reads_the_outline_beside_it(job_file, tmp_path):
    document = ezdxf.new()
    document.header["$INSUNITS"] = 4
    stadium(document.modelspace())
    document.saveas(tmp_path / "old.dxf")
    model = load_job(job_file(JOB.format(name="old.dxf")))
    assert model.shapes["Old"].extent() == pytest.approx((0, 0, 200, 40), abs=0.01)
    assert model.job.templates[0].source == "old.dxf"


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("none.dxf", "DXF: there is no such file."),
        ("none.svg", "SVG: there is no such file."),
        ("old.png", "file: is not a DXF or SVG file"),
        ("folder.dxf", "DXF: cannot be read"),
    ],
)
def test_a_job_says_why_it_cannot_read_an_outline(job_file, tmp_path, name, words):
    (tmp_path / "folder.dxf").mkdir()
    with pytest.raises(JobError) as caught:
        load_job(job_file(JOB.format(name=name)))
    assert f"job.toml: template[1].outline: {name}, {words}" in caught.value.lines()[0]
