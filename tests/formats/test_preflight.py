"""Pre-flight: every planted fault is found by its name, nothing is said of good files, and what can be mended is."""

import io
from math import pi

import ezdxf
import pytest

from tests.formats.bad_drawings import FAULTS, fresh
from workbook.formats.dxf_check import read_to_judge
from workbook.formats.family import family, family_ids
from workbook.problems import JobError
from workbook.tasks.cutting import ANY, cut_dxf, ready
from workbook.tasks.judging import Judged, judge, judge_cut, judged_json, mended
from workbook.template.preflight import Drawn, facts, preflight
from workbook.template.service import DxfVersion, Service
from workbook.template.shape import shape

JET = Service(name="jet", hole_share=1.0, smallest_hole=0.8, inside_radius=0.8)
PLATE = 160 * 40 + pi * 400 - 2 * pi * 9  # mm2, two holes of 6 mm taken off


def looked(file, unit="mm", service=JET, thickness=2.0):
    """As `judge`, in this process."""
    read = read_to_judge(file, unit)
    drawn = Drawn(read.pieces, service, thickness)
    problems = (*read.problems, *preflight(drawn))
    return Judged(name=file.name, unit=read.unit, version=read.version, problems=problems, facts=facts(drawn), drawn=drawn)


def saved(document, folder):
    file = folder / "drawn.dxf"
    document.saveas(file)
    return file


def written(text, folder):
    file = folder / "written.dxf"
    file.write_text(text, encoding="ascii")
    return file


def test_there_are_more_than_thirty_faults():
    assert len(FAULTS) > 30
    assert len({cause for cause, _ in FAULTS.values()}) > 20


@pytest.mark.parametrize("version", ["R2000", "R2013"])
def test_a_good_file_has_nothing(tmp_path, version):
    judged = looked(saved(fresh(version), tmp_path), unit=None)
    assert judged.problems == ()
    found = judged.facts
    assert (found.width, found.height) == pytest.approx((200.0, 40.0))
    assert found.area == pytest.approx(PLATE, rel=1e-4)
    assert found.length == pytest.approx(320 + 40 * pi + 12 * pi, rel=1e-9)
    assert (found.pierces, found.lines, found.arcs) == (3, 2, 6)


@pytest.mark.parametrize("name", family_ids())
@pytest.mark.parametrize("service", [ANY, JET, Service(version=DxfVersion.R2013, kerf=0.3, drilled_under=0.4)])
def test_our_own_files_have_nothing(tmp_path, tools, name, service):
    blank = shape(family(name), tools)
    judged = looked(written(cut_dxf(blank, service), tmp_path), None, service, blank.thickness)
    assert [p.what for p in judged.problems] == []
    assert judge_cut(ready(blank, service), service, blank.thickness)[0] == []


@pytest.mark.parametrize("spoil", FAULTS, ids=lambda f: f.__name__)
def test_each_fault_is_found(tmp_path, spoil):
    document = fresh()
    spoil(document)
    cause, _ = FAULTS[spoil]
    assert cause in {p.cause for p in looked(saved(document, tmp_path)).problems}


@pytest.mark.parametrize("spoil", [f for f, (_, can) in FAULTS.items() if can], ids=lambda f: f.__name__)
def test_what_can_be_mended_is_the_plate_again(tmp_path, spoil):
    document = fresh()
    spoil(document)
    again = looked(written(mended(looked(saved(document, tmp_path))), tmp_path), unit=None)
    assert [p.what for p in again.problems] == []
    assert again.facts.area == pytest.approx(PLATE, rel=2e-3)
    assert again.facts.pierces == 3


def test_what_has_no_outline_is_not_mended(tmp_path):
    document = fresh()
    for entity in list(document.modelspace()):
        document.modelspace().delete_entity(entity)
    document.modelspace().add_line((0, 0), (100, 0))
    with pytest.raises(JobError, match="nothing closed is left"):
        mended(looked(saved(document, tmp_path)))


def test_a_file_without_a_unit_asks_for_it(tmp_path):
    document = fresh()
    document.header["$INSUNITS"] = 0
    with pytest.raises(JobError, match="--unit"):
        judge(saved(document, tmp_path))


def test_what_is_no_dxf_is_refused_in_words(tmp_path):
    file = tmp_path / "not.dxf"
    file.write_text("no drawing", encoding="utf-8")
    with pytest.raises(JobError, match=r"not\.dxf"):
        judge(file)


def test_the_json_says_where(tmp_path):
    document = fresh()
    document.modelspace().add_circle((100, 20), 0.6, dxfattribs={"layer": "HOLES"})
    found = judged_json(judge(saved(document, tmp_path), service=JET, thickness=2.0))
    (hole,) = found["problems"]
    assert hole["at"] == pytest.approx((100.0, 20.0))
    assert (hole["is"], hole["wanted"]) == pytest.approx((1.2, 2.0))
    assert found["facts"]["pierces"] == 4


def test_r12_is_plain_polylines_without_a_unit(tools, capfd):
    text = cut_dxf(shape(family("petty"), tools), Service(version=DxfVersion.R12))
    assert capfd.readouterr().err == ""
    document = ezdxf.read(io.StringIO(text))
    assert document.acad_release == "R12"
    assert {e.dxftype() for e in document.modelspace()} == {"POLYLINE", "CIRCLE"}
    assert "$INSUNITS" not in document.header
