"""Blades cut from a block by planes and wheels as their grind is defined (ground.py), beside what the program says of them.

What the program holds between its own stations is within 0.001 mm; its volumes within a quarter of a per cent and its
centres within a thousandth of the knife's length: how gently the angle settles in the last half inch is its own affair, and
between stations the hull of two sections takes a hair too much.
"""

from functools import cache

import numpy as np
import pytest

from tests.counts import some, tries
from tests.external import ground as cut
from workbook.geometry.polygon import of_points
from workbook.grind.field import height_field
from workbook.grind.handle_mass import Densities
from workbook.grind.mass import masses
from workbook.grind.section import section
from workbook.grind.stations import State
from workbook.template.model import Bevel, Held, TangForm, Taper

DENSITIES = Densities(steel=7.85, scales=1.35, fasteners=8.5, epoxy=1.15)
STATES = (State.BEFORE, State.FINISHED)
GRINDS = {
    "full flat": ("petty", ()),
    "flat to a height": ("camp-bowie", ()),
    "hollow, tapered tang": ("skinner", (("tang.form", TangForm.TAPERED),)),
    "single bevel": ("kiridashi", ()),
    "convex": ("petty", (("grind.bevel", Bevel.CONVEX),)),
    "tapered after hardening": ("chefs", (("grind.taper", Taper.AFTER),)),
    "flat, the edge straight": ("wharncliffe-utility", ()),
    "full flat, long": ("slicer", ()),
    "single bevel, tapered": ("steak", (("grind.bevel", Bevel.SINGLE),)),
    "convex, tall": ("meat-cleaver", ()),
    "flat, no point": ("vegetable-cleaver", ()),
}
FEW = list(GRINDS)[: tries(2, len(GRINDS))]


@cache
def made(name, changes, state):
    """The blank and its pieces."""
    blank = cut.with_wall(name, changes)
    return blank, cut.ground(blank, state)


def told(blank, state):
    """The program's solid."""
    weighed = masses(blank, blank.thickness, DENSITIES)
    return weighed.finished if state is State.FINISHED else weighed.before


def read(blank, state, x, y):
    """The thickness the program's height field has at a place."""
    field = height_field(blank, blank.thickness, state, np.array([x]), np.array([y]))
    return float(field.right[0, 0] - field.left[0, 0])


