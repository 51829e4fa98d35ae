"""Distances from a blade's edge: to its nearest place, against shapely's own distance from the drawn edge."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from tests.external.blanks import blank_of
from workbook.geometry.path import Path, flatten
from workbook.grind.square import Square
from workbook.grind.stations import stations
from workbook.template.model import Bevel, Held

ROUND = ("bushcraft", "puukko-type", "skinner", "drop-point-hunter", "petty", "tanto-type")


def held(name):
    """A blade whose angle is held, at stations, and its edge drawn on straight beyond its ends."""
    blank = blank_of(name, {"grind.bevel": Bevel.FLAT, "grind.held": Held.ANGLE})
    first, last = blank.curves.heel[0], blank.curves.point[0]
    at = stations(blank.template, blank.curves, blank.thickness, np.linspace(first, last - 0.5, 60))
    edge = flatten(Path(blank.curves.edge, closed=False), 0.0005)
    beyond = [edge[0] + 300 * (edge[0] - edge[1]), edge[-1] + 300 * (edge[-1] - edge[-2])]
    return at, shapely.LineString(np.vstack((beyond[0], edge, beyond[1])))


@pytest.mark.parametrize("name", ROUND)
def test_it_is_the_distance_to_the_nearest_place(name):
    """Within five thousandths of a millimetre, anywhere from the edge to the spine."""
    at, edge = held(name)
    up = at.height[:, None] * np.linspace(0.02, 1.0, 25)
    places = shapely.points(np.broadcast_to(at.x[:, None], up.shape), at.edge_y[:, None] + up)
    assert at.square.of(up) == pytest.approx(shapely.distance(places, edge), abs=5e-3)


@pytest.mark.parametrize("name", ROUND[:4])
def test_beside_a_round_edge_it_is_less_than_from_the_edge_below(name):
    at, _ = held(name)
    from_below = at.height * at.upright
    assert (at.square.of(at.height) <= from_below + 5e-3).all()
    assert (from_below - at.square.of(at.height)).max() > 0.05


@given(share=st.floats(0.05, 1.0))
def test_the_height_of_a_distance_has_that_distance(share):
    at, _ = held("skinner")
    wanted = share * at.square.of(at.height)
    assert at.square.of(at.square.up_to(wanted)) == pytest.approx(wanted, abs=2e-3)
    both = np.column_stack((wanted, wanted / 2))
    assert at.square.up_to(both)[:, 0] == pytest.approx(at.square.up_to(wanted), abs=1e-9)


def test_where_a_height_is_asked_for_it_is_taken_from_the_tangent_below():
    """By plane trigonometry: the cosine of 30 degrees of what is upright; nothing below the edge is nearer than nothing."""
    cosine = np.full(2, np.sqrt(3) / 2)
    off = Square(upright=cosine, height=np.array([20.0, 10.0]))
    assert off.of(np.array([10.0, 4.0])) == pytest.approx([8.660254, 3.464102], abs=1e-6)
    assert off.up_to(np.array([8.660254, 3.464102])) == pytest.approx([10.0, 4.0], abs=1e-6)


def test_below_the_edge_it_is_negative():
    at, _ = held("skinner")
    assert (at.square.of(np.full(at.x.shape, -1.0)) < 0).all()
