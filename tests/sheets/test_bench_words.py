"""The bench's numbers in words, of settings and masses made up by hand."""

from math import atan, inf, radians
from types import SimpleNamespace

import pytest

from workbook.grind.bench import Bench, Hollow, TaperSetting
from workbook.grind.bevel import Facet, Thinnest
from workbook.sheets.bench_words import (
    angle_words,
    bar_words,
    bench_rows,
    change_words,
    first_rows,
    grams,
    heat_words,
    mass_rows,
    mass_words,
    over_words,
    rest_rows,
)
from workbook.shop.in_hand import InHand, Source
from workbook.structs import replace

MADE = Bench(
    faces=2, bar=2.5, edge_before=0.5, edge_finished=0.3, scribe=1.0, gauge_step=0.0, thickness_before=2.4,
    thickness_finished=2.2, angle=atan(1 / 20), set_angle=atan(1 / 20), line_before=19.0, line_finished=20.5,
    lines_as_set=(18.0, 19.5), blade_height=40.0, upright=1.0, gap=2.0, creep=10.0, face_allowance=0.1, edge_angle=15.0,
    facet=Facet(width=0.6, height=0.55), sharpening=3.8, stone=0.0, rests=(None, None), hollow=None, taper=None, swedge=None,
    readings=(),
)  # fmt: skip
BAR = InHand(source=Source.RACK, thickness=2.45, nominal=2.0, read=True, rack=True, bar="flat", steel="O1")


def rows(unit="mm", **other):
    return dict(bench_rows(replace(MADE, **other), unit))


def test_every_setting_is_said_with_its_number():
    assert rows() == {
        "Scribe from each face": "1.00 mm",
        "Between the two lines": "0.50 mm",
        "Bevel, each side": "2.9°",
        "Bevel slope": "1:20.0",
        "Shim under spine (starting gap)": "2.00 mm",
        "Grind line, before hardening": "19.00 mm",
        "Grind line, finished": "20.50 mm",
        "Grind line climbs, per 0.1 mm off the edge": "1.00 mm",
        "Spine before / finished": "2.40 / 2.20 mm",
        "Edge: before hardening / before sharpening": "0.50 / 0.30 mm",
        "Off each face after hardening": "0.10 mm",
        "Sharpen at, each side": "15°",
        "Edge facet, width / height": "0.60 / 0.55 mm",
        "Height lost, per 0.1 mm off each facet": "0.38 mm",
    }


def test_inches_go_by_the_thousandth():
    """A thousandth off the edge moves a line that rises tenfold by ten, and takes 3.8 off the height."""
    said = rows("in")
    assert said["Grind line climbs, per 0.001 in off the edge"] == "0.010 in"
    assert said["Height lost, per 0.001 in off each facet"] == "0.0038 in"
    assert said["Off each face after hardening"] == "0.0039 in"


def test_what_a_single_bevel_is_set_by():
    single = replace(MADE, faces=1)
    assert first_rows(single, "mm") == [("Scribe one line, from the back", "1.00 mm"), ("Bevel, on its one face", "2.9°")]
    assert dict(bench_rows(single, "mm"))["Sharpen at, on the one face"] == "15°"
    assert rest_rows(single, "mm") == bench_rows(single, "mm")[2:]
    assert rest_rows(MADE, "mm") == bench_rows(MADE, "mm")[3:]
    assert rest_rows(MADE, "mm")[0][0] == rest_rows(single, "mm")[0][0] == "Bevel slope"


def test_a_jig_with_steps_a_slanting_edge_and_a_line_at_the_spine_are_said():
    """8.1 degrees is the rise whose cosine is 0.99."""
    assert rows(set_angle=radians(3.0))["Line with the jig at 3°, before / finished"] == "18.00 / 19.50 mm"
    assert "Grind line, finished, square to the edge" in rows(upright=0.989)
    assert "Grind line, finished" in rows(upright=0.991)
    assert rows(line_finished=40.0)["Grind line, finished"] == "at the spine"
    assert rows(line_finished=39.9)["Grind line, finished"] == "39.90 mm"


def test_a_hollow_its_wheel_and_its_thinnest_place_are_said():
    hollow = Hollow(wheel=250.0, deep=0.4, middle=10.0, thinnest=Thinnest(thickness=0.25, above_edge=4.0))
    said = rows(hollow=hollow)
    assert (said["Contact wheel"], said["Wheel contact, above the edge"]) == ("250.0 mm", "10.00 mm")
    assert (said["Hollow depth, at its middle"], said["Thinnest, above the edge"]) == ("0.40 mm", "0.25 at 4.00 mm")
    assert "Shim under spine (starting gap)" not in said
    for thickness, above in ((0.25, 0.0), (-inf, 4.0)):
        none = replace(hollow, thinnest=Thinnest(thickness=thickness, above_edge=above))
        assert "Thinnest, above the edge" not in rows(hollow=none)


