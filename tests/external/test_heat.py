"""Heat treatment against standards, published series and rules: enthalpy, oil, tempering, the recipes' table row by row."""

import math
import re

import pytest

from workbook.formats.tables import facts
from workbook.grind.heat import carbon_lost
from workbook.heat.enthalpy import enthalpy
from workbook.heat.oil import Oil, Tank, after, at_once, litres_for, oils_of, rise, stops
from workbook.heat.schedule import schedule_of
from workbook.heat.temper import as_long, falls_evenly, hardness, hours_at, parameter, points_of, temperatures_for
from workbook.model.heating import lost_together, temper_points, tempers_for

CANOLA = Oil(name="canola/rapeseed oil", heat=2050.0, density=897.0, flash="326", source="", sure=80)
MINERAL = Oil(name="mineral quench oil", heat=1884.0, density=870.0, flash="150-200", source="", sure=85)


def fahrenheit(celsius):
    return celsius * 1.8 + 32


def specific(t):
    """EN 1993-1-2, 3.4.1.2: the specific heat of carbon steel, J/(kg K), typed from the standard."""
    if t < 600:
        return 425 + 7.73e-1 * t - 1.69e-3 * t**2 + 2.22e-6 * t**3
    if t < 735:
        return 666 + 13002 / (738 - t)
    if t < 900:
        return 545 + 17820 / (t - 731)
    return 650.0


@pytest.mark.outside("EN 1993-1-2, 3.4.1.2: specific heat, summed here in steps of a hundredth of a degree")
@pytest.mark.parametrize("celsius", [60.0, 200.0, 599.0, 700.0, 740.0, 802.0, 900.0, 1050.0])
def test_the_heat_in_steel_is_the_sum_of_its_specific_heat(celsius):
    count = round((celsius - 20) * 100)
    total = math.fsum(specific(20 + (n + 0.5) * 0.01) * 0.01 for n in range(count))
    assert enthalpy(celsius) == pytest.approx(total / 1000, rel=2e-5)


@pytest.mark.own_working("facts/steel_enthalpy_worked.csv, worked exactly from the same standard")
@pytest.mark.parametrize(
    ("celsius", "heat"), [(100, 37.21), (600, 335.74), (720, 442.14), (735, 475.43), (815, 573.28), (900, 632.06)]
)
def test_the_heat_in_steel_is_as_it_was_worked_before(celsius, heat):
    assert enthalpy(celsius) == pytest.approx(heat, abs=0.006)


@pytest.mark.own_working("facts/checks_additional.csv A013 to A015 and A018, an energy balance")
def test_oil_warms_as_it_was_worked_before():
    for oil, litres, start, mass, hot, wanted in (
        (CANOLA, 3.7854, 54.44, 0.15, 815.0, 11.90),
        (CANOLA, 7.5708, 54.44, 1.0, 802.0, 38.04),
        (MINERAL, 3.7854, 37.78, 0.4536, 843.33, 41.43),
    ):
        assert rise(oil, Tank(litres=litres, depth=300.0, start=start), mass, hot) == pytest.approx(wanted, abs=0.05)
    assert litres_for(CANOLA, 0.5, 815.0, 54.44, 74.44) == pytest.approx(7.455, abs=0.05)


@pytest.mark.outside("the published rule of a US gallon a pound: about 38 °C, 70 °F")
def test_a_gallon_a_pound_warms_by_about_seventy_degrees_fahrenheit():
    warmer = rise(MINERAL, Tank(litres=3.7854, depth=300.0, start=37.78), 0.45359, 843.33)
    assert warmer == pytest.approx(38.0, abs=4.0)


@pytest.mark.own_working("the balance worked the other way: heat out of the steel is heat into the oil")
@pytest.mark.parametrize("mass", [0.05, 0.4, 2.0])
def test_no_heat_is_lost_and_none_made(mass):
    end = after(CANOLA, 8.0, 50.0, mass, 815.0)
    given = mass * (enthalpy(815.0) - enthalpy(end))
    assert given == pytest.approx(8.0 / 1000 * 897 * 2050 / 1000 * (end - 50.0), rel=1e-6)


@pytest.mark.own_working("the sum of masses, one blade more each time")
def test_as_many_blades_as_the_ceiling_lets():
    tank = Tank(litres=8.0, depth=350.0, start=50.0, ceiling=66.0)
    masses = [0.12] * 8
    count = at_once(CANOLA, tank, masses, 802.0)
    assert after(CANOLA, 8.0, 50.0, 0.12 * count, 802.0) <= 66.0 < after(CANOLA, 8.0, 50.0, 0.12 * (count + 1), 802.0)
    assert at_once(CANOLA, Tank(litres=80.0, depth=350.0, start=50.0, ceiling=66.0), masses, 802.0) == 8


