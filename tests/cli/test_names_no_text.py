"""Files and folders whose names are no UTF-8: everything that is printed or written down of them can be."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.formats.bad_drawings import fresh

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="the disk takes no such names")


def run(*arguments, **setting):
    command = [sys.executable, "-m", "workbook", *map(str, arguments)]
    plain = {"MAKERS_WORKBOOK_PLAIN_SEARCH": "1"}  # without what takes a process a second to bring
    done = subprocess.run(command, capture_output=True, check=False, env=os.environ | plain | setting)
    assert b"Traceback" not in done.stderr, done.stderr
    return done


@pytest.fixture
def odd(tmp_path):
    """A folder of such a name."""
    made = tmp_path / os.fsdecode(b"f\xfcr die K\xfcche")
    made.mkdir()
    return made


def test_commands_read_there_write_there_and_say_where(odd, demo_file):
    job = odd / os.fsdecode(b"j\xf6b.toml")
    job.write_bytes(demo_file.read_bytes())
    done = run("lay-out", job, "--out", odd / "out", "--steps", "1")
    assert done.returncode == 0
    assert b"Written to " in done.stdout
    assert (odd / "out" / "bars.pdf").is_file()
    assert run("sheets", job, "--out", odd / "sheets", "--what", "holes").returncode == 0
    assert "die K\N{REPLACEMENT CHARACTER}che" in run("demo", odd / "demo").stdout.decode()


def test_what_is_wrong_is_said_with_the_name(odd):
    for command in (("check",), ("lay-out", "--out", odd / "out")):
        done = run(command[0], odd / os.fsdecode(b"g\xf6ne.toml"), *command[1:])
        assert done.returncode == 1
        assert "g\N{REPLACEMENT CHARACTER}ne.toml" in done.stderr.decode()


def test_a_drawing_is_looked_through_and_mended(odd):
    drawing = odd / os.fsdecode(b"z\xe4h.dxf")
    fresh().saveas(odd / "plain.dxf")
    (odd / "plain.dxf").rename(drawing)
    done = run("preflight", drawing, "--repair", odd / os.fsdecode(b"n\xe4u.dxf"))
    assert "z\N{REPLACEMENT CHARACTER}h.dxf" in done.stdout.decode()
    run("preflight", drawing, "--json")


def test_a_terminal_that_has_not_all_signs_gets_the_rest(demo_file, tmp_path):
    done = run("sheets", demo_file, "--out", tmp_path / "größe", "--what", "holes", PYTHONIOENCODING="ascii")
    assert done.returncode == 0
    assert b"gr??e" in done.stdout or b"gr?" in done.stdout


def test_a_path_is_told_in_a_report_of_trouble(odd):
    from workbook.problems import JobError
    from workbook.storage.trouble import StorageTrouble
    from workbook.tasks.load import load_job

    with pytest.raises(JobError) as trouble:
        load_job(Path(odd / "none.toml"))
    assert "\n".join(trouble.value.lines()).encode()
    assert str(StorageTrouble(f"{odd} is gone.", f"Look for {odd.name}.")).encode()
