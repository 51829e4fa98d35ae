"""The job file: its documented example with every value, its defaults, and whatever else may stand in it."""

import tomllib
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.formats.jobs import LEAST, job
from workbook.formats.family import family
from workbook.formats.tables import facts
from workbook.problems import JobError
from workbook.shop.job import Cutting, Edges
from workbook.tasks.sheets import saw_radius
from workbook.template.model import Bevel, Purpose, Rolling
from workbook.units import INCH

EXAMPLE = """
[job]
name = "Harbour kitchen run"
units = "in"
currency = "USD"
[saw]
kerf = "1/32 in"
clean_up = "1/16 in"
bar_end = "1/8 in"
bar_edge = "1/16 in"
tilt = 0
cutting = "line"
[[template]]
name = "Petty"
family = "petty"
[template.blade]
length = "5 1/2 in"
height = "1 1/8 in"
thickness = "5/64 in"
[template.handle]
length = "4 5/8 in"
[template.grind]
bevel = "flat"
height = "full"
edge_before_hardening = "0.020 in"
edge_before_sharpening = "0.008 in"
face_allowance = "0.004 in"
edge_angle = 15
wheel = "10 in"
[[template.hole]]
purpose = "pin"
size = "1/4 in"
x = "-1 in"
y = 0
[[bar]]
name = "52100 5/64 x 2 x 36"
steel = "52100"
thickness = "5/64 in"
width = "2 in"
length = "36 in"
price = "31.00"
have = 2
buy = true
measured = { thickness = 0.0775, width = 2.004, length = 36.06 }
[[make]]
template = "Petty"
steel = "52100"
quantity = 5
"""


def test_the_example_of_the_documentation_loads_with_its_values():
    found = job(EXAMPLE)
    (petty,), (bar,), (make,) = found.templates, found.bars, found.make
    assert (found.name, found.unit, found.currency) == ("Harbour kitchen run", "in", "USD")
    saw = (found.saw.kerf, found.saw.clean_up, found.saw.bar_end, found.saw.bar_edge, found.saw.tilt)
    assert saw == pytest.approx((INCH / 32, INCH / 16, INCH / 8, INCH / 16, 0.0))
    assert found.saw.cutting is Cutting.LINE
    sizes = (petty.blade.length, petty.blade.height, petty.blade.thickness, petty.handle.length)
    assert sizes == pytest.approx((5.5 * INCH, 1.125 * INCH, 5 / 64 * INCH, 4.625 * INCH))
    grind = petty.grind
    assert (grind.bevel, grind.height, grind.edge_angle) == (Bevel.FLAT, None, 15.0)
    fine = (grind.edge_before_hardening, grind.edge_before_sharpening, grind.face_allowance, grind.wheel)
    assert fine == pytest.approx((0.020 * INCH, 0.008 * INCH, 0.004 * INCH, 254.0))
    (hole,) = petty.holes
    assert (hole.purpose, hole.size, hole.x, hole.y) == (Purpose.PIN, 6.35, -25.4, 0.0)
    assert (bar.name, bar.steel, bar.price, bar.have, bar.buy) == ("52100 5/64 x 2 x 36", "52100", Decimal("31.00"), 2, True)
    assert (bar.thickness, bar.width, bar.length) == pytest.approx((5 / 64 * INCH, 2 * INCH, 36 * INCH))
    assert (bar.true_thickness, bar.true_width, bar.true_length) == pytest.approx((0.0775 * INCH, 2.004 * INCH, 36.06 * INCH))
    assert (make.template, make.steel, make.quantity) == ("Petty", "52100", 5)


def test_what_is_left_out_stays_as_the_family_has_it():
    petty = job(EXAMPLE).templates[0]
    assert petty.point == family("petty").point
    assert petty.handle.palm == family("petty").handle.palm
    assert job(LEAST).templates[0].patterns == family("petty").patterns


def test_the_least_job_has_its_defaults_and_says_so():
    found = job(LEAST)
    assert (found.name, found.unit, found.currency, found.make[0].quantity) == ("Untitled job", "in", "USD", 1)
    assert found.saw.edge_margin == found.saw.clean_up == INCH / 16
    assert (found.bars[0].have, found.bars[0].buy, found.make[0].steel) == (0, True, "1095")
    defaults = dict(found.defaults)
    assert defaults["saw.kerf"] == "0.031 in"
    assert defaults["make[1].quantity"] == "1"
    assert defaults["make[1].steel"] == "1095"
    assert "bar[1].width" not in defaults


