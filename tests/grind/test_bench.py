"""Bench settings: square to the edge, and the shares of steel ground away."""

from math import hypot, tan

import numpy as np
import pytest
import shapely

from tests.grind.test_stations import blank_of
from workbook.formats.family import family_ids
from workbook.geometry.path import upright_span
from workbook.grind.bench import bench
from workbook.grind.section import section
from workbook.grind.stations import State
from workbook.model.grinding import masses_of, piece_of_bar
from workbook.sheets.bench_words import bench_rows, mass_rows
from workbook.structs import replace
from workbook.tasks.demo import demo_job
from workbook.tasks.load import shaped
from workbook.template.model import Bevel, Held
from workbook.template.tools import Owned

_ARCS = (Bevel.HOLLOW, Bevel.CONVEX)


@pytest.mark.parametrize("name", family_ids())
def test_angle_edge_and_height_told_belong_together(name):
    """T - e = faces x h x tan(angle), square to the edge: plane trigonometry."""
    blank = blank_of(name)
    made = bench(blank, blank.thickness, Owned(), ())
    rise = made.faces * made.line_finished * tan(made.angle)
    assert rise == pytest.approx(made.thickness_finished - made.edge_finished, rel=1e-6)


def test_heights_on_a_slanting_edge_are_square_to_it_and_say_so():
    """The edge of this family rises by its own slope, Pythagoras; the height asked for is square to it."""
    blank = blank_of("kiridashi")
    (x0, y0), (x1, y1) = blank.curves.heel, blank.curves.point
    made = bench(blank, blank.thickness, Owned(), ())
    assert made.upright == pytest.approx((x1 - x0) / hypot(x1 - x0, y1 - y0), rel=1e-3)
    assert made.line_finished == pytest.approx(blank.template.grind.height, rel=1e-6)
    assert any("square to the edge" in words for words, _ in bench_rows(made, "mm"))
    assert not any("square" in words for words, _ in bench_rows(bench(blank_of("petty"), 2.0, Owned(), ()), "mm"))


def test_a_spine_that_is_told_never_grows_by_grinding():
    """Where a bevel held by its angle runs over a tapered spine, before and after hardening are both what it leaves there."""
    held = {"grind__bevel": Bevel.FLAT, "grind__held": Held.ANGLE, "grind__height": None, "blade__point_thickness": 1.5}
    blank = blank_of("boning", **held)
    made = bench(blank, blank.thickness, Owned(), ())
    assert 0 < made.taper.finished <= made.taper.before - 2 * blank.template.grind.face_allowance + 1e-6
    assert made.taper.finished < 1.5 - 0.3


def test_a_blank_as_cut_is_a_rectangle_in_section():
    """As thick as its bar about the middle, from edge to spine as the outline is there."""
    blank = blank_of("petty")
    made = section(blank, 2.2, 30.0, State.AS_CUT)
    (low, high), (left, right) = ((float(made.polygon[:, i].min()), float(made.polygon[:, i].max())) for i in (0, 1))
    assert (left, right) == (-1.1, 1.1)
    (bottom,), (top,) = upright_span(blank.outline, np.array([30.0]))
    assert (low, high) == (pytest.approx(float(bottom)), pytest.approx(float(top)))
    assert shapely.Polygon(made.polygon).area == pytest.approx(2.2 * (high - low))


def test_what_is_ground_away_is_told_as_a_share_of_the_blank_and_of_its_piece_of_bar():
    model = shaped(demo_job().job)
    name = model.job.make[0].template
    bar = next(b for b in model.job.bars if b.steel == model.job.make[0].steel)
    x0, _, x1, _ = model.shapes[name].extent()
    hand = model.in_hand(name)
    piece, weighed = piece_of_bar(model, name, hand), masses_of(model, name, hand)
    assert piece == pytest.approx((x1 - x0) * bar.true_width * (bar.measured.least or bar.true_thickness))
    rows = dict(mass_rows(weighed, "mm", piece))
    ground = weighed.ground_before + weighed.ground_after
    assert rows["Ground away, of the blank"] == f"{ground / weighed.cut_to_line.volume:.0%}"
    assert rows["Ground away, of its piece of bar"] == f"{ground / piece:.0%}"
    without = shaped(replace(model.job, bars=(), make=()))
    assert piece_of_bar(without, name, without.in_hand(name)) is None


def test_masses_beside_inches_are_in_ounces_too():
    """1 oz = 28.349523125 g, 1 ozf in = 7.0615518 N mm: NIST SP 811, appendix B."""
    model = shaped(demo_job().job)
    name = model.job.make[0].template
    weighed = masses_of(model, name, model.in_hand(name))
    rows = dict(mass_rows(weighed, "in"))
    assert rows["Steel, finished"].startswith(f"{weighed.blade_mass / 28.349523125:.1f} oz, ")
    assert rows["Moment about the front"] == f"{weighed.moment / 7.0615518:+.1f} oz in"


def test_a_gauge_with_steps_is_set_to_the_nearest_and_what_that_leaves_is_told():
    """Bar 2.0, edge 0.5: 0.75 from each face; in steps of 0.1 that is 0.8, which leaves 2.0 - 1.6 = 0.4; arithmetic."""
    blank = blank_of("petty", grind__edge_before_hardening=0.5)
    exact, stepped = (bench(blank, 2.0, Owned(gauge_step=step), ()) for step in (0.0, 0.1))
    assert (exact.scribe_set, exact.edge_set) == pytest.approx((0.75, 0.5))
    assert (stepped.scribe, stepped.scribe_set, stepped.edge_set) == pytest.approx((0.75, 0.8, 0.4))
    assert dict(bench_rows(stepped, "mm"))["Scribe from each face"] == "0.80 mm"
    single = bench(blank_of("kiridashi"), 3.5, Owned(gauge_step=0.25), ())
    assert (single.scribe_set, single.edge_set) == (0.5, 0.5)