def stations(blank, pieces, count=8):
    """Where pieces begin, from the heel to half an inch behind the point, as their sections are exact there."""
    there = [p.begin + 1e-7 for p in pieces[2:] if p.begin < blank.template.blade.length - cut.STATION - 0.5]
    return there[:: max(1, len(there) // count)]


def places(blank, pieces):
    """Places up each of those stations, a little off the edge and the spine."""
    for x in stations(blank, pieces):
        low, high = cut.span(blank, x)
        yield from ((x, y) for y in np.linspace(low + 0.3, high - 0.3, 9))


@pytest.mark.outside("manifold3d: the outline extruded and cut by planes and wheels; trimesh: its centre of mass")
@pytest.mark.parametrize("state", some(STATES, 1))
@pytest.mark.parametrize("grind", FEW)
def test_a_blade_cut_from_the_block_weighs_and_balances_the_same(grind, state):
    blank, pieces = made(*GRINDS[grind], state)
    volume, x, y = cut.weighed(pieces)
    solid, (x0, _, x1, _) = told(blank, state), blank.extent()
    assert solid.volume == pytest.approx(volume, rel=2.5e-3)
    assert solid.centre[:2] == pytest.approx((x, y), abs=1e-3 * (x1 - x0))


@pytest.mark.outside("manifold3d: rays through the cut block")
@pytest.mark.parametrize("state", some(STATES, 1))
@pytest.mark.parametrize("grind", FEW)
def test_it_is_as_thick_wherever_it_is_measured(grind, state):
    blank, pieces = made(*GRINDS[grind], state)
    for x, y in places(blank, pieces):
        assert read(blank, state, x, y) == pytest.approx(cut.thickness(pieces, x, y), abs=1e-3)


@pytest.mark.outside("manifold3d: the cut block sliced across")
@pytest.mark.parametrize("grind", FEW)
def test_its_sections_have_the_same_area(grind):
    blank, pieces = made(*GRINDS[grind], State.FINISHED)
    for x in stations(blank, pieces):
        shown = of_points(section(blank, blank.thickness, x, State.FINISHED).polygon).area
        assert shown == pytest.approx(cut.section_area(pieces, x), rel=1e-3)


@pytest.mark.outside("manifold3d: what is cut off between the two states, in grams")
@pytest.mark.parametrize("grind", FEW[:2])
def test_as_much_is_ground_off_after_hardening(grind):
    name, changes = GRINDS[grind]
    before, finished = (cut.weighed(made(name, changes, state)[1])[0] for state in (State.BEFORE, State.FINISHED))
    blank = made(name, changes, State.FINISHED)[0]
    assert masses(blank, blank.thickness, DENSITIES).ground_after == pytest.approx(before - finished, rel=0.01)


@pytest.mark.outside("manifold3d: rays through the flats on both sides of an upright wall")
def test_nothing_is_ground_behind_the_plunge():
    blank, pieces = made("bushcraft", (), State.FINISHED)
    heel, (low, high) = blank.template.heel.ahead, cut.span(blank, blank.template.heel.ahead + 0.2)
    for y in np.linspace(low + 1, high - 1, 9):
        for x in (heel - 0.2, heel + 0.2):
            assert read(blank, State.FINISHED, x, y) == pytest.approx(cut.thickness(pieces, x, y), abs=1e-3)
    assert cut.thickness(pieces, heel - 0.2, low + 1) == pytest.approx(blank.thickness - 0.2, abs=1e-6)
    assert cut.thickness(pieces, heel + 0.2, low + 1) < 0.5


@pytest.mark.outside("manifold3d: planes from the spine down to a swedge's whole height")
def test_a_swedge_is_as_thick_wherever_it_is_measured():
    changes = (("grind.swedge", 45.0), ("grind.height", 17.0))
    blank, pieces = made("drop-point-hunter", changes, State.FINISHED)
    there = [x for x in stations(blank, pieces, 99) if x > cut.swedge_whole(blank)]
    assert len(there) > 3
    for x in there:
        low, high = cut.span(blank, x)
        for y in np.linspace(low + 0.3, high - 0.1, 15):
            assert read(blank, State.FINISHED, x, y) == pytest.approx(cut.thickness(pieces, x, y), abs=1e-3)


@pytest.mark.outside("manifold3d: planes along the edge's tangents, at the bevel's angle square to it")
@pytest.mark.parametrize(
    ("name", "changes", "share"),
    [
        ("bushcraft", (), 0.3),
        ("puukko-type", (), 0.4),
        ("bushcraft", (), 0.9),
        ("puukko-type", (), 0.9),
        ("skinner", (("grind.bevel", Bevel.FLAT), ("grind.held", Held.ANGLE), ("blade.point_thickness", 0.0)), 0.8),
    ],
)
def test_a_bevel_held_by_its_angle_is_cut_by_planes(name, changes, share):
    """At a share of the edge's length, at places square to it up to nearly the grind line: within 0.01 mm."""
    blank, pieces = made(name, changes, State.FINISHED)
    edge, along = cut.edge_at(blank, share * cut.edge_length(blank))
    for up in (2.0, 5.0, 7.0, 12.0, 16.0):
        x, y = edge + up * np.array((-along[1], along[0]))
        low, high = cut.span(blank, x)
        if low < y < high - 0.3:
            assert read(blank, State.FINISHED, x, y) == pytest.approx(cut.thickness(pieces, x, y), abs=0.01)


@pytest.mark.outside("manifold3d: a wheel stood at every place of the edge, its plane square to it")
@pytest.mark.parametrize("share", some([0.8, 0.6, 0.1], 1))
def test_a_hollow_bevel_is_cut_by_a_wheel_square_to_the_edge(share):
    """At a share of the edge's length, a skinner on a wheel of 254 mm, its angle held: within 0.01 mm."""
    changes = (("grind.held", Held.ANGLE), ("blade.point_thickness", 0.0), ("grind.wheel", 254.0))
    blank = cut.with_wall("skinner", changes)
    place = share * cut.edge_length(blank)
    (edge, along), piece = cut.edge_at(blank, place), cut.cut_by_a_wheel(blank, State.FINISHED, place)
    for up in (4.0, 8.0, 12.0):
        x, y = edge + up * np.array((-along[1], along[0]))
        assert read(blank, State.FINISHED, x, y) == pytest.approx(cut.thickness([piece], x, y), abs=0.01)