def test_a_bar_on_the_rack_is_not_bought_again_unless_it_is_said():
    assert job(LEAST.replace('steel = "1095"', 'steel = "1095"\nhave = 1')).bars[0].buy is False
    assert job(LEAST.replace('steel = "1095"', 'steel = "1095"\nhave = 1\nbuy = true')).bars[0].buy is True


@pytest.mark.parametrize(
    ("unit", "number", "mm"),
    [
        ("in", "36", 914.4),
        ("in", "36.0625", 915.9875),
        ("in", "120", 3048.0),
        ("mm", "50", 50.0),
        ("mm", "99.999999", 99.999999),
        ("mm", "120", 120.0),
        ("mm", "914.4", 914.4),
        ("mm", "1100", 1100.0),
    ],
)
def test_a_bare_number_is_in_the_jobs_unit(unit, number, mm):
    text = f'[job]\nunits = "{unit}"\n' + LEAST.replace('"900 mm"', number)
    assert job(text).bars[0].length == pytest.approx(mm, rel=1e-9)


values = st.one_of(
    st.integers(), st.floats(), st.booleans(), st.text(max_size=8), st.lists(st.integers(), max_size=2), st.just({}), st.none()
)
keys = st.sampled_from(
    ["name", "units", "kerf", "family", "length", "blade", "hole", "steel", "measured", "price", "quantity", "outline", "x"]
)
tables = st.dictionaries(keys, values, max_size=5)


top = ("job", "saw", "settings", "template", "bar", "make")
anything = st.one_of(values, tables, st.lists(tables, max_size=2))


@given(st.fixed_dictionaries({}, optional=dict.fromkeys(top, anything)))
def test_whatever_stands_in_the_tables_is_a_job_or_a_list_of_mistakes(data):
    text = "\n".join(line for name, value in data.items() for line in written(name, value))
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return
    try:
        assert job(text).templates
    except JobError as trouble:
        assert all(m.place and m.what for m in trouble.mistakes)


def written(name, value):
    """Lines of TOML for a table, tables or a value at the top."""
    if isinstance(value, dict):
        yield from [f"[{name}]", *(f"{k} = {plain(v)}" for k, v in value.items())]
    elif isinstance(value, list) and value and isinstance(value[0], dict):
        for item in value:
            yield from [f"[[{name}]]", *(f"{k} = {plain(v)}" for k, v in item.items())]
    else:
        yield f"{name} = {plain(value)}"


def plain(value):
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return '"' + "".join(f"\\u{ord(c):04x}" if ord(c) < 0x10000 else f"\\U{ord(c):08x}" for c in value) + '"'
    return '"none"' if value is None else str(value)


def test_how_a_blank_may_lie_to_the_rolling_is_a_templates_own():
    assert job(LEAST).templates[0].rolling is Rolling.ALONG
    told = LEAST.replace('family = "petty"', 'family = "petty"\nrolling = "across"')
    assert job(told).templates[0].rolling is Rolling.ACROSS
    with pytest.raises(JobError, match=r"template\[1\]\.rolling"):
        job(LEAST.replace('family = "petty"', 'family = "petty"\nrolling = "round"'))


def test_edges_of_each_kind_have_their_own_margin():
    text = LEAST.replace('width = "50 mm"', 'width = "50 mm"\nedges = "EDGES"') + "[saw]\nbar_edge = 0.1\nsawn_edge = 0.2\n"
    margins = {}
    for edges in ("mill", "sawn", "sheared"):
        read = job(text.replace("EDGES", edges))
        margins[edges] = read.saw.margin_of(read.bars[0].edges)
    assert margins == pytest.approx({"mill": 2.54, "sawn": 5.08, "sheared": 3.175})
    wide = job(LEAST + "[saw]\nbar_edge = 0.5\n").saw
    assert wide.margin_of(Edges.SHEARED) == wide.margin_of(Edges.SAWN) == pytest.approx(12.7)


def test_a_band_is_read_and_a_radius_of_the_makers_own_counts_before_it():
    read = job(LEAST + '[saw]\nband = "1/4 in"\n')
    assert saw_radius(read.saw, facts()) == pytest.approx(0.625 * 25.4)
    assert saw_radius(job(LEAST + '[saw]\nband = "1/4 in"\ntightest_radius = 0.5\n').saw, facts()) == pytest.approx(12.7)
    assert saw_radius(job(LEAST).saw, facts()) is None
