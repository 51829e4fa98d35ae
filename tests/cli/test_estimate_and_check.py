"""`estimate` and `check`: their JSON, field by field, and their words."""

import json
from decimal import Decimal

import pytest

from workbook.cli.main import main

BROKEN = """
[job]
units = "mm"
[[template]]
name = "Hunter"
family = "drop-point-hunter"
[[template.hole]]
purpose = "pin"
size = 5
x = -20
y = 10
[[template]]
name = "Open"
family = "petty"
[template.heel]
ahead = 2
[template.blade]
height = 20
[[bar]]
steel = "1095"
thickness = 3.5
width = 50
length = "900 mm"
[[make]]
template = "Hunter"
"""


@pytest.fixture(scope="module")
def estimated(demo_file):
    """What `estimate --json` prints for the demo job."""
    from contextlib import redirect_stdout
    from io import StringIO

    with redirect_stdout(StringIO()) as shown:
        assert main(["estimate", str(demo_file), "--json"]) == 0
    return json.loads(shown.getvalue())


def test_an_estimate_has_the_documented_keys_and_no_other(estimated):
    assert set(estimated) == set(["take", "buy", "bars_price", "material_cost", "per_piece", "options", "lower_bound"])
    assert all(set(row) == {"name", "count"} for row in estimated["take"])
    assert all(set(row) == {"name", "count", "price", "mass"} for row in estimated["buy"])
    assert all(set(row) == {"template", "quantity", "cost"} for row in estimated["per_piece"])
    assert all(set(row) == {"name", "bars", "cost", "utilisation", "offcut_length"} for row in estimated["options"])
    assert set(estimated["lower_bound"]) == {"cost", "how"}


def test_the_estimates_bars_cost_what_it_says(estimated):
    prices = {
        "52100 5/64 x 2 1/2 x 36": "33.50",
        "52100 5/64 x 1 1/2 x 36": "22.00",
        "52100 3/32 x 2 1/4 x 36": "34.00",
        "O1 1/16 x 1 3/4 x 24": "17.20",
    }
    total = sum(row["count"] * Decimal(prices[row["name"]]) for row in [*estimated["take"], *estimated["buy"]])
    assert total == Decimal(estimated["bars_price"])
    assert all(row["price"] == prices[row["name"]] for row in estimated["buy"])
    assert Decimal(estimated["lower_bound"]["cost"]) <= Decimal(estimated["bars_price"])


def test_the_price_of_a_piece_times_how_many_is_the_material_within_their_rounding(estimated):
    rows = estimated["per_piece"]
    assert {row["template"]: row["quantity"] for row in rows} == {"Petty": 6, "Santoku type": 4, "Paring": 4}
    total = sum(Decimal(row["cost"]) * row["quantity"] for row in rows)
    assert abs(total - Decimal(estimated["material_cost"])) <= Decimal("0.005") * sum(row["quantity"] for row in rows)


def test_the_mass_of_a_bar_to_buy_is_its_size_times_its_density(estimated):
    """3/32 x 2 1/4 x 36 in at 7.81 g/cm3 (52100) or carbon steel's 7.85: a handbook's 3.40 w t lb/ft within 1 %."""
    row = next(row for row in estimated["buy"] if row["name"] == "52100 3/32 x 2 1/4 x 36")
    assert row["mass"] == pytest.approx(3.40 * 2.25 * 3 / 32 * 3 * 453.59237, rel=0.01)


def test_every_size_that_takes_a_blank_is_compared(estimated):
    assert {o["name"] for o in estimated["options"]} >= {
        "52100 5/64 x 2 1/2 x 36",
        "52100 3/32 x 2 1/4 x 36",
        "O1 1/16 x 1 3/4 x 24",
    }
    assert all(o["bars"] >= 1 and 0 < o["utilisation"] < 1 for o in estimated["options"])


def test_an_estimate_in_words_says_what_to_buy(demo_file, capsys):
    assert main(["estimate", str(demo_file)]) == 0
    told = capsys.readouterr().out
    assert "Take 1 x 52100 5/64 x 2 1/2 x 36" in told
    assert "Buy 2 x 52100 3/32 x 2 1/4 x 36" in told


def test_problems_as_json_have_the_documented_keys(job_file, capsys):
    assert main(["check", str(job_file(BROKEN)), "--json"]) == 1
    data = json.loads(capsys.readouterr().out)
    assert set(data) == {"problems", "defaults"}
    assert all(set(p) == set(["template", "severity", "what", "at", "is", "wanted", "source"]) for p in data["problems"])
    assert {p["severity"] for p in data["problems"]} <= {"stop", "warn", "note"}
    assert all(p["source"] for p in data["problems"])


def test_check_names_the_template_and_the_number(job_file, capsys):
    assert main(["check", str(job_file(BROKEN))]) == 1
    told = capsys.readouterr().out
    assert "STOP Open: the heel does not stand below the handle" in told
    assert "Hunter: P1" in told
    assert "AISC 360" in told


def test_check_lists_the_defaults_it_used(job_file, capsys):
    main(["check", str(job_file(BROKEN)), "--json"])
    defaults = json.loads(capsys.readouterr().out)["defaults"]
    assert defaults["saw.kerf"] == "0.79 mm"
    assert defaults["template[1].blade.length"] == "95.00 mm"
    assert "template[2].blade.height" not in defaults


def test_a_job_without_a_stop_checks_with_0(demo_file, capsys):
    assert main(["check", str(demo_file), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["problems"] == []


def test_grind_says_that_it_is_not_there_yet(demo_file, capsys):
    assert main(["grind", str(demo_file)]) == 1
    assert "not in this version" in capsys.readouterr().err
