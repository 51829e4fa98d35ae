"""Stencils: slots never meet, every figure is there, the plate is one piece."""

import string

import pytest
from shapely.geometry import Polygon

from workbook.geometry.path import flatten
from workbook.sheets.stencil import stencil

TALL = 10.0


def slots(word):
    plate, *found = (Polygon(flatten(mark.path, 0.01)) for mark in stencil([word], TALL))
    return plate, found


@pytest.mark.parametrize("letter", string.ascii_uppercase + string.digits + "-")
def test_between_any_two_slots_a_bridge_is_left(letter):
    """0.45 of a slot, here half a millimetre; so no island falls out of the plate."""
    plate, found = slots(letter)
    assert found
    for i, one in enumerate(found):
        assert plate.contains(one)
        assert all(one.distance(other) > 0.4 for other in found[i + 1 :])
    left = plate
    for one in found:
        left = left.difference(one)
    assert left.geom_type == "Polygon"  # one piece
    assert min(one.area for one in found) > 0.8 * 1.1**2  # none is shortened to a dot


def test_no_two_figures_look_the_same():
    seen = {}
    for letter in string.digits + "ABCDEFGHJKLMNPQRTUVWXY":
        shape = tuple(sorted(tuple(round(v, 1) for v in one.bounds) for one in slots(letter)[1]))
        assert shape not in seen, (letter, seen.get(shape))
        seen[shape] = letter


def test_words_stand_in_rows_on_a_plate():
    plate, found = slots("T1")
    many = [Polygon(flatten(mark.path, 0.01)) for mark in stencil([f"T{n}" for n in range(1, 40)], TALL)]
    assert many[0].bounds[2] - many[0].bounds[0] <= 200.0 + 12.0
    assert many[0].bounds[3] - many[0].bounds[1] > plate.bounds[3] - plate.bounds[1]
    assert all(many[0].contains(one) for one in many[1:])
    assert found
