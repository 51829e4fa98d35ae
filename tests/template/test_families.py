"""The starting library: sound outlines of the stated sizes, smooth where the trade wants it, clean in every check."""

from math import degrees, pi

import numpy as np
import pytest
from shapely.geometry import LinearRing, Polygon

from workbook.formats.family import family, family_ids
from workbook.formats.tables import facts
from workbook.geometry.path import Bezier, curvature, flatten, tangents
from workbook.template.checks import check
from workbook.template.model import Bevel, EdgeForm, SpineForm, TangForm
from workbook.template.shape import shape
from workbook.template.tang import stick
from workbook.template.tools import Tools, drills_for

# blade, height at heel, bar, handle in mm and edge angle in degrees: ranges judged for this library from common practice,
# no source. The kiridashi is stated by its overall length, edge and width; its edge angle is on one side.
RANGES = {
    "drop-point-hunter": ((85, 105), (25, 32), (3, 4), (105, 120), (18, 22)),
    "skinner": ((75, 100), (30, 40), (2.5, 3.5), (105, 115), (17, 20)),
    "bushcraft": ((80, 115), (25, 30), (3, 4), (110, 120), (11, 14)),
    "puukko-type": ((85, 110), (18, 24), (2.5, 4), (95, 115), (10, 13)),
    "bird-and-trout": ((75, 100), (18, 22), (2, 2.5), (95, 110), (15, 18)),
    "paring": ((70, 95), (18, 24), (1.4, 2), (95, 110), (12, 16)),
    "petty": ((120, 150), (26, 32), (1.6, 2.2), (110, 125), (12, 15)),
    "santoku-type": ((130, 180), (40, 50), (1.8, 2.5), (115, 130), (12, 15)),
    "chefs": ((200, 240), (45, 55), (2, 3.5), (115, 140), (15, 20)),
    "fillet": ((150, 205), (18, 26), (1, 2), (115, 130), (13, 17)),
    "meat-cleaver": ((150, 200), (60, 90), (3, 4.5), (115, 130), (20, 25)),
    "camp-bowie": ((180, 245), (35, 45), (4.5, 6), (120, 135), (20, 25)),
    "tanto-type": ((90, 150), (26, 32), (3.5, 5), (110, 125), (18, 22)),
    "steak": ((100, 130), (20, 25), (1.8, 2.5), (105, 115), (13, 16)),
    "boning": ((130, 170), (18, 24), (2, 2.8), (115, 130), (15, 18)),
    "slicer": ((240, 300), (30, 38), (1.8, 2.5), (120, 135), (12, 15)),
    "vegetable-cleaver": ((150, 180), (45, 55), (1.8, 2.5), (115, 130), (12, 15)),
    "wharncliffe-utility": ((70, 90), (20, 26), (2.5, 3.2), (100, 115), (15, 18)),
    "everyday-fixed-blade": ((65, 85), (22, 28), (2.5, 3.2), (95, 108), (16, 20)),
}
BEVELS = {"bushcraft": Bevel.SCANDI, "puukko-type": Bevel.SCANDI, "kiridashi": Bevel.SINGLE}
KITCHEN = {"paring", "petty", "santoku-type", "chefs", "fillet", "meat-cleaver", "steak", "boning", "slicer", "vegetable-cleaver"}


@pytest.fixture(params=family_ids())
def blank(request, tools):
    """The shape of each family in turn."""
    return shape(family(request.param), tools)


def test_the_library_has_the_families_whose_sizes_are_known():
    assert set(family_ids()) == {*RANGES, "kiridashi"}


def test_the_outline_is_simple_closed_and_counter_clockwise(blank):
    ring = LinearRing(flatten(blank.outline))
    assert ring.is_simple
    assert ring.is_ccw
    segments = blank.outline.segments
    assert all(a.end == b.start for a, b in zip(segments, segments[1:] + segments[:1], strict=True))


def test_blade_and_handle_have_their_stated_lengths(blank):
    t, points = blank.template, flatten(blank.outline, 0.001)
    assert points[:, 0].max() == pytest.approx(t.blade.length, abs=0.01)
    behind = -t.tang.length if t.tang.form in (TangForm.HIDDEN, TangForm.STUB) else -t.handle.length
    assert points[:, 0].min() == pytest.approx(behind, abs=0.01)
    if blank.grip is not None:
        assert flatten(blank.grip, 0.001)[:, 0].min() == pytest.approx(-t.handle.length, abs=0.01)


