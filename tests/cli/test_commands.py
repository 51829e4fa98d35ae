"""The headless commands: what they write and print, and the exit codes of the public interface."""

import json
import subprocess
import sys
from collections import Counter

import pytest

from tests.formats.bad_drawings import fresh
from workbook.cli.main import command_line, main
from workbook.storage.file import read
from workbook.tasks.outputs import LIST

JOB = """
[job]
name = "Small"
units = "mm"
[[template]]
name = "Petty"
family = "petty"
[template.blade]
thickness = 2
[[bar]]
name = "short"
steel = "1095"
thickness = 2
width = "{width} mm"
length = "{length} mm"
price = "12.00"
have = 1
buy = false
[[make]]
template = "Petty"
steel = "1095"
quantity = {quantity}
"""
WRITTEN = {"layout.json", "bars.pdf", "bars.dxf", "costs.csv", "buy.csv"}


def names(folder):
    """Of all files there, but the list of them that a command leaves."""
    return {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file() and p.name != LIST}


def run(command, job, out, *more):
    return main([command, str(job), "--out", str(out), "--quiet", *more])


def test_lay_out_writes_the_documented_files_and_no_other(lay_out_folder):
    assert names(lay_out_folder) == WRITTEN


def test_layout_json_has_the_documented_keys_and_no_other(lay_out_folder):
    data = json.loads((lay_out_folder / "layout.json").read_text(encoding="utf-8"))
    whole = "job seed steps search separation bar_end bar_edge bars unplaced bars_price offcut_credit material_cost"
    whole += " lower_bound utilisation"
    bar = "name steel thickness width length from price used_length offcut_length utilisation pieces saw"
    assert set(data) == set(whole.split())
    assert all(set(b) - {"offcuts_beside"} == set(bar.split()) for b in data["bars"])
    assert all(set(b["saw"]) == {"length", "turns", "minutes"} for b in data["bars"])
    assert all(set(each) == {"x", "y", "length", "width"} for b in data["bars"] for each in b.get("offcuts_beside", ()))
    assert all(
        set(p) == {"serial", "template", "x", "y", "angle", "mirrored", "outline", "cost"}
        for b in data["bars"]
        for p in b["pieces"]
    )
    assert set(data["lower_bound"]) == {"cost", "how"}
    assert (data["job"], data["seed"], data["steps"]) == ("Harbour kitchen run", 0, 4)


def test_the_same_seed_and_steps_write_the_same_bytes(job_file, tmp_path):
    job = job_file(JOB.format(width=120, length=900, quantity=4))
    for out in ("a", "b"):
        assert run("lay-out", job, tmp_path / out, "--steps", "5", "--seed", "7") == 0
    assert all((tmp_path / "a" / name).read_bytes() == (tmp_path / "b" / name).read_bytes() for name in WRITTEN)


def test_a_run_within_its_seconds_ends_by_itself(job_file, tmp_path):
    job = job_file(JOB.format(width=60, length=900, quantity=2))
    assert run("lay-out", job, tmp_path / "out", "--seconds", "0.01") == 0


def test_bars_that_run_out_exit_3_and_the_rest_is_listed(job_file, tmp_path, capsys):
    job = job_file(JOB.format(width=40, length=600, quantity=5))
    assert main(["lay-out", str(job), "--out", str(tmp_path / "out"), "--steps", "2"]) == 3
    data = json.loads((tmp_path / "out" / "layout.json").read_text(encoding="utf-8"))
    placed = Counter(p["template"] for bar in data["bars"] for p in bar["pieces"])
    (left,) = data["unplaced"]
    assert (left["template"], placed["Petty"] + left["quantity"]) == ("Petty", 5)
    assert placed["Petty"] >= 1
    assert left["reason"]
    assert names(tmp_path / "out") == WRITTEN
    assert f"Not enough steel: {left['quantity']} Petty not placed." in capsys.readouterr().out


def test_a_piece_wider_than_any_bar_exits_1_and_nothing_is_written(job_file, tmp_path, capsys):
    job = job_file(JOB.format(width=25, length=600, quantity=1))
    assert run("lay-out", job, tmp_path / "out", "--steps", "2") == 1
    assert not (tmp_path / "out").exists()
    told = capsys.readouterr().err
    assert "template “Petty”: Every bar that suits it is too narrow: 25.00 mm (min. " in told


