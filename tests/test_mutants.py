"""The script that puts faults into modules: it finds a fault that its tests see, and lets what is no fault live."""

import ast
import subprocess
import sys

from tests import mutants
from tests.counts import FULL

HEAT = "workbook/grind/heat.py"
FORMULAS = ("tests/external/test_grind_formulas.py", "tests/external/test_grind_otherwise.py")


def test_a_fault_that_tests_see_is_found():
    fault = next(m for m in mutants.mutants(HEAT) if m.function == "diffusion" and m.after.startswith("return None"))
    assert not mutants.survives(fault, FORMULAS[:1])


def test_what_is_no_fault_lives(monkeypatch):
    """The same copy, loaded in the module's place, with nothing changed in it."""
    fault = mutants.mutants(HEAT)[0]
    monkeypatch.setattr(mutants, "faulty", lambda node: node)
    assert mutants.survives(fault, FORMULAS[:1])


def test_a_fault_is_in_the_copy_and_nowhere_else():
    source = (mutants.ROOT / HEAT).read_text(encoding="utf-8")
    for fault in mutants.mutants(HEAT):
        assert fault.before != fault.after
        changed = mutants.with_fault(fault)
        assert compile(changed, HEAT, "exec")
        assert changed != ast.unparse(ast.parse(source))
    assert (mutants.ROOT / HEAT).read_text(encoding="utf-8") == source


def test_a_few_faults_are_tried_and_three_hundred_before_a_release():
    few = ["--count", "1", "--seed", "3", "--only", HEAT, "--tests", *FORMULAS]
    order = [sys.executable, "tests/mutants.py", *(["--count", "300", "--seed", "1"] if FULL else few)]
    done = subprocess.run(order, cwd=mutants.ROOT, capture_output=True, text=True, check=False)
    assert f"of {300 if FULL else 1} faults found" in done.stdout, done.stdout + done.stderr
    assert done.returncode == 0, done.stdout


def test_every_module_has_tests():
    assert len(mutants.modules()) > 30
    for module in mutants.modules():
        assert mutants.tests_of(module), module


def test_what_is_left_out_is_a_fault_that_could_be_made_and_has_a_reason(monkeypatch):
    left_out = mutants.EQUIVALENT
    monkeypatch.setattr(mutants, "EQUIVALENT", {})
    names = {fault.name for module in {name.partition(":")[0] for name in left_out} for fault in mutants.mutants(module)}
    assert set(left_out) <= names, set(left_out) - names
    assert all(left_out.values())
