"""No command replaces a file that no command wrote, or that was changed since, unless it is told to."""

import pytest

from tests.counts import some
from workbook.cli.main import main
from workbook.tasks.demo import DEMO

COMMANDS = [
    (["lay-out", "{job}", "--steps", "1"], "bars.dxf"),
    (["templates", "{job}"], "cut/petty.dxf"),
    (["sheets", "{job}", "--what", "cutting"], "petty.dxf"),
    (["grind", "{job}"], "bench-cards.pdf"),
]


def run(command, job, out, *more):
    return main([*(word.format(job=job) for word in command), "--out", str(out), "--quiet", *more])


@pytest.mark.parametrize(("command", "name"), some(COMMANDS, 2))
def test_the_makers_own_file_stays_until_it_is_given_up(demo_file, tmp_path, capsys, command, name):
    mine = tmp_path / name
    mine.parent.mkdir(exist_ok=True)
    mine.write_bytes(b"drawn by hand")
    assert run(command, demo_file, tmp_path) == 1
    told = capsys.readouterr().err
    assert f"1 file exists and would be replaced: {name}." in told
    assert "--force" in told
    assert [p.relative_to(tmp_path).as_posix() for p in tmp_path.rglob("*") if p.is_file()] == [name]
    assert mine.read_bytes() == b"drawn by hand"
    assert run(command, demo_file, tmp_path, "--force") == 0
    assert mine.read_bytes() != b"drawn by hand"


@pytest.mark.parametrize(("command", "name"), some(COMMANDS, 2))
def test_a_command_goes_again_over_its_own(demo_file, tmp_path, capsys, command, name):
    assert run(command, demo_file, tmp_path) == 0
    changed = tmp_path.with_name("changed.toml")
    changed.write_text(demo_file.read_text().replace('height = "1 1/8 in"', 'height = "1 1/16 in"', 1))
    assert run(command, changed, tmp_path) == 0
    (tmp_path / name).write_bytes(b"changed by hand")
    assert run(command, changed, tmp_path) == 1
    assert (tmp_path / name).read_bytes() == b"changed by hand"


def test_lay_out_refuses_before_it_searches(demo_file, tmp_path, monkeypatch):
    (tmp_path / "costs.csv").write_text("mine")
    monkeypatch.setattr("workbook.cli.commands.search", lambda *given, **named: pytest.fail("it searched"))
    monkeypatch.setattr("workbook.cli.lay_out.search_on_two", lambda *given: pytest.fail("it searched"))
    assert run(["lay-out", "{job}"], demo_file, tmp_path) == 1


def test_the_demo_too(tmp_path, capsys):
    assert main(["demo", str(tmp_path), "--quiet"]) == 0
    whole = (tmp_path / DEMO).read_bytes()
    assert main(["demo", str(tmp_path), "--quiet"]) == 0
    (tmp_path / DEMO).write_bytes(b"changed")
    assert main(["demo", str(tmp_path), "--quiet"]) == 1
    assert f"1 file exists and was changed: {DEMO}. Choose another folder, or add --force" in capsys.readouterr().err
    assert main(["demo", str(tmp_path), "--quiet", "--force"]) == 0
    assert (tmp_path / DEMO).read_bytes() == whole
