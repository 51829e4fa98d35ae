"""Each table to look up beside what is in print: published.csv, and here the two series that are checked whole."""

import pytest

from tests.external.published import UNSEEN, Published, agrees, cells, of_table, published, table
from workbook.formats.look_up import fact_tables
from workbook.formats.tables import facts
from workbook.units import INCH

# ASTM E140, Table 1 (non-austenitic steels), from 68 down to 20 HRC; Brinell (10 mm carbide ball, 3000 kgf) from 65
VICKERS = """940 900 865 832 800 772 746 720 697 674 653 633 613 595 577 560 544 528 513 498 484 471 458 446 434 423 412 402 392
382 372 363 354 345 336 327 318 310 302 294 286 279 272 266 260 254 248 243 238"""
BRINELL = """739 722 705 688 670 654 634 615 595 577 560 543 525 512 496 481 469 455 443 432 421 409 400 390 381 371 362 353 344
336 327 319 311 301 294 286 279 271 264 258 253 247 243 237 231 226"""
ROCKWELL_A = """85.6 85.0 84.5 83.9 83.4 82.8 82.3 81.8 81.2 80.7 80.1 79.6 79.0 78.5 78.0 77.4 76.8 76.3 75.9 75.2 74.7 74.1 73.6
73.1 72.5 72.0 71.5 70.9 70.4 69.9 69.4 68.9 68.4 67.9 67.4 66.8 66.3 65.8 65.3 64.8 64.3 63.8 63.3 62.8 62.4 62.0 61.5 61.0
60.5"""

# ASME B94.11M, ten thousandths of an inch, from #80 up to #1 and thousandths from A to Z
NUMBERS = """135 145 160 180 200 210 225 240 250 260 280 292 310 320 330 350 360 370 380 390 400 410 420 430 465 520 550 595 635
670 700 730 760 785 810 820 860 890 935 960 980 995 1015 1040 1065 1100 1110 1130 1160 1200 1285 1360 1405 1440 1470 1495 1520
1540 1570 1590 1610 1660 1695 1730 1770 1800 1820 1850 1890 1910 1935 1960 1990 2010 2040 2055 2090 2130 2210 2280"""
LETTERS = """234 238 242 246 250 257 261 266 272 277 281 290 295 302 316 323 332 339 348 358 368 377 386 397 404 413"""


def agree(title):
    """Each published value of a table is what the table says."""
    wrong = [(value, cells(value)) for value in of_table(title) if not agrees(value)]
    assert not wrong, wrong
    assert of_table(title)


def column(title, head):
    """A table's column, from the top."""
    shown = table(title)
    return [row[shown.heads.index(head)] for row in shown.rows]


@pytest.mark.outside("a furnace builder's public chart of tool steels (published.csv)")
def test_heat_treatment_of_tool_steels():
    agree("Heat treatment of steels")


@pytest.mark.outside("a toolmaker's handbook and a public datasheet of O1 (published.csv)")
def test_hardness_after_tempering():
    agree("Hardness after tempering")


@pytest.mark.outside("0 °C is 32 °F, 100 °C 212 °F: the scale's two fixed points, scipy.constants.convert_temperature")
def test_tempering_is_as_hot_in_celsius():
    from scipy.constants import convert_temperature  # it takes a moment, and every worker collects all tests

    heats = zip(column("Hardness after tempering", "temper, °F"), column("Hardness after tempering", "temper, °C"), strict=True)
    for fahrenheit, celsius in heats:
        assert float(celsius) == pytest.approx(convert_temperature(float(fahrenheit), "F", "C"), abs=0.5)


@pytest.mark.outside("SAE J403, and a public datasheet of O1 (published.csv)")
def test_composition_of_steels():
    agree("Composition of steels")


@pytest.mark.outside("ASTM E140, Table 1, in a public transcription: all 49 rows")
def test_hardness_scales_compared():
    shown = "Hardness scales compared"
    assert column(shown, "HRC") == [str(hardness) for hardness in range(68, 19, -1)]
    assert column(shown, "HV") == VICKERS.split()
    assert column(shown, "HBW 10 3000") == ["", "", "", *BRINELL.split()]
    assert [float(a) for a in column(shown, "HRA")] == [float(a) for a in ROCKWELL_A.split()]


@pytest.mark.outside("data sheet to ASTM B36, a density table of metals, charts of NEMA laminates (published.csv)")
def test_densities():
    agree("Densities")


@pytest.mark.outside("scipy.constants: the inch and the pound, by definition")
def test_densities_are_the_same_in_pounds_an_inch():
    from scipy import constants  # it takes a moment, and every worker collects all tests

    pound, inch = constants.pound * 1000, constants.inch * 100  # g, cm
    for metric, pounds in zip(column("Densities", "g per cm3"), column("Densities", "lb per in3"), strict=True):
        if "no published" not in metric:
            assert float(pounds) == pytest.approx(float(metric) * inch**3 / pound, abs=6e-5)


@pytest.mark.own_working("one table of the program beside the other")
def test_what_a_knife_is_weighed_with_is_what_is_shown():
    shown = {float(density) for density in column("Densities", "g per cm3") if "no published" not in density}
    assert set(facts().densities.values()) <= shown


@pytest.mark.outside(
    "least allowance per side for machining, hot-rolled flats (ASTM A681): all of it to 1 in thick (published.csv)"
)
def test_steel_to_grind_off_hot_rolled_bars():
    agree("Steel to grind off hot-rolled bars")


