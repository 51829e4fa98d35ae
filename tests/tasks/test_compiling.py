"""Compiling once and apart: marks, the plain search meanwhile, and machines without the compiler."""

import json
import os
import subprocess
import sys
import time
from itertools import islice
from threading import Thread

import pytest

from workbook.model.laying import nesting_job
from workbook.model.results import SEARCH_WORDS
from workbook.nesting.aims import aims
from workbook.nesting.verify import faults
from workbook.tasks import compiling
from workbook.tasks.outputs import LIST
from workbook.tasks.searching import search


def under_way_for(monkeypatch, looks, then_ready=True):
    """Nothing is compiled; it is under way at so many looks, and all is ready after them."""
    left = [looks]

    def under_way():
        left[0] -= 1
        return left[0] > 0

    monkeypatch.setattr(compiling, "begin", lambda: None)
    monkeypatch.setattr(compiling, "under_way", under_way)
    monkeypatch.setattr(compiling, "ready", lambda: then_ready and left[0] <= 0)


def test_plain_steps_come_until_all_is_compiled_and_nothing_gets_worse(demo, monkeypatch):
    pytest.importorskip("numba")
    nesting = nesting_job(demo)
    under_way_for(monkeypatch, 5)
    found = list(islice(search(nesting, 0, lambda step: False), 40))
    assert [p.step for p in found] == list(range(1, 41))
    assert [p.by for p in found] == ["waiting"] * 5 + ["compiled"] * 35
    assert not any(faults(nesting, p.best) for p in found)
    scores = [aims(nesting, p.best) for p in found]
    assert scores == sorted(scores, reverse=True)


def test_where_compiling_fails_the_plain_search_goes_on_and_says_so(demo, monkeypatch):
    pytest.importorskip("numba")
    under_way_for(monkeypatch, 3, then_ready=False)
    found = list(islice(search(nesting_job(demo), 0, lambda step: False), 8))
    assert [p.by for p in found] == ["waiting"] * 2 + ["plain"] * 6


def test_with_steps_the_plain_search_takes_none(demo, monkeypatch):
    pytest.importorskip("numba")
    nesting = nesting_job(demo)
    compiled = list(islice(search(nesting, 0, lambda step: False, repeatable=True), 5))
    under_way_for(monkeypatch, 3)
    monkeypatch.setattr(compiling, "_LOOK", 0.0)
    found = list(islice(search(nesting, 0, lambda step: False, repeatable=True), 5))
    assert [(p.best, p.by) for p in found] == [(p.best, "compiled") for p in compiled]


def test_whoever_comes_while_it_is_compiled_compiles_nothing(tmp_path, monkeypatch):
    started = []
    monkeypatch.setattr(compiling, "_kept", lambda: tmp_path)
    monkeypatch.setattr(compiling, "_LOOK", 0.01)
    monkeypatch.setattr(compiling.subprocess, "Popen", lambda *given, **named: started.append(given))
    tmp_path.chmod(0o700)
    at_it = compiling._lock()
    assert at_it.take()
    compiling.begin()
    other = Thread(target=compiling.compile_missing)
    other.start()
    other.join(0.2)
    assert other.is_alive()
    assert compiling.under_way()
    for half in compiling.HALVES:
        (tmp_path / compiling._mark(half)).touch()
    at_it.leave()
    other.join(10)
    assert not other.is_alive()
    assert not compiling.under_way()
    assert compiling.ready()
    assert started == []


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="the cache is elsewhere")
def test_a_short_command_says_that_it_waits_and_the_compiling_goes_on_after_it(demo_file, tmp_path):
    """With kernels left as Python, so that compiling them takes no time."""
    pytest.importorskip("numba")
    setting = os.environ | {"XDG_CACHE_HOME": str(tmp_path / "cache"), "NUMBA_DISABLE_JIT": "1"}
    command = [sys.executable, "-m", "workbook", "lay-out", str(demo_file), "--out", str(tmp_path / "out"), "--seconds", "0.1"]
    run = subprocess.run(command, env=setting, capture_output=True, text=True)
    assert run.returncode == 0, run.stderr
    assert run.stderr.strip() == SEARCH_WORDS["waiting"]
    assert "Then lay out again." in run.stdout
    written = json.loads((tmp_path / "out" / "layout.json").read_text())
    assert written["search"] == "plain"
    assert written["seconds"] > 0
    look = "from workbook.tasks import compiling as c; c.under_way() or print(c.ready())"
    until = time.monotonic() + 60
    while not (seen := subprocess.run([sys.executable, "-c", look], env=setting, capture_output=True, text=True).stdout):
        assert time.monotonic() < until
        time.sleep(0.5)
    assert seen.strip() == "True"


def test_a_machine_without_the_compiler_lays_out_all_the_same(demo_file, tmp_path):
    command = [sys.executable, "-m", "workbook", "lay-out", str(demo_file), "--out", str(tmp_path), "--seconds", "1"]
    setting = os.environ | {"MAKERS_WORKBOOK_PLAIN_SEARCH": "1"}
    run = subprocess.run(command, env=setting, capture_output=True, text=True)
    assert run.returncode == 0, run.stderr
    assert {f.name for f in tmp_path.iterdir()} == {"bars.dxf", "bars.pdf", "buy.csv", "costs.csv", "layout.json", LIST}


def test_neither_loading_a_job_nor_checking_it_imports_the_compiler(demo_file):
    code = "import sys; from workbook.__main__ import main; sys.argv = ['x', 'check', sys.argv[1]]; main(); sys.exit(0)"
    code = f"import atexit, sys; atexit.register(lambda: print('numba' in sys.modules, file=sys.stderr)); {code}"
    run = subprocess.run([sys.executable, "-c", code, str(demo_file)], capture_output=True, text=True)
    assert run.stderr.strip().splitlines()[-1] == "False"


def test_what_was_compiled_is_found_again(tmp_path):
    """In a cache of its own: nothing there, one half compiled, one still missing."""
    pytest.importorskip("numba")
    setting = os.environ | {"XDG_CACHE_HOME": str(tmp_path), "NUMBA_DISABLE_JIT": "1"}
    code = "from workbook.tasks import compiling as c; print(c.missing()); "
    code += "c.compile_half(c.HALVES[0]); print(c.missing(), c.ready())"
    run = subprocess.run([sys.executable, "-c", code], env=setting, capture_output=True, text=True, check=True)
    assert run.stdout.splitlines() == ["['separation', 'the rest']", "['the rest'] False"]


def test_both_lists_of_halves_are_the_same():
    pytest.importorskip("numba")
    from workbook.nesting.engine import warm

    assert compiling.HALVES == warm.HALVES


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="the cache is elsewhere")
def test_without_a_cache_of_ones_own_nothing_is_compiled(tmp_path, monkeypatch):
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    assert not compiling.possible()
    assert compiling.missing() == list(compiling.HALVES)
    assert compiling.main([]) == 0
