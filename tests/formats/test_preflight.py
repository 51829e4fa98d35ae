"""Pre-flight: every planted fault is found by its name, nothing is said of good files, and what can be mended is."""

import io
from itertools import product
from math import cos, hypot, pi, sin

import ezdxf
import pytest

from tests.counts import some, tries
from tests.formats.bad_drawings import FAULTS, fresh, open_end
from workbook.formats.dxf_check import read_to_judge
from workbook.formats.family import family, family_ids
from workbook.problems import JobError
from workbook.tasks.exports.cutting import ANY, cut_dxf, ready
from workbook.tasks.exports.repair import mended
from workbook.tasks.judging import Judged, judge, judge_cut, judged_json
from workbook.template.preflight import Drawn, facts, preflight
from workbook.template.service import DxfVersion, Service
from workbook.template.shape import shape

JET = Service(name="jet", hole_share=1.0, smallest_hole=0.8, inside_radius=0.8)
SERVICES = (ANY, JET, Service(version=DxfVersion.R2013, kerf=0.3, drilled_under=0.4))
PLATE = 160 * 40 + pi * 400 - 2 * pi * 9  # mm2, two holes of 6 mm taken off


def looked(file, unit="mm", service=JET, thickness=2.0):
    """As `judge`, in this process."""
    read = read_to_judge(file, unit)
    drawn = Drawn(read.pieces, service, thickness, tab=service.gap if service.tabs else 0.0)
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
    assert (found.pierces, found.lines, found.arcs, found.circles) == (3, 2, 2, 2)


@pytest.mark.parametrize(("service", "name"), some(list(product(SERVICES, family_ids())), 10))
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
    again = looked(written(mended(looked(saved(document, tmp_path)))[0], tmp_path), unit=None)
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


def faceted(document, radius, count, centre=(100.0, 20.0)):
    """A circle of so many lines, each far shorter than what counts as cut."""
    turns = [2 * pi * n / count for n in range(count)]
    x, y = centre
    document.modelspace().add_lwpolyline([(x + radius * cos(t), y + radius * sin(t)) for t in turns], close=True)


@pytest.mark.parametrize(("radius", "count"), [(5.0, 800), (5.0, 1600), (12.0, 2000)])
def test_fine_facets_are_kept_when_a_drawing_is_mended(tmp_path, radius, count):
    document = fresh()
    faceted(document, radius, count)
    document.modelspace().add_circle((30, 20), 3.0)  # a double, so that something is to be mended
    before = looked(saved(document, tmp_path))
    text, told = mended(before)
    after = looked(written(text, tmp_path), unit=None)
    assert after.facts.area == pytest.approx(before.facts.area, rel=1e-4)
    assert after.facts.pierces == 4
    assert told == ("removed 1 piece drawn twice",)


def test_tabs_are_no_open_ends_but_any_other_gap_is(tmp_path, tools):
    """Gaps as wide as the service's tabs are meant; 0.2 mm is not, whatever the service."""
    jet = Service(tabs=3, tab=1.0, kerf=0.4)
    blank = shape(family("petty"), tools)
    judged = looked(written(cut_dxf(blank, jet), tmp_path), None, jet, blank.thickness)
    assert judged.problems == ()
    assert judged.facts.area == pytest.approx(judge_cut(ready(blank, ANY), ANY, blank.thickness)[1].area, rel=0.03)
    document = fresh()
    open_end(document)
    judged = looked(saved(document, tmp_path), service=jet)
    assert "open" in {p.cause for p in judged.problems}


def test_tabs_hold_so_wide_when_the_jet_has_taken_its_kerf(tools):
    jet = Service(tabs=2, tab=1.0, kerf=0.9)
    first, second = ready(shape(family("petty"), tools), jet).outline
    (x0, y0), (x1, y1) = first.segments[-1].end, second.segments[0].start
    assert hypot(x1 - x0, y1 - y0) == pytest.approx(1.9, abs=0.02)


def test_holes_are_judged_as_they_come_out_and_none_is_drawn_smaller_than_nothing(tools):
    blank = shape(family("petty"), tools)
    service = Service(kerf=1.0, drilled_under=2.6, smallest_hole=0.5)
    cut = ready(blank, service)
    assert min(diameter for _, diameter in cut.circles) >= 0.2
    assert cut.left_out
    fine = Service(kerf=0.5, smallest_hole=min(h.diameter for h in blank.holes) - 0.01)
    assert judge_cut(ready(blank, fine), fine, blank.thickness)[0] == []


def test_what_cannot_be_read_is_said(tmp_path):
    """A hole so many blocks deep that it is not looked for is not passed over."""
    document = fresh()
    inner = document.blocks.new("B0")
    inner.add_circle((120, 20), 3)
    for n in range(1, 8):
        document.blocks.new(f"B{n}").add_blockref(f"B{n - 1}", (0, 0))
    document.modelspace().add_blockref("B7", (0, 0))
    judged = looked(saved(document, tmp_path))
    assert [p.severity for p in judged.problems if p.cause == "unread"] == ["stop"]


def test_a_great_many_holes_take_no_time_and_few_words(tmp_path):
    document, many = fresh(), tries(200, 2000)
    for n in range(many):
        document.modelspace().add_circle((22 + n % 200 * 0.75, 4 + n // 200 * 3.3), 0.3)
    judged = looked(saved(document, tmp_path))
    assert len(judged.problems) < 40
    assert any(f"{many - 8} more" in p.what for p in judged.problems)