@pytest.mark.own_working("what make.md asks to be refused, one by one")
@pytest.mark.parametrize(
    ("oil", "tank", "why"),
    [
        (None, {}, "The oil is unknown"),
        (CANOLA, {"depth": 200.0}, "Too shallow"),
        (CANOLA, {"litres": 0.5}, "Too little oil"),
        (CANOLA, {"start": 70.0}, "at its ceiling already"),
        (MINERAL, {"ceiling": None}, "working ceiling is unknown"),
    ],
)
def test_what_is_dangerous_is_stopped(oil, tank, why):
    usual = {"litres": 8.0, "depth": 350.0, "start": 50.0, "ceiling": 66.0}
    found = stops(oil, Tank(**(usual | tank)), [0.12] * 3, 802.0, 190.0)
    assert any(why in words for words in found)
    assert stops(CANOLA, Tank(**usual), [0.12] * 3, 802.0, 190.0) == []


@pytest.mark.own_working("the table of fluids: no engine oil, no water")
def test_oils_that_are_offered_are_for_quenching_or_for_cooking():
    names = [oil.name for oil in oils_of(facts().rows("look_up/quench_oils"))]
    assert "mineral quench oil" in names
    assert "canola/rapeseed oil" in names
    assert not [name for name in names if "engine" in name or "water" in name or "motor" in name]


def rows_of(steel):
    entry = facts().steels.named(steel)
    return [row for row in facts().rows("look_up/tempering") if entry in facts().steels.in_cell(row["steel"])]


@pytest.mark.outside(
    "ASTM A684 strip table: 1095 drawn at 400 and 600 °F; Hollomon and Jaffe 1945: 0.98 % C, 200 °C, 2.5 h, 62.5 HRC"
)
def test_hardness_lies_in_the_published_bands():
    points = points_of(rows_of("1095"))
    for degrees, wanted in ((400, 62.0), (600, 55.0)):
        low, high = hardness(points, (degrees - 32) / 1.8)
        assert low - 0.05 <= wanted <= high + 0.05
    low, high = hardness(points, 200.0)
    assert low <= 62.5 <= high


@pytest.mark.outside("ASM note on 52100 (2019): 300 to 445 °F give 58 to 64 HRC")
def test_52100_lies_in_its_note():
    points = points_of(rows_of("52100"))
    for degrees in range(300, 446, 5):
        low, high = hardness(points, (degrees - 32) / 1.8)
        assert 57.4 <= low <= high <= 64.1


@pytest.mark.own_working("between two points in proportion, and back")
def test_beyond_the_points_nothing_is_said():
    points = points_of(rows_of("O1"))
    assert hardness(points, points[0].celsius - 1) is None
    assert hardness(points, points[-1].celsius + 1) is None
    middle = (points[1].celsius + points[2].celsius) / 2
    assert hardness(points, middle) == (
        pytest.approx((points[1].low + points[2].low) / 2), pytest.approx((points[1].high + points[2].high) / 2),
    )  # fmt: skip
    (at,) = temperatures_for(points, 60.0)
    assert sum(hardness(points, at)) / 2 == pytest.approx(60.0)
    assert temperatures_for(points, 70.0) == []
    assert hardness((), 200.0) is None


@pytest.mark.outside("Hollomon and Jaffe 1945: T (C + log t); facts/checks C027 and C028 with C = 20, A032 with C = 13")
def test_times_are_reckoned_by_the_parameter():
    at = (400 - 32) / 1.8
    assert parameter(at, 2.0, 20.0) == pytest.approx(9.69566, abs=0.001)
    assert fahrenheit(as_long(at, 4.0, 2.0, 20.0)) == pytest.approx(412.747, abs=0.2)
    assert fahrenheit(as_long(at, 4.0, 2.0)) == pytest.approx(419.456, abs=0.1)


@pytest.mark.own_working("groups of the table of steels")
def test_times_are_not_reckoned_for_what_hardens_again():
    group = {steel.name: steel.group for steel in facts().steels.all}
    for name in ("A2", "D2", "440C", "420", "O1"):
        assert not falls_evenly(group[name]), name
    for name in ("1084", "1095", "52100", "5160"):
        assert falls_evenly(group[name]), name


@pytest.mark.own_working("the table itself, row by row: what was read at a source, and what was not")
def test_no_row_that_was_not_read_gives_an_aim():
    rows = facts().rows("look_up/heat_treatment")
    schedules = [schedule_of(row) for row in rows]
    assert len(schedules) == 38
    unread = [each for each in schedules if not each.read]
    told = {each.steel for each in unread if each.harden is not None}
    assert told == {"AISI 1084", "80CrV2 (1.2235)", "75Ni8 (1.5634)"}
    assert all(each.aim is None for each in unread)
    for each in schedules:
        if each.aim is not None:
            assert each.harden.low - 0.1 <= each.aim <= each.harden.high + 0.1
        if each.harden is not None:
            assert 700 <= each.harden.low <= each.harden.high <= 1250
    named = {each.steel: each for each in schedules}
    o1 = named["AISI O1"]
    assert (fahrenheit(o1.harden.low), fahrenheit(o1.harden.high), fahrenheit(o1.aim)) == pytest.approx((1450, 1500, 1475))
    assert not o1.in_air
    assert named["AISI A2"].in_air
    assert named["AISI D2"].normalise is None
    assert named["8670"].harden is None


