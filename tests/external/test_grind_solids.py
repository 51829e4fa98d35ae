"""The volume and balance of ground steel beside a count of columns of the program's own height field inside the outline: whether
what it says of thickness adds up, plunges and swedges with it. Whether it says right is test_grind_by_cutting.py's."""

import numpy as np
import pytest
import shapely

from tests.counts import some
from tests.external.blanks import blank_of
from workbook.formats.family import family_ids
from workbook.geometry.path import circle
from workbook.geometry.polygon import polygon
from workbook.grind.field import height_field
from workbook.grind.handle_mass import Densities
from workbook.grind.mass import masses
from workbook.grind.stations import State
from workbook.template.model import Bevel, Held, TangForm, Taper

DENSITIES = Densities(steel=7.85, scales=1.35, fasteners=8.5, epoxy=1.15)
STEP = 0.15  # mm of a column
VARIANTS = [
    ("drop-point-hunter", {"grind.swedge": 45.0, "grind.height": 17.0}),
    ("chefs", {"grind.held": Held.ANGLE, "grind.taper": Taper.AFTER}),
    ("petty", {"grind.bevel": Bevel.CONVEX}),
    ("steak", {"grind.bevel": Bevel.SINGLE, "heel.plunge_rake": 20.0}),
    ("skinner", {"heel.plunge_rake": -15.0, "tang.form": TangForm.TAPERED}),
    ("camp-bowie", {"heel.plunge_rake": 45.0}),
    ("tanto-type", {"heel.plunge_rake": 45.0}),
    ("vegetable-cleaver", {"heel.plunge_rake": -30.0}),
]


def solid_of(blank, state):
    weighed = masses(blank, blank.thickness, DENSITIES)
    return weighed.finished if state is State.FINISHED else weighed.before


def counted(blank, state):
    """Volume and centre of all columns that stand inside the outline and outside its holes."""
    x0, y0, x1, y1 = blank.extent()
    (x, wide), (y, tall) = middles(x0, x1, STEP), middles(y0, y1, STEP)
    field = height_field(blank, blank.thickness, state, x, y)
    places = np.meshgrid(x, y)
    inside = shapely.contains_xy(polygon(blank.outline, 0.001), *places)
    for hole in (*blank.openings, *(circle(h.centre, h.diameter / 2) for h in blank.holes)):
        inside &= ~shapely.contains_xy(polygon(hole, 0.001), *places)
    thick = np.where(inside, field.right - field.left, 0.0)
    whole = thick.sum()
    z = np.where(inside, field.right**2 - field.left**2, 0.0).sum() / 2 / whole
    return whole * wide * tall, (thick * places[0]).sum() / whole, (thick * places[1]).sum() / whole, z


def middles(low, high, step):
    """Middles of columns that fill a span exactly, and how wide they are."""
    count = int(np.ceil((high - low) / step))
    return low + (np.arange(count) + 0.5) * (high - low) / count, (high - low) / count


@pytest.mark.own_working("the program's own sections and height field, added up another way")
@pytest.mark.parametrize("state", [State.BEFORE, State.FINISHED])
@pytest.mark.parametrize(("name", "changes"), [*((name, {}) for name in some(family_ids(), 4)), *VARIANTS])
def test_columns_of_the_height_field_add_up_to_the_same_steel(name, changes, state):
    blank = blank_of(name, changes)
    made = solid_of(blank, state)
    volume, x, y, z = counted(blank, state)
    long = blank.extent()[2] - blank.extent()[0]
    assert made.volume == pytest.approx(volume, rel=1e-3)
    assert made.centre[:2] == pytest.approx((x, y), abs=1e-3 * long)
    assert made.centre[2] == pytest.approx(z, abs=1e-3 * blank.thickness)
