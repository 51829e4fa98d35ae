"""`estimate` and `check`: their JSON, field by field, and their words."""

import json
from contextlib import redirect_stdout
from decimal import Decimal
from io import StringIO

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
    with redirect_stdout(StringIO()) as shown:
        assert main(["estimate", str(demo_file), "--json"]) == 0
    return json.loads(shown.getvalue())


def test_an_estimate_has_the_documented_keys_and_no_other(estimated):
    assert set(estimated) == {"take", "buy", "bars_price", "material_cost", "per_piece", "options", "lower_bound"}
    assert all(set(row) == {"name", "count"} for row in estimated["take"])
    assert all(set(row) == {"name", "count", "price", "mass"} for row in estimated["buy"])
    assert all(set(row) == {"template", "quantity", "cost"} for row in estimated["per_piece"])
    assert all(set(row) == {"name", "bars", "cost", "utilisation", "offcut_length"} for row in estimated["options"])
    assert set(estimated["lower_bound"]) == {"cost", "how"}


def test_the_estimates_bars_cost_what_it_says(estimated, demo):
    prices = {bar.name: bar.price for bar in demo.job.bars}
    total = sum(row["count"] * prices[row["name"]] for row in [*estimated["take"], *estimated["buy"]])
    assert total == Decimal(estimated["bars_price"])
    assert all(Decimal(row["price"]) == prices[row["name"]] for row in estimated["buy"])
    assert Decimal(estimated["lower_bound"]["cost"]) <= Decimal(estimated["bars_price"])


def test_the_estimate_spends_no_more_than_a_layout_known_to_do(estimated):
    """The racks' bars hold the petties and the paring knives; two bars 2 1/4 in wide at $34 hold four santokus."""
    assert sum(row["count"] * Decimal(row["price"]) for row in estimated["buy"]) <= Decimal("68.00")


def test_the_price_of_a_piece_times_how_many_is_the_material_within_their_rounding(estimated):
    rows = estimated["per_piece"]
    assert {row["template"]: row["quantity"] for row in rows} == {"Petty": 6, "Santoku type": 4, "Paring": 4}
    total = sum(Decimal(row["cost"]) * row["quantity"] for row in rows)
    assert abs(total - Decimal(estimated["material_cost"])) <= Decimal("0.005") * sum(row["quantity"] for row in rows)


def test_the_mass_of_a_bar_to_buy_is_its_size_times_its_density(estimated, demo):
    """A steel handbook's 3.40 w t lb/ft for carbon steel at 7.85 g/cm3; the table's 52100 is within 1 % of it."""
    sizes = {bar.name: bar for bar in demo.job.bars}
    assert estimated["buy"]
    for row in estimated["buy"]:
        bar = sizes[row["name"]]
        pounds = 3.40 * bar.width / 25.4 * bar.thickness / 25.4 * bar.length / 304.8
        assert row["mass"] == pytest.approx(pounds * 453.59237, rel=0.01)


def test_every_size_that_takes_a_blank_is_compared(estimated, demo):
    assert [o["name"] for o in estimated["options"]] == [bar.name for bar in demo.job.bars]
    assert all(o["bars"] >= 1 and 0 < o["utilisation"] < 1 for o in estimated["options"])


def test_an_estimate_in_words_says_what_to_take_and_buy(estimated, demo_file, capsys):
    assert main(["estimate", str(demo_file)]) == 0
    told = capsys.readouterr().out
    assert all(f"Use {row['count']} × {row['name']}\n" in told for row in estimated["take"])
    assert all(f"Buy {row['count']} × {row['name']}\n" in told for row in estimated["buy"])
    assert f"Bars ${estimated['bars_price']}, material ${estimated['material_cost']} after offcuts." in told


def test_problems_as_json_have_the_documented_keys(job_file, capsys):
    assert main(["check", str(job_file(BROKEN)), "--json"]) == 1
    data = json.loads(capsys.readouterr().out)
    assert set(data) == {"problems", "defaults"}
    assert all(set(p) == {"template", "severity", "what", "at", "is", "wanted", "source"} for p in data["problems"])
    assert {p["severity"] for p in data["problems"]} <= {"stop", "warn", "note"}
    assert all(p["source"] for p in data["problems"])


def test_check_names_the_template_and_the_number(job_file, capsys):
    assert main(["check", str(job_file(BROKEN))]) == 1
    told = capsys.readouterr().out
    assert "STOP Open: The heel is not below the handle" in told
    assert "WARN Hunter: P1 (pin) is nearer to the edge than 1.5 diameters" in told
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