def test_the_blade_has_its_stated_height_above_the_heel(blank):
    x = blank.template.heel.ahead + 1e-4
    upright = Polygon(flatten(blank.outline, 0.001)).intersection(LinearRing([(x, -200), (x, 200), (x + 1e-9, 200)]))
    assert upright.bounds[3] - upright.bounds[1] == pytest.approx(blank.template.blade.height, abs=0.01)


def test_the_handle_has_its_stated_height_at_the_front_and_reaches_its_palm(blank):
    handle = blank.template.handle
    points = flatten(blank.grip or blank.outline, 0.001)
    at_palm = points[np.abs(points[:, 0] + handle.palm_at * handle.length) < 2]
    assert at_palm[:, 1].max() - at_palm[:, 1].min() == pytest.approx(handle.palm, abs=0.5)


def test_the_outline_turns_smoothly_but_where_a_maker_cuts_a_corner(blank):
    corners = [at for at, turn in turns(blank.outline) if abs(turn) > 0.5]
    allowed = meant_corners(blank)
    assert [at for at in corners if not any(np.hypot(at[0] - x, at[1] - y) < 0.01 for x, y in allowed)] == []


def turns(path):
    """Each joint and the degrees by which it turns."""
    for segment, following in zip(path.segments, path.segments[1:] + path.segments[:1], strict=True):
        yield segment.end, degrees((tangents(following)[0] - tangents(segment)[1] + pi) % (2 * pi) - pi)


def meant_corners(blank):
    """Heel and point; the clip's, the tip's and the notch's corner; the whole of a stick tang, which nobody sees."""
    t, curves = blank.template, blank.curves
    found = [curves.heel, curves.point]
    if t.point.spine is not SpineForm.CURVED:
        found.append(curves.spine[0].end)
    if t.point.edge is EdgeForm.CORNER:
        found.append(curves.edge[-1].start)
    if t.heel.notch or t.heel.choil:
        found.append(blank.outline.segments[-1].start)
    if t.tang.form in (TangForm.HIDDEN, TangForm.STUB):
        found += [s.start for s in stick(t)] + [stick(t)[-1].end]
    return found


def test_spine_and_belly_never_wave(blank):
    for curve in (s for s in (*blank.curves.edge, *blank.curves.spine) if isinstance(s, Bezier)):
        bend = curvature(curve, np.linspace(0.001, 0.999, 200))
        assert bend.min() >= -1e-6 or bend.max() <= 1e-6


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("name", family_ids())
def test_a_family_passes_every_check_without_a_word(name, unit):
    tools = Tools(drills=drills_for(facts().drills, unit))
    assert check(shape(family(name), tools), tools) == []


@pytest.mark.parametrize("name", sorted(RANGES))
def test_a_family_has_the_sizes_makers_expect_of_it(name):
    """Common practice, no source."""
    t = family(name)
    values = (t.blade.length, t.blade.height, t.blade.thickness, t.handle.length, t.grind.edge_angle)
    assert all(low <= value <= high for value, (low, high) in zip(values, RANGES[name], strict=True))


def test_the_kiridashi_has_the_sizes_makers_expect_of_it(tools):
    """Common practice, no source: edge 25-35, overall 100-180, height 18-25, bar 3-5, 20-30 degrees on one side."""
    t = family("kiridashi")
    curves = shape(t, tools).curves
    assert 100 <= t.blade.length + t.handle.length <= 180
    assert 25 <= np.hypot(*np.subtract(curves.point, curves.edge[-1].start)) <= 35
    assert (18 <= t.blade.height <= 25, 3 <= t.blade.thickness <= 5, 20 <= t.grind.edge_angle <= 30) == (True, True, True)


@pytest.mark.parametrize("name", family_ids())
def test_a_family_has_the_bevel_and_use_of_its_kind(name):
    t = family(name)
    if name in BEVELS:
        assert t.grind.bevel is BEVELS[name]
    assert t.use == ("kitchen" if name in KITCHEN else "outdoor")
    if name in KITCHEN:
        assert t.grind.height is None
        assert all(p.purpose != "lanyard" for p in t.patterns)


@pytest.mark.parametrize("name", family_ids())
def test_finished_edge_is_thinner_than_before_hardening_and_that_than_the_bar(name):
    t = family(name)
    assert 0 <= t.grind.edge_before_sharpening <= t.grind.edge_before_hardening < t.blade.thickness
    assert t.blade.point_thickness < t.blade.thickness


@pytest.mark.parametrize("name", ["petty", "chefs"])
def test_petty_and_chefs_have_their_point_three_quarters_down(name):
    """Common practice, no source: about three quarters of the height below the spine."""
    assert family(name).point.drop == pytest.approx(0.75, abs=0.05)


def test_an_unknown_family_is_a_key_error():
    with pytest.raises(KeyError):
        family("sword")
