"""Mistakes in a job file: each is told with its place and what would be right, all of them at once."""

import pytest

from tests.formats.jobs import LEAST, job, told


def test_keys_nobody_knows_are_told_in_the_order_they_stand():
    unknown = [f"key_{letter}" for letter in "qwertyui"]
    text = LEAST.replace("[[make]]", "[[make]]\n" + "".join(f"{key} = 1\n" for key in unknown))
    assert [line.split(":")[0].removeprefix("make[1].") for line in told(text)] == unknown


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('"900 mm"', '"900 furlong"', "bar[1].length: is not a length: “900 furlong”, column 5: “furlong” is not a unit"),
        ('"900 mm"', '"-900 mm"', "bar[1].length: is negative. Allowed:"),
        ('"900 mm"', '"0 mm"', "bar[1].length: must be more than 0."),
        ('"900 mm"', '"99 m"', "bar[1].length: is too large. Allowed:"),
        ('"900 mm"', "true", "bar[1].length: is not a length."),
        ('"900 mm"', "nan", "bar[1].length: is out of range."),
        ('"900 mm"', "inf", "bar[1].length: is out of range."),
        ('"900 mm"', "1e300", "bar[1].length: is out of range."),
        ('"900 mm"', "9" * 400, "bar[1].length: is out of range."),
        ('"900 mm"', '"99999999999999999999 mm"', "bar[1].length: is not a length"),
        ('"900 mm"', "[9]", "bar[1].length: is not a length."),
        ("length =", "lenght =", "bar[1].lenght: unknown key. Did you mean “length”?"),
        ("[[bar]]", "[bars]\n[[bar]]", "bars: unknown key. Did you mean “bar”?"),
        (
            'family = "petty"',
            'family = "pety"',
            "template[1].family: “pety” is not allowed. Did you mean “petty”?",
        ),
        ('family = "petty"', 'family = "zzz"', 'Allowed: "bird-and-trout"'),
        ('name = "Petty"\n', "", "template[1].name: is missing. Allowed: a text in quotes"),
        ('name = "Petty"', 'name = ""', "template[1].name: is not a text."),
        ('name = "Petty"', f'name = "{"x" * 201}"', "template[1].name: is too long"),
        ('template = "Petty"', 'template = "Pety"', "make[1].template: no [[template]] is named “Pety”. The job has “Petty”."),
        (
            'template = "Petty"',
            'template = "Petty"\nsteel = "O1"',
            "make[1].steel: no [[bar]] is of “O1”. Steels of the bars: 1095.",
        ),
        (
            'template = "Petty"',
            'template = "Petty"\nquantity = 0',
            "make[1].quantity: 0 is not allowed",
        ),
        ('template = "Petty"', 'template = "Petty"\nquantity = 2.5', "Allowed: a whole number from 1 to 2000."),
        (
            'template = "Petty"',
            'template = "Petty"\nquantity = 99999999999999999999',
            "Allowed: a whole number from 1 to 2000.",
        ),
        ('template = "Petty"\n', "", "make[1].template: is missing."),
        ("[[make]]", '[template.grind]\nbevel = "full"\n[[make]]', "template[1].grind.bevel: “full” is not allowed"),
        ("[[make]]", '[template.grind]\nface_allowance = "full"\n[[make]]', "template[1].grind.face_allowance: is not a length"),
        ("[[make]]", "[saw]\ntilt = 99\n[[make]]", "saw.tilt: is out of range. Allowed: 0 to 15 degrees."),
        ("[[make]]", f"[saw]\ntilt = {'9' * 400}\n[[make]]", "saw.tilt: "),
        ("[[make]]", '[saw]\ncutting = "laser"\n[[make]]', "saw.cutting: “laser” is not allowed."),
        ("[[make]]", "[saw]\nkerf = -1\n[[make]]", "saw.kerf: is negative."),
        ("[[make]]", "saw = 5\n[[make]]", "bar[1].saw: unknown key"),
        ('steel = "1095"', 'steel = "1095"\nprice = "$5"', "bar[1].price: “$5” is not an amount."),
        ('steel = "1095"', 'steel = "1095"\nprice = -5', "bar[1].price: “-5” is not an amount."),
        ('steel = "1095"', 'steel = "1095"\nprice = "NaN"', "bar[1].price: “NaN” is not an amount."),
        (
            'steel = "1095"',
            'steel = "1095"\nprice = "1,250"',
            "bar[1].price: “1,250” is not an amount. “1,250” may be 1250",
        ),
        ('steel = "1095"', 'steel = "1095"\nprice = "1e5"', "bar[1].price: “1e5” is not an amount."),
        ('steel = "1095"', 'steel = "1095"\nslant = "1,000 mm"', "may be 1000 or 1. Write one of these"),
        ('steel = "1095"', 'steel = "1095"\nbuy = 1', "bar[1].buy: 1 is not allowed"),
        (
            'steel = "1095"',
            'steel = "1095"\nmeasured = { widht = 2 }',
            "bar[1].measured.widht: unknown key. Did you mean “width”?",
        ),
        ('steel = "1095"', 'steel = "1095"\nmeasured = 2', "bar[1].measured: must be a table of keys"),
        ("[[bar]]", "[bar]", "bar: must be written once for each: [[bar]]"),
        (
            "[[bar]]",
            "[template.grind]\nedge_angel = 15\n[[bar]]",
            "template[1].grind.edge_angel: unknown key. Did you mean “edge_angle”?",
        ),
        ("[[bar]]", "[template.grind]\nedge_angle = 60\n[[bar]]", "template[1].grind.edge_angle: is out of range."),
        ("[[bar]]", "[template.blade]\nlength = 5\n[[bar]]", None),
        ("[[bar]]", '[[template.hole]]\npurpose = "nail"\nsize = 5\nx = 1\n[[bar]]', "template[1].hole[1].purpose: “nail”"),
        ("[[bar]]", '[[template.free]]\nrun = "tip"\nat = 0.5\n[[bar]]', "template[1].free[1].run: “tip”"),
        ("[[bar]]", '[[template.free]]\nrun = "edge"\nat = 2\n[[bar]]', "template[1].free[1].at"),
        ("[[bar]]", '[[template.free]]\nrun = "edge"\n[[bar]]', "template[1].free[1].at: is missing"),
        (
            "[[bar]]",
            41 * '[[template.free]]\nrun = "edge"\nat = 0.5\n' + "[[bar]]",
            "template[1].free: there are 41 control points",
        ),
        ("[[bar]]", '[[template.hole]]\npurpose = "pin"\n[[bar]]', "template[1].hole[1].size: is missing. Allowed: a length"),
        (
            'family = "petty"',
            'family = "bushcraft"\n[template.grind]\nheight = "10 mm"',
            "a Scandi bevel's height follows from its angle",
        ),
        (
            'family = "petty"',
            'outline = "old.dxf"\n[template.blade]\nthickness = "2 mm"',
            "template[1].outline: old.dxf, DXF: there is no such file.",
        ),
        (
            'family = "petty"',
            'outline = "old.dxf"\n[template.grind]\n',
            "template[1].grind: cannot be used with an imported outline",
        ),
    ],
)
def test_a_mistake_is_told_with_its_place_and_what_would_be_right(old, new, words):
    text = LEAST.replace(old, new, 1)
    assert text != LEAST
    if words is None:
        job(text)
    else:
        assert any(words in line for line in told(text)), told(text)


