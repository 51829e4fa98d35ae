"""The shipped tables and small formulas against published figures."""

from math import radians

import pytest

from workbook.formats.tables import facts
from workbook.geometry.path import Arc, arc_circle, fillet_bulge, segment_points
from workbook.geometry.polygon import of_points
from workbook.sheets.paper import PAPERS
from workbook.shop.job import Bar
from workbook.shop.steel import mass
from workbook.units import INCH

POUND = 453.59237  # g, by definition (1959)


def drill(label):
    return next(d for d in facts().drills if d.label == label)


@pytest.mark.outside("ASME B94.11M, twist drill sizes")
@pytest.mark.parametrize(
    ("label", "inches"),
    [
        ("#13", 0.1850),
        ("#30", 0.1285),
        ("#80", 0.0135),
        ("#1", 0.2280),
        ("F", 0.2570),
        ("Z", 0.4130),
        ("A", 0.2340),
        ("E", 0.2500),
    ],
)
def test_number_and_letter_drills_have_their_standard_sizes(label, inches):
    """ASME B94.11M, twist drill sizes."""
    assert drill(label).diameter == pytest.approx(inches * INCH, abs=5e-5 * INCH)


@pytest.mark.outside("ASME B94.11M: #80 to #1 and A to Z")
def test_there_are_eighty_numbers_and_twenty_six_letters():
    """ASME B94.11M: #80 to #1 and A to Z."""
    labels = {d.label for d in facts().drills}
    assert {f"#{n}" for n in range(1, 81)} <= labels
    assert {chr(c) for c in range(ord("A"), ord("Z") + 1)} <= labels
    assert sum(d.series in ("number", "letter") for d in facts().drills) == 106


@pytest.mark.own_working("by definition")
def test_fraction_drills_are_sixty_fourths():
    """n/64 in by definition; 13/64 in is 0.203125 in."""
    assert drill("13/64").diameter == pytest.approx(0.203125 * INCH)
    for d in (d for d in facts().drills if d.series == "fraction"):
        top, _, bottom = d.label.split(" ")[-1].partition("/")
        whole = int(d.label.split(" ")[0]) if " " in d.label else 0
        assert d.diameter == pytest.approx((whole + int(top) / int(bottom or 1)) * INCH, abs=1e-4)


@pytest.mark.own_working("by definition")
def test_metric_drills_are_named_by_their_size():
    assert all(d.diameter == pytest.approx(float(d.label.removesuffix(" mm"))) for d in facts().drills if d.series == "metric")


@pytest.mark.own_working("a rule of our own")
def test_drills_run_from_small_to_large_and_no_label_twice():
    sizes = [d.diameter for d in facts().drills]
    assert sizes == sorted(sizes)
    assert len({d.label for d in facts().drills}) == len(sizes)


@pytest.mark.outside("steel handbooks: 3.40 w t lb/ft")
@pytest.mark.parametrize(
    ("thick", "wide", "pounds"), [(1 / 4, 2, 1.70159), (1 / 8, 1.5, 0.638098), (3 / 16, 1.5, 0.957147), (3 / 32, 2, 0.6381)]
)
def test_a_foot_of_flat_bar_weighs_what_handbooks_say(thick, wide, pounds):
    """Steel handbooks: 3.40 w t lb/ft, from 0.2836 lb/in3 (7.85 g/cm3)."""
    bar = Bar(name="b", steel="1084", thickness=thick * INCH, width=wide * INCH, length=12 * INCH)
    assert mass(bar, facts().density("1084")) / POUND == pytest.approx(pounds, abs=5e-4)
    assert mass(bar, facts().density("1084")) / POUND == pytest.approx(3.40 * wide * thick, rel=2e-3)


@pytest.mark.outside("least allowance for machining of hot-rolled flats, a steel supplier's public table")
@pytest.mark.parametrize(
    ("width", "face"), [(0.5, 0.025), (1, 0.025), (1.5, 0.030), (2, 0.030), (2.5, 0.035), (4, 0.040), (6, 0.050)]
)
def test_hot_rolled_flats_lose_what_the_supplier_table_says(width, face):
    """Least machining allowance on each face before hardening, flats up to 1/2 in thick; a tool-steel supplier's table."""
    assert facts().hot_rolled_skin(3 / 16 * INCH, width * INCH) == pytest.approx(face * INCH)