KEYS = {
    "name", "bar", "thickness_before_hardening", "thickness_finished", "bevel_angle", "grind_line_before_hardening",
    "grind_line_finished", "scribe_from_face", "scribe_gap", "edge_facet", "blank_mass", "blade_mass", "finished_mass",
    "balance", "ground_before_hardening_cm3", "ground_after_hardening_cm3", "sections",
}  # fmt: skip


def test_grind_gives_every_template_with_every_field(demo_file, capsys):
    assert main(["grind", str(demo_file), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)["templates"]
    assert [t["name"] for t in found] == ["Petty", "Santoku type", "Paring"]
    assert all(set(t) == KEYS for t in found)
    for made in found:
        assert [s["state"] for s in made["sections"]] == ["as cut", "before hardening", "finished"] * 5
        assert made["blank_mass"] > made["blade_mass"] > 0
        assert made["finished_mass"] > made["blade_mass"]
        ground = made["ground_before_hardening_cm3"] + made["ground_after_hardening_cm3"]
        assert 0 < ground * 7.85 < made["blank_mass"] - made["blade_mass"] + 0.1


def test_grind_is_for_the_bar_as_measured(demo_file, capsys):
    """The petty's bar reads 0.0775 in; 0.020 in is left at the edge: (0.0775 - 0.020) / 2 from each face. Arithmetic."""
    main(["grind", str(demo_file), "--template", "Petty", "--json"])
    (petty,) = json.loads(capsys.readouterr().out)["templates"]
    assert petty["thickness_before_hardening"] / 25.4 == pytest.approx(0.0775)
    assert petty["scribe_from_face"] / 25.4 == pytest.approx(0.02875)
    assert petty["scribe_gap"] / 25.4 == pytest.approx(0.020)
    assert petty["thickness_finished"] / 25.4 == pytest.approx(0.0775 - 2 * 0.004)
    heel = petty["sections"][2]
    height = max(y for y, _ in heel["polygon"]) - min(y for y, _ in heel["polygon"])
    assert height / 25.4 == pytest.approx(1.125, abs=1e-5)


def test_grind_says_what_to_set_in_words(demo_file, capsys):
    assert main(["grind", str(demo_file), "--template", "Petty"]) == 0
    told = capsys.readouterr().out
    assert "Scribe from each face" in told
    assert "0.0288 in" in told
    assert "Balance, behind the handle front" in told
    assert "respirator" in told
    assert "Santoku" not in told


def test_grind_writes_bench_cards(demo_file, tmp_path, capsys):
    assert main(["grind", str(demo_file), "--out", str(tmp_path / "cards"), "--quiet"]) == 0
    assert (tmp_path / "cards" / "bench-cards.pdf").read_bytes().startswith(b"%PDF")
    assert capsys.readouterr().out == ""


def test_grind_of_a_template_that_is_not_there_names_those_that_are(demo_file, capsys):
    assert main(["grind", str(demo_file), "--template", "Pety"]) == 1
    assert "no template is named “Pety”. The job has “Petty”" in capsys.readouterr().err


def test_grind_of_a_bevel_that_cannot_be_sharpened_is_refused(job_file, capsys):
    steep = """
[job]
units = "mm"
[[template]]
name = "Steep"
family = "drop-point-hunter"
[template.grind]
height = 12
edge_angle = 6
[[bar]]
steel = "O1"
thickness = 3.5
width = 40
length = 900
[[make]]
template = "Steep"
"""
    assert main(["grind", str(job_file(steep))]) == 1
    assert "no edge can be sharpened" in capsys.readouterr().err


def test_grind_of_an_outline_from_a_file_knows_its_mass_only(tmp_path, capsys):
    (tmp_path / "old.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="20mm" viewBox="0 0 100 20">'
        '<rect x="0" y="0" width="100" height="20"/></svg>'
    )
    job = tmp_path / "job.toml"
    job.write_text(
        '[job]\nunits = "mm"\n[[template]]\nname = "Old"\noutline = "old.svg"\n[template.blade]\nthickness = 2\n'
        '[[bar]]\nsteel = "1084"\nthickness = 2\nwidth = 50\nlength = 500\n[[make]]\ntemplate = "Old"\n'
    )
    assert main(["grind", str(job), "--json"]) == 0
    (old,) = json.loads(capsys.readouterr().out)["templates"]
    assert old["blank_mass"] == pytest.approx(100 * 20 * 2 * 7.85 / 1000)
    assert (old["bevel_angle"], old["balance"], old["sections"]) == (None, None, [])
    assert main(["grind", str(job)]) == 0
    assert "no grind" in capsys.readouterr().out