@pytest.mark.parametrize("table", ["template", "bar", "make"])
def test_a_missing_table_is_told(table):
    parts = LEAST.split("[[")
    text = "[[".join(p for p in parts if not p.startswith(table))
    assert f"{table}: is missing. A job needs at least one [[{table}]]" in "\n".join(told(text))


def test_all_mistakes_are_told_at_once():
    text = (
        LEAST.replace('"900 mm"', '"900 x"')
        .replace('"petty"', '"pety"')
        .replace("[[make]]", "[saw]\nkerf = -1\n[[make]]\nquantity = 0")
    )
    found = "\n".join(told(text))
    assert all(place in found for place in ("bar[1].length", "template[1].family", "saw.kerf", "make[1].quantity"))


def test_a_mistake_is_told_once():
    both = LEAST.replace("[[bar]]", '[[template]]\nname = "Other"\nfamily = "paring"\n[[bar]]', 1)
    assert len(told(both.replace('"petty"', '"pety"'))) == 1
    assert len(told(both.replace('"900 mm"', '"900 x"'))) == 1


def test_a_wrong_order_does_not_shift_the_place_of_the_next():
    text = LEAST.replace('[[make]]\ntemplate = "Petty"', '[[make]]\nquantity = 2\n[[make]]\ntemplate = "Santoku"')
    found = told(text)
    assert any(line.startswith("make[1].template: is missing.") for line in found)
    assert any(line.startswith("make[2].template: no [[template]] is named “Santoku”") for line in found)