def test_a_taper_a_swedge_a_stone_and_an_edge_of_nothing_are_said():
    said = rows(
        taper=TaperSetting(begins=30.0, before=1.6, finished=1.4), swedge=(45.0, 3.5, 1.1), stone=200.0, rests=(120.0, 130.0)
    )
    assert said["Distal taper begins, from the front"] == "30.0 mm"
    assert said["Spine 12.7 mm behind tip"] == "1.60 / 1.40 mm"
    assert (said["Swedge, length / height"], said["Spine left at the swedge"]) == ("45.0 / 3.5 mm", "1.10 mm")
    assert said["Round stone of 200.0 mm, center to rest"] == "120.00 mm"
    assert said["Same, with the jig's offset"] == "130.00 mm"
    assert "Spine 1/2 in behind tip" in rows("in", taper=TaperSetting(begins=30.0, before=1.6, finished=1.4))
    assert "Edge facet, width / height" not in rows(facet=Facet(width=0.0, height=0.0))
    assert "Edge facet, width / height" not in rows(facet=None)


@pytest.mark.parametrize(
    ("thickness", "said"),
    [
        (2.45, "Bar 2.45, template 2.0 mm: 0.45 mm more to grind, or a thicker blade. Scribe 1.00"),
        (1.9, "Bar 1.90, template 2.0 mm: the blade comes out 0.10 mm thinner. Scribe 1.00"),
        (2.01, ""),
    ],
)
def test_a_bar_of_another_thickness_is_told_with_what_follows(thickness, said):
    assert over_words(replace(BAR, thickness=thickness), MADE, "mm") == said


def test_a_bar_is_named_with_where_it_is_known_from():
    assert bar_words(BAR, "mm") == "on the rack: “flat”, 2.45 mm measured"
    cut = replace(BAR, source=Source.CUT, read=False, serials=("P1", "P2"))
    assert bar_words(cut, "mm") == "P1, P2: cut from “flat”, 2.45 mm nominal: measure yours"
    assert bar_words(replace(BAR, source=Source.NOMINAL, read=False), "mm") == "no suitable bar: 2.45 mm nominal: measure yours"


def weighed(x):
    """100 g of steel ground from 150, 8 in a handle that brings it to 180; 5 and 2 cubic centimetres ground away of 20."""
    return SimpleNamespace(
        balance=(x, 0.0), ground_before=5000.0, ground_after=2000.0, density=8.0, cut_to_line=SimpleNamespace(volume=20_000.0),
        blank_mass=150.0, blade_mass=100.0, knife_mass=180.0, moment=-14.0,
    )  # fmt: skip


def test_masses_and_what_is_ground_away_are_said():
    """5 cm3 of a density of 8 are 40 g; 7 of 20 are 35 %, of a piece of 28 a quarter."""
    said = dict(mass_rows(weighed(-12.34), "mm", 28_000.0))
    assert said["Blank, cut to the line"] == "150 g"
    assert said["With handle"] == "180 g"
    assert said["Balance, behind the handle front"] == "12.3 mm"
    assert said["Moment about the front"] == "-14 N mm"
    assert said["Ground away before hardening"] == "40 g, 5.0 cm³"
    assert said["Ground away after hardening"] == "16.0 g, 2.0 cm³"
    assert said["Ground away, of the blank"] == "35%"
    assert said["Ground away, of its piece of bar"] == "25%"
    assert "Balance, ahead of the handle front" in dict(mass_rows(weighed(0.5), "mm"))
    assert "Ground away, of its piece of bar" not in dict(mass_rows(weighed(0.5), "mm"))


def test_masses_and_volumes_beside_inches():
    """5000 mm3 of 16387.064 to the cubic inch are 0.31; 28.349523125 g to the ounce: NIST SP 811, appendix B."""
    said = dict(mass_rows(weighed(25.4), "in"))
    assert said["Ground away before hardening"] == "40 g, 0.31 in³"
    assert said["Blank, cut to the line"] == "5.3 oz, 150 g"
    assert said["Moment about the front"] == "-2.0 oz in"
    assert mass_words(100.0, "in") == "3.5 oz, 100 g"
    assert [grams(19.96), grams(20.4)] == ["20.0 g", "20 g"]
    assert [change_words(-2.0, "mm"), change_words(-2.0, "in")] == ["-2.0 g", "-0.07 oz"]


def test_heat_is_told_in_celsius_and_beside_inches_in_fahrenheit_first():
    """Nine fifths of 815 are 1467, and 32."""
    assert heat_words(815.0, "mm") == "815 °C"
    assert heat_words(815.0, "in") == "1499 °F (815 °C)"
    assert angle_words(radians(2.86)) == "2.9°"
