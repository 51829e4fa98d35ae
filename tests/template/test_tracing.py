"""Tracing: a picture taken at an angle becomes a plane in mm; a family fitted to places clicked on it is the knife."""

from math import cos, radians, sin

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.counts import FULL, some, tries
from workbook.formats.family import family
from workbook.geometry.path import Placement, flatten
from workbook.structs import replace
from workbook.template.blade import blade_curves
from workbook.template.parameters import changed
from workbook.template.picture_plane import TraceError, plane_of_distance, plane_of_sheet
from workbook.template.shape import outline_of
from workbook.template.tracing import Clicked, best_of, outline_on, trace

A4 = (297.0, 210.0)  # ISO 216, on its side


def camera(points, tilt=0.35, turn=0.2, far=600.0, pixels=2400.0):
    """A pinhole camera over a plane in mm: rotated about both axes, looking at the sheet's middle; y of the picture runs down."""
    x, y = np.asarray(points, dtype=float).T - np.array([[A4[0] / 2], [A4[1] / 2]])
    x, y = cos(turn) * x - sin(turn) * y, sin(turn) * x + cos(turn) * y
    depth = far + y * sin(tilt)
    return np.column_stack([1500 + pixels * x / depth, 1000 - pixels * y * cos(tilt) / depth])


def knife(name, changes):
    template = family(name)
    for path, value in changes.items():
        template = changed(template, path, value)
    return template


CORNERS = [(0, 0), (A4[0], 0), A4, (0, A4[1])]
KNIVES = {
    "drop-point-hunter": {"blade.length": 101.0, "blade.height": 26.0, "handle.palm": 27.0, "point.drop": 0.4},
    "petty": {"blade.length": 128.0, "blade.height": 30.5, "handle.length": 112.0, "handle.drop": 7.0},
    "skinner": {"blade.edge_straight": 0.42, "handle.waist": 21.5, "handle.squareness": 0.7},
    "everyday-fixed-blade": {"blade.length": 84.0, "handle.length": 108.0, "point.edge_slope": 46.0},
}


def clicked(template, placement, count, noise, seed):
    """Point, butt and heel, and other places of the outline, as they are clicked in the picture with an unsure hand."""
    chance = np.random.default_rng(seed)
    outline = flatten(outline_of(template, blade_curves(template)), 0.02)
    curves = blade_curves(template)
    butt = outline[np.argmin(outline[:, 0])]
    along = shapely.LinearRing(outline)
    rest = [along.interpolate(share, normalized=True).coords[0] for share in (np.arange(count) + 0.5) / count]
    places = placement.points(np.vstack([[curves.point, butt, curves.heel], rest]))
    seen = camera(places)
    return seen + chance.normal(0, noise, seen.shape), outline


def of(mm, front=None):
    """Places on the plane as they are clicked: point, butt, heel, others."""
    return Clicked(*(tuple(p) for p in mm[:3]), mm[3:], front)


def either_way(names):
    """Each knife as it is and mirrored; one way only for every change."""
    return [(name, mirrored) for n, name in enumerate(names) for mirrored in ((False, True) if FULL else (n % 2 == 1,))]


@pytest.mark.parametrize(("name", "mirrored"), either_way(some(list(KNIVES), 2)))
def test_a_knife_in_a_picture_at_an_angle_is_recovered(name, mirrored):
    """Within 0.5 mm of its length and 1 mm of its outline everywhere (Hausdorff), with a hand that strays half a pixel: an
    eighth of a mm here, as when the picture is looked at three times as large.
    """
    true = knife(name, KNIVES[name])
    placement = Placement(150.0, 100.0, 0.3, mirrored)
    seen, outline = clicked(true, placement, 30, 0.5, 7)
    plane = plane_of_sheet([tuple(p) for p in camera(CORNERS) + np.random.default_rng(3).normal(0, 0.3, (4, 2))], *A4)
    mm = plane.mm(seen)
    found = trace(family(name), of(mm))
    wanted = true.blade.length + true.handle.length
    assert found.template.blade.length + found.template.handle.length == pytest.approx(wanted, abs=0.5)
    assert shapely.hausdorff_distance(shapely.LinearRing(outline_on(found)), shapely.LinearRing(placement.points(outline))) < 1.0
    assert found.root_mean_square < 0.35


def test_a_slip_does_not_spoil_the_rest():
    true = knife("petty", KNIVES["petty"])
    seen, outline = clicked(true, Placement(150.0, 100.0), 40, 0.5, 4)
    seen[10] += (60.0, -45.0)
    mm = plane_of_sheet([tuple(p) for p in camera(CORNERS)], *A4).mm(seen)
    found = trace(family("petty"), of(mm))
    placed = Placement(150.0, 100.0).points(outline)
    assert shapely.hausdorff_distance(shapely.LinearRing(outline_on(found)), shapely.LinearRing(placed)) < 1.2
    assert int(found.errors.argmax()) == 10