def test_the_second_of_two_tables_has_its_own_place():
    text = LEAST + '[[template]]\nname = "Other"\nfamily = "paring"\n[template.blade]\nheight = "tall"\n'
    assert any(line.startswith("template[2].blade.height: is not a length") for line in told(text))


def test_two_templates_or_bars_of_one_name_are_told():
    again = '[[template]]\nname = "Petty"\nfamily = "paring"\n'
    assert "the name “Petty” is on 2 templates" in "\n".join(told(LEAST + again))
    bar = LEAST[LEAST.index("[[bar]]") : LEAST.index("[[make]]")]
    assert "is on 2 bars" in "\n".join(told(LEAST + bar))


def test_a_steel_is_missed_only_where_the_job_speaks_of_several():
    other = LEAST[LEAST.index("[[bar]]") : LEAST.index("[[make]]")].replace("1095", "O1")
    assert any(line.startswith("make[1].steel: is missing.") for line in told(LEAST + other))


@pytest.mark.parametrize("text", ["", "   \n\t\n"])
def test_an_empty_file_is_told(text):
    assert told(text) == ["file: is empty. A job needs [[template]], [[bar]] and [[make]]."]


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("name = \n", "line 1, column 8"),
        ("[job\n", "line 1, column 5"),
        ('a = 1\nb = "x\n', "line 2, column 7"),
        ("a = 1\na = 2\n", "file"),
    ],
)
def test_broken_toml_is_told_with_its_line(text, place):
    (line,) = told(text)
    assert "cannot be read as TOML" in line
    assert line.startswith(place) or place == "file"


def test_a_number_too_long_to_be_one_is_told():
    assert told(f"a = {'9' * 5000}\n")


def test_a_spine_on_the_edge_is_for_mill_edges_only():
    text = LEAST.replace('width = "50 mm"', 'width = "50 mm"\nedges = "sheared"') + "[saw]\nspine_on_edge = true\n"
    right = 'Use false, or give every bar edges = "mill".'
    assert told(text) == [f"saw.spine_on_edge: is for bars with mill edges only. {right}"]
    assert 'Allowed: "mill", "sawn", "sheared"' in told(LEAST.replace('width = "50 mm"', 'width = "50 mm"\nedges = "torn"'))[0]


def test_no_saw_gets_into_an_opening():
    text = LEAST + "[settings]\nuse_openings = true\n"
    right = 'Use false, or cut with cutting = "service".'
    assert told(text) == [f"settings.use_openings: needs a jet or a laser. No saw can reach into an opening. {right}"]
    assert job(text + '[saw]\ncutting = "service"\n').settings.use_openings


def test_more_than_anybody_could_make_is_told():
    lots = "".join('[[make]]\ntemplate = "Petty"\nquantity = 1000\n' for _ in range(3))
    assert "more than 2000 blanks in one job" in "\n".join(told(LEAST + lots))