@pytest.mark.own_working("worked from the same table")
def test_a_hot_rolled_bar_of_3_16_by_1_1_2_has_0_1275_of_sound_steel():
    """Worked from the same table: 0.1875 - 2 x 0.030. Beyond the table nothing is known."""
    assert 3 / 16 - 2 * facts().hot_rolled_skin(3 / 16 * INCH, 1.5 * INCH) / INCH == pytest.approx(0.1275)
    assert facts().hot_rolled_skin(3 / 4 * INCH, 1.5 * INCH) == pytest.approx(0.045 * INCH)
    assert facts().hot_rolled_skin(3 / 16 * INCH, 7 * INCH) is None


@pytest.mark.outside("steel handbooks: 490 lb/ft3, 0.2836 lb/in3")
def test_carbon_steel_weighs_490_pounds_a_cubic_foot():
    """Steel handbooks: 490 lb/ft3, 0.2836 lb/in3."""
    assert facts().densities["carbon steel"] * 30.48**3 / POUND == pytest.approx(490, rel=1e-3)
    assert facts().densities["carbon steel"] * 2.54**3 / POUND == pytest.approx(0.2836, abs=1e-4)


@pytest.mark.own_working("a rule of our own")
def test_a_steel_without_a_row_counts_as_carbon_steel():
    assert facts().density("my own heat") == facts().density(" aisi 1084 ") == 7.85


@pytest.mark.own_working("worked by hand")
def test_area_and_centroid_of_a_polygon():
    """Shoelace formula, worked by hand: area 5.5, centroid (2.030303, 0.757576)."""
    shape = of_points([(0, 0), (4, 0), (4, 1), (1, 2)])
    assert shape.area == pytest.approx(5.5, abs=1e-12)
    assert (shape.centroid.x, shape.centroid.y) == pytest.approx((2.030303, 0.757576), abs=1e-5)


@pytest.mark.outside("ISO 216 and ANSI/ASME Y14.1, paper sizes")
def test_paper_has_its_standard_sizes():
    """ISO 216: A4 210 x 297 mm, 595.276 x 841.890 points. ANSI/ASME Y14.1: A 8.5 x 11 in, 612 x 792 points."""
    points = {name: (p.width / INCH * 72, p.height / INCH * 72) for name, p in PAPERS.items()}
    assert points["a4"] == pytest.approx((595.276, 841.890), abs=1e-3)
    assert points["letter"] == pytest.approx((612, 792))


@pytest.mark.outside("DXF reference, LWPOLYLINE: bulge is the tangent of a quarter of the sweep")
def test_a_quarter_turn_has_a_bulge_of_0_414():
    """DXF reference: bulge is the tangent of a quarter of the sweep."""
    assert fillet_bulge(radians(90)) == pytest.approx(0.41421356237, abs=1e-9)


@pytest.mark.outside("DXF reference, LWPOLYLINE: a bulge of 1 is a half circle")
def test_a_half_circle_over_a_chord_of_two_has_radius_one():
    """DXF reference and plane geometry: r = c (1 + b^2) / 4 b; sagitta b c / 2; positive bulges to the right of the chord."""
    arc = Arc((0.0, 0.0), (2.0, 0.0), 1.0)
    assert arc_circle(arc) == (pytest.approx((1.0, 0.0)), pytest.approx(1.0))
    assert min(y for _, y in segment_points(arc, 0.001)) == pytest.approx(-1.0, abs=0.001)
    shallow = segment_points(Arc((0.0, 0.0), (2.0, 0.0), 0.41421356), 0.0001)
    assert min(y for _, y in shallow) == pytest.approx(-0.414214, abs=1e-4)


@pytest.mark.outside("four public radius charts of band saws")
@pytest.mark.parametrize(("band", "least"), [(1 / 4, 0.625), (1 / 2, 2.5), (3 / 4, 5.5)])
def test_a_band_turns_in_the_radius_that_saw_charts_agree_on(band, least):
    """Four public radius charts (names withheld) agree on these three."""
    assert facts().least_saw_radius(band * INCH) == pytest.approx(least * INCH)


@pytest.mark.own_working("chord and sagitta, worked out for this project")
def test_no_band_is_said_to_turn_tighter_than_its_slot_lets_it():
    """A band of width w in a slot k - t wider than it: R >= w^2 / (8 (k - t)), chord and sagitta; 0.02 in is ample."""
    assert all(radius >= band**2 / (8 * 0.02 * INCH) for band, radius in facts().saw_bands)


@pytest.mark.own_working("a rule of our own")
def test_between_two_bands_of_the_table_the_wider_ones_radius_counts():
    assert facts().least_saw_radius(0.3 * INCH) == pytest.approx(1.5 * INCH)
    assert facts().least_saw_radius(2.5 * INCH) == pytest.approx(2 * 9.875 * INCH)