@given(tilt=st.floats(-0.6, 0.6), turn=st.floats(-0.7, 0.7), order=st.permutations(range(4)))
@settings(max_examples=tries(30, 240))
def test_the_sheet_makes_the_plane_whatever_the_view_and_the_order_of_clicks(tilt, turn, order):
    corners = [tuple(p) for p in camera(CORNERS, tilt, turn)]
    plane = plane_of_sheet([corners[i] for i in order], *A4)
    inside = np.array([(20.0, 30.0), (250.0, 40.0), (120.0, 190.0)])
    found = plane.mm(camera(inside, tilt, turn))
    apart = [np.linalg.norm(found[i] - found[j]) for i, j in ((0, 1), (1, 2), (2, 0))]
    true = [np.linalg.norm(inside[i] - inside[j]) for i, j in ((0, 1), (1, 2), (2, 0))]
    assert apart == pytest.approx(true, abs=0.01)
    assert plane.pixels(found) == pytest.approx(camera(inside, tilt, turn), abs=0.01)


def test_two_points_and_a_distance_make_a_square_picture_a_plane():
    plane = plane_of_distance((100.0, 100.0), (400.0, 500.0), 250.0)
    assert plane.mm([(0.0, 0.0), (0.0, 200.0)]).tolist() == [[0.0, 0.0], [0.0, -100.0]]


@pytest.mark.parametrize(
    ("corners", "why"),
    [
        ([(0, 0), (10, 0), (10, 10)], "four corners"),
        ([(0, 0), (900, 0), (900, 1), (0, 700)], "not the corners"),
        ([(0, 0), (900, 0), (300, 200), (0, 700)], "not the corners"),
    ],
)
def test_places_that_are_no_sheet_are_refused(corners, why):
    with pytest.raises(TraceError, match=why):
        plane_of_sheet(corners, *A4)


def test_too_few_points_and_no_distance_are_refused():
    with pytest.raises(TraceError, match="At least 8 points"):
        trace(family("petty"), Clicked((200.0, 0.0), (0.0, 0.0), (90.0, -20.0), np.zeros((3, 2))))
    with pytest.raises(TraceError, match="Click two points"):
        plane_of_distance((0, 0), (3, 0), 100.0)


def test_what_is_found_is_within_its_ranges():
    true = replace(knife("petty", {"heel.ahead": 4.0}))
    seen, _ = clicked(true, Placement(150.0, 100.0, radians(5)), 20, 3.0, 9)
    mm = plane_of_sheet([tuple(p) for p in camera(CORNERS)], *A4).mm(seen)
    from workbook.template.resizing import out_of_range

    found = trace(family("petty"), of(mm))
    assert out_of_range(found.template) == set()


@pytest.mark.parametrize(("name", "mirrored"), either_way(some(["skinner", "everyday-fixed-blade", "drop-point-hunter"], 1)))
def test_a_front_that_is_clicked_parts_blade_and_handle_where_it_is(name, mirrored):
    true = knife(name, KNIVES.get(name, {"blade.length": 101.0}))
    placement = Placement(150.0, 100.0, 0.3, mirrored)
    seen, _ = clicked(true, placement, 30, 0.5, 7)
    mm = plane_of_sheet([tuple(p) for p in camera(CORNERS)], *A4).mm(seen)
    front = placement.point((0.0, true.handle.front / 2))
    found = trace(family(name), of(mm, front)).template
    assert found.blade.length == pytest.approx(true.blade.length, abs=0.5)
    assert found.handle.length == pytest.approx(true.handle.length, abs=0.5)


def test_places_in_the_wrong_order_are_refused_and_a_wrong_knife_is_doubted():
    true = knife("petty", KNIVES["petty"])
    placement = Placement(150.0, 100.0)
    seen, _ = clicked(true, placement, 30, 0.0, 1)
    mm = plane_of_sheet([tuple(p) for p in camera(CORNERS)], *A4).mm(seen)
    front = placement.point((0.0, true.handle.front / 2))
    exchanged = Clicked(tuple(mm[1]), tuple(mm[0]), tuple(mm[2]), mm[3:], front)
    with pytest.raises(TraceError, match="swapped"):
        trace(family("petty"), exchanged)
    assert not trace(family("petty"), of(mm, front)).doubtful
    squeezed = mm * (1.0, 3.0)  # as with a sheet taken lengthways for one across
    found = trace(family("petty"), of(squeezed))
    assert found.doubtful and found.slips > 8


def test_of_several_families_the_nearest_comes_first():
    true = knife("petty", KNIVES["petty"])
    seen, _ = clicked(true, Placement(150.0, 100.0), 30, 0.5, 7)
    mm = plane_of_sheet([tuple(p) for p in camera(CORNERS)], *A4).mm(seen)
    told = []
    three = [family(name) for name in ("puukko-type", "petty", "kiridashi")]
    found = best_of(three, of(mm), lambda tried: not told.append(tried))
    assert found[0].template.family == "petty"
    assert told == [1, 2, 3]
    assert len(best_of(three, of(mm), lambda tried: tried < 2)) == 2  # it stops when it is told to


def test_a_slip_does_not_choose_the_family():
    true = knife("petty", KNIVES["petty"])
    seen, _ = clicked(true, Placement(150.0, 100.0), 30, 0.0, 7)
    seen[10] += (60.0, -45.0)
    mm = plane_of_sheet([tuple(p) for p in camera(CORNERS)], *A4).mm(seen)
    found = best_of([family(name) for name in ("meat-cleaver", "kiridashi", "petty")], of(mm), lambda tried: True)
    assert found[0].template.family == "petty"