@pytest.mark.own_working("the litres that are told, put into the tank")
def test_the_oil_that_is_said_to_be_wanted_is_enough_and_a_litre_less_is_not():
    (words,) = stops(CANOLA, Tank(litres=0.5, depth=350.0, start=50.0, ceiling=66.0), [0.4], 802.0, 190.0)
    litres = float(re.search(r"at least ([\d.]+) liters", words)[1])
    assert stops(CANOLA, Tank(litres=litres, depth=350.0, start=50.0, ceiling=66.0), [0.4], 802.0, 190.0) == []
    assert stops(CANOLA, Tank(litres=litres - 1, depth=350.0, start=50.0, ceiling=66.0), [0.4], 802.0, 190.0) != []


@pytest.mark.own_working("150 and 190 mm and 25 over it, by 25.4")
def test_a_shallow_tank_is_told_in_the_makers_unit():
    shallow = Tank(litres=8.0, depth=152.4, start=50.0, ceiling=66.0)
    (words,) = stops(CANOLA, shallow, [0.12], 802.0, 190.5, "in")
    assert words.startswith("Too shallow: 6 in of oil for 7 1/2 of blade and 63/64 over it.")


@pytest.mark.own_working(
    "three normalises of 10 minutes at 1600 °F and a hardening of 15 at 1500 °F, worked before: 0.0086 to 0.0139 in"
)
def test_carbon_is_lost_as_deep_as_was_worked_before():
    cold, hot = ((each - 32) / 1.8 for each in (1500.0, 1600.0))
    lost = lost_together([*[carbon_lost(hot, 10.0)] * 3, carbon_lost(cold, 15.0)])
    assert [each / 25.4 for each in (lost.least, lost.most)] == pytest.approx([0.0086, 0.0139], abs=2e-4)


@pytest.mark.own_working("one heat of half an hour takes as much carbon as three of ten minutes")
def test_heats_add_up():
    once, thrice = carbon_lost(815.0, 30.0), lost_together([carbon_lost(815.0, 10.0)] * 3)
    assert (thrice.least, thrice.most) == pytest.approx((once.least, once.most))


@pytest.mark.own_working("Hollomon-Jaffe: 4 h at 400 °F temper as 2 h at 419.5 °F (C = 13), so two tempers of 2 h are as 4 h")
def test_tempers_are_added_by_their_hours_at_the_hottest():
    at = (400.0 - 32) / 1.8
    assert hours_at(at, 2.0, at) == pytest.approx(2.0)
    assert as_long(at, 2 * hours_at(at, 2.0, at), 2.0) * 1.8 + 32 == pytest.approx(419.5, abs=0.1)
    assert hours_at(at - 30, 2.0, at) < 1.0


@pytest.mark.own_working("a steel without published points gives no temper for a hardness, and no hardness")
def test_no_temper_is_told_for_a_steel_without_points():
    assert temper_points(facts(), "C100S") == ()
    assert tempers_for(facts(), "C100S", 60.0, [120.0, 120.0]) == []
    assert tempers_for(facts(), "O1", 75.0, [120.0, 120.0]) == []


@pytest.mark.own_working("the table's own rows: A2 has 58 HRC between two of them twice, since it hardens again")
def test_a_steel_that_hardens_again_has_two_tempers_and_the_cooler_comes_first():
    points, found = temper_points(facts(), "A2"), tempers_for(facts(), "A2", 58.0, [120.0, 120.0])
    assert found == sorted(found)
    assert len(found) >= 2
    for at in found:
        assert sum(hardness(points, at)) / 2 == pytest.approx(58.0)


@pytest.mark.own_working("the formula of the standard holds from 20 to 1200 °C: oil colder than that is taken as 20 °C")
def test_cold_oil_is_no_fault():
    assert after(CANOLA, 8.0, 5.0, 0.1, 800.0) == after(CANOLA, 8.0, 20.0, 0.1, 800.0)
    assert at_once(CANOLA, Tank(litres=8.0, depth=300.0, start=5.0, ceiling=65.0), [0.1] * 3, 800.0) == 3


@pytest.mark.own_working("plain steels temper a little cooler where the tempers are longer; what hardens again is not reckoned")
def test_longer_tempers_are_cooler_for_plain_steels_only():
    (short,), (long,) = (tempers_for(facts(), "1095", 60.0, [60.0 * hours]) for hours in (2, 4))
    assert long == pytest.approx((short + 273.15) * 13.301 / 13.602 - 273.15, abs=0.1)  # T (13 + log t) stays
    assert tempers_for(facts(), "O1", 61.0, [120.0]) == tempers_for(facts(), "O1", 61.0, [240.0])
