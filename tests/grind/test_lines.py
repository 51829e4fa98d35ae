"""Grind lines and the taper along a blade: on the blade, in order, and never a crash."""

from math import isfinite

import numpy as np
import pytest
from hypothesis import Phase, given, settings

from tests.counts import tries
from tests.strategies import changes, made
from workbook.formats.family import family, family_ids
from workbook.formats.pdf import measure
from workbook.formats.tables import facts
from workbook.geometry.path import Path, flatten
from workbook.grind.bench import heel
from workbook.grind.lines import grind_lines
from workbook.grind.stations import finished_spine, spine_before
from workbook.sheets.paper import PAPERS, PrintRun
from workbook.sheets.template_sheet import template_pages
from workbook.shop.in_hand import nominal_bar
from workbook.structs import replace
from workbook.template.checks import check
from workbook.template.parameters import changed
from workbook.template.shape import Shape, shape
from workbook.template.tools import Tools, drills_for

TOOLS = Tools(drills=drills_for(facts().drills, "in"))
RUN = PrintRun(paper=PAPERS["letter"], unit="in", measure=measure, job="job")


@given(changes(most=4))
@settings(max_examples=tries(12, 100), phases=[Phase.explicit, Phase.generate])
def test_a_template_without_a_stop_can_be_printed(moved):
    template = made(moved)
    blank = shape(template, TOOLS)
    if not any(p.severity == "stop" for p in check(blank, TOOLS)):
        assert len(template_pages(RUN, blank, nominal_bar(blank.thickness))) >= 3


@pytest.mark.parametrize(
    ("name", "path", "value"),
    [
        ("bird-and-trout", "grind.face_allowance", 1.965),
        ("camp-bowie", "grind.height", 0.0),
        ("kiridashi", "grind.edge_before_sharpening", 3.5),
    ],
)
def test_a_bevel_that_cannot_be_ground_stops(name, path, value):
    blank = shape(changed(family(name), path, value), TOOLS)
    assert "stop" in [p.severity.value for p in check(blank, TOOLS)]


@pytest.mark.parametrize("name", family_ids())
def test_grind_lines_lie_on_the_blade_between_edge_and_spine(name):
    blank = shape(family(name), TOOLS)
    lines = grind_lines(blank, blank.thickness)
    for line in (lines.finished, lines.before):
        if line is not None:
            points = flatten(line)
            low, high = heights(blank.curves.edge, points[:, 0]), heights(blank.curves.spine, points[:, 0])
            assert (points[:, 1] >= low - 0.01).all()
            assert (points[:, 1] <= high + 0.01).all()
            assert points[:, 0].min() >= lines.plunge_at
            assert points[:, 0].max() < blank.template.blade.length


def heights(segments, x):
    points = flatten(Path(segments, closed=False), 0.001)
    order = np.argsort(points[:, 0])
    return np.interp(x, points[order, 0], points[order, 1])


@pytest.mark.parametrize("name", [n for n in family_ids() if family(n).grind.bevel != "scandi"])
def test_the_line_before_hardening_never_lies_above_the_finished_one_where_more_edge_is_left(name):
    """The same angle from a thicker edge meets the face lower, where no more comes off the faces than off the edge."""
    template = family(name)
    blank = shape(replace(template, grind=replace(template.grind, face_allowance=0.0)), TOOLS)
    lines = grind_lines(blank, blank.thickness)
    if lines.before is not None:
        x = flatten(lines.before)[3:-3, 0]
        x = x[x > flatten(lines.finished)[0, 0]]
        assert (heights(lines.before.segments, x) <= heights(lines.finished.segments, x) + 1e-6).all()


@pytest.mark.parametrize("name", family_ids())
def test_the_spine_never_grows_towards_the_point_nor_beyond_the_bar(name):
    template = family(name)
    x = np.linspace(0, template.blade.length, 400)
    for bar in (template.blade.thickness, template.blade.thickness - 0.2):
        thick = spine_before(template, x, bar)
        assert thick.max() <= bar
        assert (np.diff(thick) <= 1e-12).all()
        assert np.abs(np.diff(thick, 2)).max() < 0.001
        assert (finished_spine(template, x, bar) <= thick).all()


@pytest.mark.parametrize("name", [n for n in family_ids() if family(n).blade.point_thickness])
def test_the_distal_taper_leaves_its_thickness_half_an_inch_behind_the_point(name):
    blade = family(name).blade
    thick = finished_spine(family(name), np.array([0.0, blade.length - 12.7]), blade.thickness)
    whole = blade.thickness - 2 * family(name).grind.face_allowance
    assert thick == pytest.approx([whole, blade.point_thickness])


@pytest.mark.parametrize("name", family_ids())
def test_the_section_at_the_heel_is_that_of_the_bar(name):
    template = family(name)
    found = heel(shape(template, TOOLS), template.blade.thickness)
    assert found.before.thick[0] == pytest.approx(template.blade.thickness, abs=0.2)
    assert found.finished.thick[0] == pytest.approx(found.before.thick[0] - 2 * template.grind.face_allowance)
    assert found.height[0] == pytest.approx(template.blade.height)


@pytest.mark.parametrize("name", family_ids())
def test_the_plunge_begins_at_the_edge_and_ends_at_the_grind_line(name):
    blank = shape(family(name), TOOLS)
    lines = grind_lines(blank, blank.thickness)
    assert all(isfinite(v) for p in flatten(lines.plunge).tolist() for v in p)
    assert lines.plunge.segments[0].start[0] == lines.plunge_at
    assert lines.plunge.segments[-1].end[1] == pytest.approx(float(flatten(lines.finished)[0, 1]), abs=0.35)


def test_an_outline_from_a_file_has_no_grind_lines():
    outline = shape(family("petty"), TOOLS).outline
    assert grind_lines(Shape(name="old", outline=outline, holes=(), thickness=2.0), 2.0) is None
