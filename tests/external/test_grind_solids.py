"""The volume and balance of ground steel against two independent solids: trimesh, lofted through the sections, and a count of
columns of the height field inside the outline (shapely). Both agree within a thousandth."""

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
from workbook.grind.section import section
from workbook.grind.stations import State
from workbook.template.model import Bevel, Taper

DENSITIES = Densities(steel=7.85, scales=1.35, fasteners=8.5, epoxy=1.15)
STEP = 0.15  # mm of a column
VARIANTS = [
    ("drop-point-hunter", {"grind.swedge": 45.0, "grind.height": 17.0}),
    ("chefs", {"grind.held": "angle", "grind.taper": Taper.AFTER}),
    ("petty", {"grind.bevel": Bevel.CONVEX}),
    ("steak", {"grind.bevel": Bevel.SINGLE, "heel.plunge_rake": 20.0}),
    ("skinner", {"heel.plunge_rake": -15.0, "tang.form": "tapered"}),
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
    return whole * wide * tall, (thick * places[0]).sum() / whole, (thick * places[1]).sum() / whole


def middles(low, high, step):
    """Middles of columns that fill a span exactly, and how wide they are."""
    count = int(np.ceil((high - low) / step))
    return low + (np.arange(count) + 0.5) * (high - low) / count, (high - low) / count


@pytest.mark.own_working("the program's own sections and height field, added up another way")
@pytest.mark.parametrize("state", [State.BEFORE, State.FINISHED])
@pytest.mark.parametrize(("name", "changes"), [*((name, {}) for name in some(family_ids(), 6)), *VARIANTS])
def test_columns_of_the_height_field_add_up_to_the_same_steel(name, changes, state):
    blank = blank_of(name, changes)
    made = solid_of(blank, state)
    volume, x, y = counted(blank, state)
    long = blank.extent()[2] - blank.extent()[0]
    assert made.volume == pytest.approx(volume, rel=1e-3)
    assert made.centre[:2] == pytest.approx((x, y), abs=1e-3 * long)


@pytest.mark.own_working("the program's own sections and height field, added up another way")
@pytest.mark.parametrize("state", [State.BEFORE, State.FINISHED])
@pytest.mark.parametrize(("name", "changes"), [("petty", {}), ("skinner", {}), ("bushcraft", {}), ("kiridashi", {}), *VARIANTS])
def test_a_mesh_through_the_sections_holds_the_same_blade(name, changes, state):
    """From just ahead of the plunge to just behind the point: trimesh's volume and centre against those of the columns there."""
    blank = blank_of(name, changes)
    template = blank.template
    begin = template.heel.ahead + 0.4 * (template.blade.length - template.heel.ahead)
    stations = np.linspace(begin, template.blade.length - 1.0, 160)
    mesh = lofted([faces_at(blank, float(x), state) for x in stations], stations)
    assert mesh.is_watertight
    x, (y, high) = (stations[:-1] + stations[1:]) / 2, middles(blank.extent()[1], blank.extent()[3], 0.04)
    field = height_field(blank, blank.thickness, state, x, y)
    inside = shapely.contains_xy(polygon(blank.outline, 0.001), *np.meshgrid(x, y))
    tall = np.where(inside, field.right - field.left, 0.0)
    volume = tall.sum() * high * (stations[1] - stations[0])
    assert mesh.volume == pytest.approx(volume, rel=1e-3)
    assert mesh.center_mass[0] == pytest.approx((tall * x).sum() / tall.sum(), abs=1e-3 * template.blade.length)


def faces_at(blank, x, state, count=60):
    """A section as a ring of `count` corners up each face."""
    corners = section(blank, blank.thickness, x, state).polygon
    low, high = corners[:, 0].min(), corners[:, 0].max()
    up = np.linspace(low, high, count)
    turn = int(np.argmax(corners[:, 0]))  # the left face runs up to here, the right one down again
    left, right = corners[: turn + 1], corners[turn + 1 :][::-1]
    if left[0, 0] > low + 1e-9:  # a zero edge is one corner, of either face
        left = np.vstack((right[:1], left))
    elif right[0, 0] > low + 1e-9:
        right = np.vstack((left[:1], right))
    left_z, right_z = np.interp(up, left[:, 0], left[:, 1]), np.interp(up, right[:, 0], right[:, 1])
    return np.vstack((np.column_stack((up, left_z)), np.column_stack((up, right_z))[::-1]))


def lofted(rings, stations):
    """A mesh through rings of as many corners each, closed at both ends."""
    n = len(rings[0])
    corners = np.vstack([np.column_stack((np.full(n, x), ring)) for x, ring in zip(stations, rings, strict=True)])
    sides = []
    for s in range(len(rings) - 1):
        for i in range(n):
            a, b = s * n + i, s * n + (i + 1) % n
            sides += [(a, b, a + n), (b, b + n, a + n)]
    caps = []
    for first, turned in ((0, True), ((len(rings) - 1) * n, False)):
        for i in range(n // 2 - 1):
            a, b, c, d = first + i, first + i + 1, first + n - 1 - i, first + n - 2 - i
            caps += [(a, c, b), (b, c, d)] if turned else [(a, b, c), (b, d, c)]
    import trimesh  # it takes a second, and every worker collects all tests

    mesh = trimesh.Trimesh(vertices=corners, faces=np.array(sides + caps), process=False)
    mesh.fix_normals()
    return mesh
