"""A lay-out killed at its worst moment leaves no half-written file, and the next run mends what is left."""

import signal
import subprocess
import sys

import pytest

from tests.counts import some
from workbook.cli.main import main
from workbook.system import replacing
from workbook.tasks.outputs import LIST

FILES = {"layout.json", "bars.pdf", "bars.dxf", "costs.csv", "buy.csv"}
JOB = """
[[template]]
name = "Petty"
family = "petty"
[[bar]]
steel = "1095"
thickness = "5/64 in"
width = "2 in"
length = "24 in"
[[make]]
template = "Petty"
quantity = 2
"""
DIE = "import os, signal\ndie = lambda: os.kill(os.getpid(), signal.SIGKILL)\n"
RUN = "from workbook.cli.main import main\nmain(['lay-out', {job!r}, '--out', {out!r}, '--steps', '2', '--quiet'])\n"
HALF_A_FILE = """
from workbook.system import replacing
sync, synced = replacing.sync, []
def half(handle):
    synced.append(handle)
    if len(synced) == 3:
        os.ftruncate(handle, os.fstat(handle).st_size // 2)
        die()
    sync(handle)
replacing.sync = half
"""
BETWEEN_NAMES = """
from workbook.system.replacing import Waiting
put, names = Waiting.put, []
def one_more(waiting):
    names.append(waiting.target)
    if len(names) == 4:
        die()
    put(waiting)
Waiting.put = one_more
"""

pytestmark = pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="there is no such signal here")


@pytest.fixture(autouse=True)
def _searched_plainly(monkeypatch):
    """A process that brings the compiled search takes twice as long, and what is killed here are its files."""
    monkeypatch.setenv("MAKERS_WORKBOOK_PLAIN_SEARCH", "1")


@pytest.fixture
def small(job_file):
    """A job that is quickly laid out."""
    return job_file(JOB)


def visible(folder):
    return {p.name for p in folder.iterdir() if not p.name.startswith(".")}


def killed(how, job, out):
    script = DIE + how + RUN.format(job=str(job), out=str(out))
    assert subprocess.run([sys.executable, "-c", script], check=False).returncode == -signal.SIGKILL


def test_killed_between_files_those_that_are_there_are_whole(small, tmp_path):
    killed(BETWEEN_NAMES, small, tmp_path / "out")
    there = visible(tmp_path / "out")
    assert len(there) == 2
    assert there < FILES
    assert main(["lay-out", str(small), "--out", str(tmp_path / "whole"), "--steps", "2", "--quiet"]) == 0
    assert all((tmp_path / "out" / name).read_bytes() == (tmp_path / "whole" / name).read_bytes() for name in there)


def test_killed_in_the_middle_of_a_file_nothing_is_there_and_a_run_an_hour_later_leaves_the_documented_files_only(
    small, tmp_path, monkeypatch
):
    killed(HALF_A_FILE, small, tmp_path / "out")
    assert visible(tmp_path / "out") == set()
    assert len(list((tmp_path / "out").iterdir())) == 3
    monkeypatch.setattr(replacing, "_OLD", -1.0)
    assert main(["lay-out", str(small), "--out", str(tmp_path / "out"), "--steps", "1", "--quiet"]) == 0
    assert {p.name for p in (tmp_path / "out").iterdir()} == {*FILES, LIST}


@pytest.mark.parametrize("how", some([HALF_A_FILE, BETWEEN_NAMES], 1))
def test_a_run_after_a_kill_goes_over_what_that_left(job_file, tmp_path, how):
    more = job_file(JOB.replace("quantity = 2", "quantity = 3"))
    assert main(["lay-out", str(more), "--out", str(tmp_path / "out"), "--steps", "1", "--quiet"]) == 0
    small = job_file(JOB)
    killed(how, small, tmp_path / "out")
    assert main(["lay-out", str(small), "--out", str(tmp_path / "out"), "--steps", "1", "--quiet"]) == 0


def _heeding():
    """What runs in the background of a shell is told to pass over SIGINT, and so would its children."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


@pytest.mark.parametrize("stop", some([signal.SIGINT, signal.SIGKILL], 1))
def test_stopped_while_it_searches_nothing_is_written(small, tmp_path, stop):
    """Its progress on a terminal says when it searches."""
    pty = pytest.importorskip("pty")
    import os

    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "workbook", "lay-out", str(small), "--out", str(tmp_path / "out"), "--seconds", "600"]
    with subprocess.Popen(command, stderr=theirs, stdout=subprocess.DEVNULL, preexec_fn=_heeding) as running:
        os.close(theirs)
        shown = b""
        while b"Laying out" not in shown:
            shown += os.read(ours, 1024)
        running.send_signal(stop)
        code = running.wait()
    os.close(ours)
    assert code == (1 if stop == signal.SIGINT else -signal.SIGKILL)
    assert not (tmp_path / "out").exists()