def test_a_piece_too_thick_for_the_bars_is_told_with_the_thickness_wanted(job_file, tmp_path, capsys):
    text = JOB.format(width=60, length=600, quantity=1).replace("thickness = 2\n[[bar]]", "thickness = 3\n[[bar]]")
    assert run("lay-out", job_file(text), tmp_path / "out") == 1
    assert "No bar of 1095 has its thickness: 2.00 mm (needed: 3.00 mm)" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_a_blank_that_cannot_be_made_exits_1_and_nothing_is_written(job_file, tmp_path, capsys):
    outside = '[[template.hole]]\npurpose = "pin"\nsize = 5\nx = -30\ny = 60\n[[bar]]'
    job = job_file(JOB.format(width=60, length=600, quantity=1).replace("[[bar]]", outside))
    for command in ("lay-out", "templates"):
        assert run(command, job, tmp_path / "out") == 1
        assert "P1 lies outside the blank" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    "arguments",
    [
        ["lay-out"],
        ["lay-out", "job.toml"],
        ["lay-out", "job.toml", "--out", "d", "--steps", "0"],
        ["lay-out", "job.toml", "--out", "d", "--seconds", "-1"],
        ["lay-out", "job.toml", "--out", "d", "--seconds", "nan"],
        ["lay-out", "job.toml", "--out", "d", "--seed", "x"],
        ["lay-out", "job.toml", "--out", "d", "--paper", "a5"],
        ["estimate"],
        ["hammer", "job.toml"],
    ],
)
def test_wrong_usage_exits_2(arguments, capsys):
    with pytest.raises(SystemExit) as stopped:
        main(arguments)
    assert stopped.value.code == 2
    assert "usage" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("option", "text", "says"),
    [
        ("--seconds", "abc", "type a number"), ("--seconds", "1,250", "may be 1250 or 1.25"),
        ("--seconds", "0", "type a number of seconds above 0"),
        ("--steps", "1,5", "a whole number"), ("--seed", "1e3", "a whole number"),
    ],
)  # fmt: skip
def test_a_number_that_cannot_be_read_is_told_in_plain_words(option, text, says, capsys):
    with pytest.raises(SystemExit) as stopped:
        main(["lay-out", "job.toml", "--out", "d", option, text])
    said = capsys.readouterr().err
    assert (stopped.value.code, says in said, "invalid _" in said) == (2, True, False)


def test_the_margin_of_a_printer_is_what_the_window_takes(capsys):
    asked = ["sheets", "job.toml", "--out", "d", "--what", "sheets", "--margin"]
    assert [command_line().parse_args([*asked, text]).margin for text in ("0", "15 mm", "1/4 in")] == [0.0, 15.0, 6.35]
    for text in ("40 mm", "15,1 mm", "-1"):
        with pytest.raises(SystemExit):
            command_line().parse_args([*asked, text])
        assert "a length from 0 to 15 mm" in capsys.readouterr().err


def test_numbers_of_the_command_line_take_either_mark():
    read = command_line().parse_args
    assert read(["lay-out", "job.toml", "--out", "d", "--seconds", "2,5"]).seconds == 2.5
    for text in ("99.7,100.2", "99,7;100,2"):
        assert read(["sheets", "job.toml", "--out", "d", "--what", "bars", "--read", text]).read == (99.7, 100.2)


@pytest.mark.parametrize("command", ["lay-out", "templates"])
def test_a_job_that_is_not_there_exits_1(command, tmp_path, capsys):
    assert run(command, tmp_path / "none.toml", tmp_path / "out") == 1
    assert "none.toml: file: cannot be read" in capsys.readouterr().err


def test_a_folder_that_cannot_be_written_exits_1(job_file, tmp_path, capsys):
    (tmp_path / "out").write_text("in the way", encoding="utf-8")
    assert run("lay-out", job_file(JOB.format(width=60, length=600, quantity=1)), tmp_path / "out", "--steps", "1") == 1
    assert "cannot be written" in capsys.readouterr().err
    assert (tmp_path / "out").read_text(encoding="utf-8") == "in the way"


def test_templates_writes_sheets_and_a_cutting_file_each_way_for_every_template(templates_folder):
    cut = {f"cut/{name}.{kind}" for name in ("petty", "santoku-type", "paring") for kind in ("dxf", "svg")}
    assert names(templates_folder) == {"templates.pdf", "notes.pdf", *cut}


def test_demo_writes_a_job_that_checks_clean(tmp_path, capsys):
    assert main(["demo", str(tmp_path)]) == 0
    job, workbook = sorted(tmp_path.iterdir(), key=lambda file: file.suffix, reverse=True)
    assert read(workbook).body.document.settings.name == "Harbour kitchen run"
    assert main(["check", str(job)]) == 0
    assert "No problems found." in capsys.readouterr().out


def test_quiet_prints_nothing(job_file, tmp_path, capsys):
    assert run("lay-out", job_file(JOB.format(width=60, length=600, quantity=1)), tmp_path / "out", "--steps", "1") == 0
    shown = capsys.readouterr()
    assert shown.out == shown.err == ""


def test_the_summary_names_bars_price_and_bound(job_file, tmp_path, capsys):
    job = job_file(JOB.format(width=60, length=600, quantity=2))
    assert main(["lay-out", str(job), "--out", str(tmp_path / "out"), "--steps", "1"]) == 0
    told = capsys.readouterr().out
    for words in (
        "Bar 1: short, from the rack, $12.00",
        "offcut credit",
        "That is the theoretical best (by area)",
        "1 step, seed 0",
    ):
        assert words in told


