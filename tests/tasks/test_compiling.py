"""Compiling once and apart: marks, the plain search meanwhile, and machines without the compiler."""

import os
import subprocess
import sys
from itertools import islice

import pytest

from workbook.nesting.verify import faults
from workbook.tasks import compiling
from workbook.tasks.layout import nesting_job, search
from workbook.tasks.outputs import LIST


class Going:
    """A process that ends after being asked so many times."""

    def __init__(self, asks):
        self.asks = asks

    def poll(self):
        self.asks -= 1
        return None if self.asks > 0 else 0

    def wait(self):
        self.asks = 0
        return 0


def test_plain_steps_come_until_all_is_compiled_and_nothing_gets_worse(demo, monkeypatch):
    pytest.importorskip("numba")
    nesting = nesting_job(demo)
    monkeypatch.setattr(compiling, "ready", lambda: False)
    monkeypatch.setattr(compiling, "begin", lambda: [Going(4), Going(6)])
    found = list(islice(search(nesting, 0, lambda step: False), 40))
    assert [p.step for p in found] == list(range(1, 41))
    assert not any(faults(nesting, p.best) for p in found)


def test_with_steps_the_plain_search_takes_none(demo, monkeypatch):
    pytest.importorskip("numba")
    nesting = nesting_job(demo)
    compiled = list(islice(search(nesting, 0, lambda step: False, repeatable=True), 5))
    waited = []
    monkeypatch.setattr(compiling, "ready", lambda: False)
    monkeypatch.setattr(compiling, "begin", lambda: waited.append(1) or [Going(3)])
    monkeypatch.setattr(Going, "wait", lambda self: monkeypatch.setattr(compiling, "ready", lambda: True))
    assert [p.best for p in islice(search(nesting, 0, lambda step: False, repeatable=True), 5)] == [p.best for p in compiled]
    assert waited


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
