"""Names, limits and grits of the tables against published lists, typed from those and not from the tables."""

import re

import pytest

from workbook.formats.look_up import celsius, fact_tables
from workbook.formats.tables import facts

CATALOGUE = "a machine shop's published catalogue of material norms: W.-Nr., EN ISO"
OPEN_LIST = "a published list of materials: EN name, number, AISI, density"
EQUALS = "a published table of equals: GB, ASTM, DIN, JIS"
SECOND = {  # W.-Nr.: EN or DIN name, main name, where it was read
    "1.3505": ("100Cr6", "52100", CATALOGUE),
    "1.2210": ("115CrV3", "115CrV3", CATALOGUE),
    "1.2842": ("90MnCrV8", "O2", CATALOGUE),
    "1.2379": ("X153CrMoV12", "D2", CATALOGUE),
    "1.3343": ("HS6-5-2C", "M2", CATALOGUE),
    "1.4034": ("X46Cr13", "X46Cr13", CATALOGUE),
    "1.4112": ("X90CrMoV18", "X90CrMoV18", CATALOGUE),
    "1.8159": ("51CrV4", "51CrV4", CATALOGUE),
    "1.2510": ("100MnCrW4", "O1", OPEN_LIST),
    "1.4125": ("X105CrMo17", "440C", OPEN_LIST),
    "1.2363": ("X100CrMoV5", "A2", EQUALS),
    "1.1248": ("C75S", "C75S", "a strip mill's page on high carbon steel to EN 10132-4"),
    "1.1274": ("C100S", "C100S", "a mill datasheet of spring strip to EN 10132-4"),
    "1.4116": ("X50CrMoV15", "X50CrMoV15", "a material data page"),
    "1.4037": ("X65Cr13", "X65Cr13", "a mill datasheet to EN 10088-3"),
    "1.2235": ("80CrV2", "80CrV2", "a page on heat treating it"),
    "1.2003": ("75Cr1", "75Cr1", "a page quoting DIN 17350:1980"),
    "1.5634": ("75Ni8", "75Ni8", "a page on band-saw steel"),
}
UNS = {  # published pages on each steel, and tables to ASTM A276, A681, A684, A686
    "W1": "T72301",
    "W2": "T72302",
    "L6": "T61206",
    "S7": "T41907",
    "M2": "T11302",
    "O1": "T31501",
    "O2": "T31502",
    "D2": "T30402",
    "440A": "S44002",
    "440B": "S44003",
    "440C": "S44004",
    "420": "S42000",
    "6150": "G61500",
    "1050": "G10500",
    "1074": "G10740",
    "1095": "G10950",
}


@pytest.mark.parametrize(("number", "row"), SECOND.items())
@pytest.mark.outside("published lists of materials, each named in SECOND")
def test_numbers_and_en_names_are_those_of_a_second_list(number, row):
    en, name, _ = row
    assert facts().steels.named(number).name == facts().steels.named(en).name == name


@pytest.mark.own_working("the table beside the second list")
def test_every_number_of_the_table_is_in_the_second_list():
    numbers = {name for steel in facts().steels.all for name in steel.others if re.fullmatch(r"1\.\d{4}", name)}
    assert numbers == set(SECOND)


@pytest.mark.parametrize(("name", "uns"), UNS.items())
@pytest.mark.outside("published pages of UNS numbers, named beside each")
def test_uns_numbers_are_those_of_published_pages(name, uns):
    assert facts().steels.named(uns) == facts().steels.named(name)


# Least and most of each element in per cent; None where there is no such end.
LIMITS = [
    ("1050", "ASTM A576, a published copy", {"C": (0.48, 0.55), "Mn": (0.60, 0.90)}),
    ("1084", "ASTM A576, a published copy", {"C": (0.80, 0.93), "Mn": (0.60, 0.90)}),
    ("1095", "ASTM A576, a published copy", {"C": (0.90, 1.03), "Mn": (0.30, 0.50)}),
    ("A2", "ASTM A681, a data page", {"C": (0.95, 1.05), "Mn": (0.40, 1.00), "Cr": (4.75, 5.50), "Mo": (0.90, 1.40)}),
    ("M2", "ASTM A600, a handbook's table", {"C": (0.78, 0.88), "Cr": (3.75, 4.50), "Mo": (4.50, 5.50), "V": (1.75, 2.20)}),
    ("440A", "ASTM A276, a mill's table", {"C": (0.60, 0.75), "Cr": (16.0, 18.0), "Mo": (None, 0.75), "Mn": (None, 1.00)}),
    ("C75S", "EN 10132-4, a strip mill's page", {"C": (0.70, 0.80), "Si": (0.15, 0.35), "Mn": (0.60, 0.90), "Cr": (None, 0.40)}),
    ("X46Cr13", "EN 10088-3, a stockist's table", {"C": (0.43, 0.50), "Si": (None, 1.00), "Cr": (12.5, 14.5)}),
]


@pytest.mark.parametrize(("name", "standard", "limits"), LIMITS)
@pytest.mark.outside("the limits of each standard, named beside them")
def test_compositions_have_the_limits_of_their_standard(name, standard, limits):
    composition = next(t for t in fact_tables() if t.title == "Composition of steels")
    row = next(row for row in composition.rows if facts().steels.named(name) in facts().steels.in_cell(row[0]))
    for element, wanted in limits.items():
        assert span(row[composition.heads.index(element)]) == wanted, (standard, element)


def span(cell):
    """Least and most of a cell as ".48-.55 (older ...)" or "1.00 max"."""
    numbers = [float(number) for number in re.findall(r"\d*\.\d+", cell.partition(" (")[0])]
    return (None, numbers[0]) if "max" in cell else tuple(numbers)


@pytest.mark.parametrize(
    ("fahrenheit", "printed"),
    [("1450-1500", "788-816"), ("1400-1450", "760-788"), ("350-500", "177-260"), ("1600", "871"), ("1725", "941")],
)
@pytest.mark.outside("a data page that prints °F and °C beside each other")
def test_degrees_are_those_a_data_page_prints_beside_each_other(fahrenheit, printed):
    """A data page of O1 prints both scales; 1725 F is 940.56 C, 5/9 of 1693."""
    assert celsius(fahrenheit) == printed


@pytest.mark.own_working("arithmetic from °F to °C")
def test_the_table_of_tempering_holds_the_same_temperature_twice():
    tempering = next(t for t in fact_tables() if t.title == "Hardness after tempering")
    for row in tempering.rows:
        assert (float(row[1]) - 32) * 5 / 9 == pytest.approx(float(row[2]), abs=0.56), row


@pytest.mark.parametrize(("grade", "micrometres"), [("#4000", 3.0), ("#6000", 2.0), ("#8000", 1.2)])
@pytest.mark.outside("a published page on the grits of waterstones")
def test_fine_japanese_grits_are_as_coarse_as_a_page_on_waterstones_says(grade, micrometres):
    grits = next(t for t in fact_tables() if t.title == "Grits")
    row = next(row for row in grits.rows if row[0].startswith("JIS") and row[1] == grade)
    assert float(row[grits.heads.index("mean, µm")]) == micrometres