def test_the_module_runs_as_a_program():
    done = subprocess.run([sys.executable, "-m", "workbook", "--version"], capture_output=True, text=True, check=True)
    assert done.stdout.startswith("Maker's Workbook ")


def test_sheets_writes_what_is_asked_for(demo_file, lay_out_folder, tmp_path, capsys):
    layout = ["--layout", str(lay_out_folder / "layout.json")]
    asked = "cards,holes,printer,bars,ordinates,cuts,labels,stencil,bars-cut"
    assert main(["sheets", str(demo_file), "--out", str(tmp_path), "--what", asked, "--each", *layout]) == 0
    bars = {f"bar-{n}-to-cut.dxf" for n in range(1, 1 + len(json.loads((lay_out_folder / "layout.json").read_text())["bars"]))}
    cards = {f"{name}-bench-card.pdf" for name in ("petty", "santoku-type", "paring")}
    others = {
        "holes.csv",
        "printer-test.pdf",
        "bars.pdf",
        "ordinates.csv",
        "cuts.csv",
        "labels.pdf",
        "stencil.svg",
        "stencil.dxf",
    }
    assert names(tmp_path) == bars | cards | others
    assert "Written to" in capsys.readouterr().out


def test_the_bars_of_a_layout_are_those_of_its_file(demo_file, lay_out_folder, tmp_path):
    layout = lay_out_folder / "layout.json"
    assert (
        main(["sheets", str(demo_file), "--out", str(tmp_path), "--what", "ordinates", "--layout", str(layout), "--quiet"]) == 0
    )
    rows = (tmp_path / "ordinates.csv").read_text().splitlines()[1:]
    serials = [piece["serial"] for bar in json.loads(layout.read_text())["bars"] for piece in bar["pieces"]]
    assert sorted(row.split(",")[1] for row in rows) == sorted(serials)


@pytest.mark.parametrize(("old", "new"), [('length = "5 1/2 in"', 'length = "6 in"'), ("quantity = 6", "quantity = 7")])
def test_a_layout_of_another_job_is_refused(demo_file, lay_out_folder, tmp_path, capsys, old, new):
    """A blade made longer, one blank more: its numbers would be scribed where they do not belong."""
    text = demo_file.read_text()
    assert old in text
    other = tmp_path / "other.toml"
    other.write_text(text.replace(old, new, 1))
    layout = str(lay_out_folder / "layout.json")
    assert main(["sheets", str(other), "--out", str(tmp_path / "out"), "--what", "bars", "--layout", layout]) == 1
    assert "layout" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_what_is_of_bars_wants_a_layout(demo_file, tmp_path, capsys):
    assert main(["sheets", str(demo_file), "--out", str(tmp_path / "out"), "--what", "bars"]) == 1
    assert "Lay the blanks out first" in capsys.readouterr().err


def test_a_template_that_has_no_such_sheet_is_said(demo_file, tmp_path, capsys):
    text = demo_file.read_text().replace("[[bar]]", '[[template]]\nname = "Kiri"\nfamily = "kiridashi"\n\n[[bar]]', 1)
    job = tmp_path / "job.toml"
    job.write_text(text)
    asked = ["--what", "sheets", "--templates", "Kiri", "--parts", "scales"]
    assert main(["sheets", str(job), "--out", str(tmp_path / "out"), *asked]) == 1
    assert "none of the selected templates has it" in capsys.readouterr().err


def test_preflight_tells_and_mends_and_leaves_the_drawing_alone(tmp_path, capsys):
    document = fresh()
    document.modelspace().add_circle((30, 20), 3.0)
    drawing = tmp_path / "theirs.dxf"
    document.saveas(drawing)
    before = drawing.read_bytes()
    assert main(["preflight", str(drawing), "--repair", str(tmp_path / "mended.dxf")]) == 0
    said = capsys.readouterr().out
    assert "1 curve drawn twice" in said
    assert "removed 1 piece drawn twice" in said
    assert main(["preflight", str(tmp_path / "mended.dxf"), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["problems"] == []
    assert main(["preflight", str(drawing), "--repair", str(drawing)]) == 1
    assert "must stay as it is" in capsys.readouterr().err
    assert drawing.read_bytes() == before


def test_preflight_of_no_file_is_said(tmp_path, capsys):
    assert main(["preflight", str(tmp_path / "none.dxf")]) == 1
    assert "there is no such file" in capsys.readouterr().err


def test_too_little_memory_is_said_in_a_sentence(demo_file, tmp_path, capsys, monkeypatch):
    def short(*given):
        raise MemoryError

    monkeypatch.setattr("workbook.tasks.exports.bars.plans_pdf", short)
    assert run("lay-out", demo_file, tmp_path / "out", "--steps", "1") == 1
    assert capsys.readouterr().err.splitlines()[-1].startswith("memory: this computer does not have enough.")
    assert not (tmp_path / "out").exists()