@pytest.mark.outside("the same supplier's table: at most 80 % of the allowance is decarburised")
def test_carbon_is_lost_to_four_fifths_of_the_allowance():
    shown = "Steel to grind off hot-rolled bars"
    for allowance, depth in zip(column(shown, "A on thickness faces, in"), column(shown, "max decarb face, in"), strict=True):
        assert float(depth) == pytest.approx(0.8 * float(allowance), abs=1e-9)


@pytest.mark.outside("ASTM A29/A29M-04 (published.csv)")
def test_tolerances_of_bars():
    agree("Tolerances of bars")


@pytest.mark.outside("ASME B94.11M, in a public transcription: all 80 numbers and 26 letters")
def test_every_number_and_letter_drill():
    wanted = {f"#{80 - i}": int(size) / 10_000 for i, size in enumerate(NUMBERS.split())}
    wanted |= {chr(ord("A") + i): int(size) / 1000 for i, size in enumerate(LETTERS.split())}
    shown = dict(zip(column("Drills", "label"), column("Drills", "diameter, in"), strict=True))
    assert {label: float(shown[label]) for label in wanted} == wanted
    used = {d.label: d.diameter for d in facts().drills if d.series in ("number", "letter")}
    assert used == pytest.approx({label: size * INCH for label, size in wanted.items()}, abs=1e-4)


@pytest.mark.outside("ASME B94.11M: the drills' own sizes (published.csv); which drill is taken is common practice")
def test_pins_and_bolts_and_their_holes():
    agree("Pins and bolts and their holes")


@pytest.mark.outside("AISC 360-16, Table J3.4 and J3.3 (published.csv)")
def test_where_holes_may_lie():
    agree("Where holes may lie")


@pytest.mark.outside("a band saw's manual and a how-to guide (published.csv)")
def test_saws_and_cutting():
    agree("Saws and cutting")


@pytest.mark.outside("ISO 6344 / FEPA P and ANSI B74.18, in public charts (published.csv)")
def test_grits():
    agree("Grits")


@pytest.mark.outside("EN 10088-2 and ASTM A480, in public tables (published.csv)")
def test_finishes():
    agree("Finishes")


@pytest.mark.outside("an encyclopaedia article, ISO 8442-5:2004 (published.csv)")
def test_edge_angles():
    agree("Edge angles")


@pytest.mark.outside("Wood Handbook FPL-GTR-190, Tables 4-3, 5-3 and 13-5 (published.csv)")
def test_woods():
    agree("Woods")


@pytest.mark.own_working("C = 1 / (3000 / S - 20), worked out for this project: Table 13-5 agrees with it")
def test_woods_move_as_their_shrinkage_says():
    """Of the woods whose coefficient is worked from the species' own shrinkage, not a group's."""
    shown = table("Woods")
    group = {"shagbark hickory", "white oak", "mesquite"}
    for row in (row for row in shown.rows if row[0] not in group):
        for shrinkage, change in (("shrink radial, %", "C R per pctMC"), ("shrink tangential, %", "C T per pctMC")):
            if row[shown.heads.index(shrinkage)] and row[shown.heads.index(change)]:
                s = float(row[shown.heads.index(shrinkage)])
                assert float(row[shown.heads.index(change)]) == pytest.approx(1 / (3000 / s - 20), abs=1.5e-5), row[0]


@pytest.mark.outside("side hardness after the Wood Handbook, in public lists (published.csv)")
def test_hardness_of_woods():
    agree("Hardness of woods")


@pytest.mark.outside("scipy.constants: the pound-force")
def test_hardness_of_woods_is_the_same_in_newtons():
    from scipy import constants  # it takes a moment, and every worker collects all tests

    shown = "Hardness of woods"
    for pounds, newtons in zip(column(shown, "side hardness, lbf"), column(shown, "side hardness, N"), strict=True):
        assert float(newtons) == pytest.approx(float(pounds) * constants.pound_force, abs=1.0)


@pytest.mark.outside("Fasina and Colley 2008 and a textbook of thermodynamics, in a public table (published.csv)")
def test_quench_oils():
    agree("Quench oils")


@pytest.mark.outside("29 CFR 1910.215, 1910.1026, 1926.52; 30 CFR 56.14115 (published.csv)")
def test_limits_for_health_and_safety():
    agree("Limits for health and safety")


@pytest.mark.own_working("the count of what is checked")
def test_every_table_has_five_published_values_or_says_why_not():
    few = {t.title for t in fact_tables() if len(of_table(t.title)) < 5}
    assert few == set(UNSEEN)
    assert all(value.source for value in published())


@pytest.mark.own_working("the check itself")
@pytest.mark.parametrize(
    ("how", "row", "column", "wrong"),
    [
        ("equal", "black walnut", "shrink radial, %", "5.6"),
        ("0.05", "black walnut", "shrink radial, %", "5.6"),
        ("text", "black walnut", "botanical", "Juglans regia"),
        ("contains", "black walnut", "source", "GTR-999"),
        ("within", "black walnut", "shrink radial, %..shrink tangential, %", "7.9"),
        ("span", "black walnut", "shrink radial, %", "5.6"),
    ],
)
def test_a_wrong_value_is_found(how, row, column, wrong):
    assert not agrees(Published("Woods", row, column, wrong, how, "made up"))
