"""Clearance: what is clear is told from what is not as shapely's distances tell it, and a quick no is never wrong."""

import numpy as np
import pytest
from shapely.affinity import translate
from shapely.geometry import Polygon

from workbook.geometry.clearance import Surroundings

DISTANCE = 2.0


def blob(chance, x, y):
    """A round shape with bumps."""
    angles = np.linspace(0.0, 2 * np.pi, 40, endpoint=False)
    radius = 10.0 + chance.uniform(-2.0, 2.0, 40)
    return Polygon(np.column_stack([x + radius * np.cos(angles), y + radius * np.sin(angles)]))


@pytest.mark.parametrize("seed", range(8))
def test_a_quick_no_is_never_wrong_and_a_yes_nearly_right(seed):
    chance = np.random.default_rng(seed)
    others = [blob(chance, *chance.uniform(-60, 60, 2)) for _ in range(6)]
    shape, towards = blob(chance, 0.0, 0.0), np.array(others[0].centroid.coords[0])
    direction, steps = tuple(towards / np.hypot(*towards)), [float(step) for step in range(90)]
    around = Surroundings(others, DISTANCE)
    told = around.maybe_clear(shape, direction, steps)
    for step, may in zip(steps, told, strict=True):
        moved = translate(shape, direction[0] * step, direction[1] * step)
        gap = min(moved.distance(other) for other in others)
        assert around.clear(moved) == (gap >= DISTANCE)
        assert may or gap < DISTANCE
        assert not may or gap >= DISTANCE - 1.0
    assert not all(told)


def test_alone_all_is_clear():
    around = Surroundings([], DISTANCE)
    shape = blob(np.random.default_rng(0), 0.0, 0.0)
    assert around.clear(shape)
    assert around.maybe_clear(shape, (1.0, 0.0), [0.0, 5.0]) == [True, True]
