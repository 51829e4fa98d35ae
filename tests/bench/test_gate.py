"""How the gate judges, and that each measure runs."""

import tempfile
from itertools import accumulate, count
from pathlib import Path
from types import SimpleNamespace

import pytest

from tests.bench import gate
from tests.bench.gate_judging import Measure, Outcome, Row, ratio_of, rows, verdict
from tests.counts import some

MEASURE = Measure("grind", turns=10)


def outcome(*values, name="petty"):
    return Outcome(tuple({name: value} for value in values))


def row(before, after, again=None, measure=MEASURE):
    (only,) = rows(measure, "HEAD^", (before, after), again)
    return only


def test_a_ratio_is_the_median_of_the_turns_ratios():
    assert ratio_of([10, 20, 30], [11, 20, 60]) == (1.1, 1.0, 2.0)


def test_the_range_of_a_ratio_leaves_out_what_chance_makes():
    assert ratio_of([1.0] * 20, [0.5, *[1.2] * 18, 9.0]) == (1.2, 1.2, 1.2)


def test_what_takes_as_long_is_not_bad():
    assert not row(outcome(*[10.0] * 10), outcome(*[10.4] * 10)).bad


def test_what_takes_six_percent_longer_is_worse():
    found = row(outcome(*[10.0] * 10), outcome(*[10.6] * 10))
    assert found.bad and found.mark == "WORSE" and found.ratio.middle == pytest.approx(1.06)


def test_noise_is_not_called_worse():
    assert not row(outcome(*[10.0] * 10), outcome(*[8.0] * 3, *[9.0] * 1, *[12.0] * 6)).bad


def test_a_length_may_not_be_more_at_all():
    lengths = Measure("lengths", turns=2, exact=True)
    assert row(outcome(100.0, 102.0), outcome(100.0, 102.1), measure=lengths).bad
    assert not row(outcome(100.0, 102.0), outcome(103.0, 98.0), measure=lengths).bad


def test_what_seemed_worse_and_is_not_when_measured_again_is_not_bad():
    again = outcome(*[10.0] * 20), outcome(*[10.1] * 20)
    found = row(outcome(*[10.0] * 10), outcome(*[12.0] * 10), again)
    assert not found.bad and found.mark == "not worse, measured again in 20 turns (at first 1.200)"


def test_what_is_worse_again_is_bad():
    again = outcome(*[10.0] * 20), outcome(*[11.0] * 20)
    found = row(outcome(*[10.0] * 10), outcome(*[12.0] * 10), again)
    assert found.bad and "WORSE, measured again" in found.mark


def test_a_figure_that_was_not_there_before_is_new():
    before, after = outcome(1.0), Outcome(({"petty": 1.0, "skinner": 2.0},))
    assert [(r.what, r.mark, r.bad) for r in rows(MEASURE, "HEAD^", (before, after))] == [
        ("grind: petty", "", False),
        ("grind: skinner", "new", False),
    ]


def test_a_figure_that_is_there_no_more_is_gone():
    assert [r.mark for r in rows(MEASURE, "HEAD^", (outcome(1.0), outcome(1.0, name="skinner")))] == ["new", "gone"]


def test_a_measure_that_the_program_before_lacks_is_new():
    found = row(Outcome(error="ImportError: cannot import name 'masses'"), outcome(1.0))
    assert not found.bad and found.mark == "new: cannot be measured at HEAD^: ImportError: cannot import name 'masses'"


@pytest.mark.parametrize("again", [False, True])
def test_a_measure_that_fails_is_bad(again):
    failed = outcome(10.0), Outcome(error="ImportError: cannot import name 'masses'")
    first = (outcome(*[10.0] * 10), outcome(*[12.0] * 10)) if again else failed
    found = row(*first, failed)
    assert found.bad and found.mark.startswith("failed: ImportError")


def test_a_measure_that_fails_before_for_no_lack_is_bad():
    assert row(Outcome(error="ValueError: nothing"), outcome(1.0)).mark == "failed at HEAD^: ValueError: nothing"


def test_the_verdict_names_what_is_bad():
    good, slow = row(outcome(1.0), outcome(1.0)), row(outcome(*[1.0] * 10), outcome(*[2.0] * 10))
    assert verdict([good]) == "Nothing is worse."
    said = verdict([good, slow, Row("drag", mark="failed: no", bad=True)])
    assert said.splitlines()[1:] == ["  grind: petty: 2.000 of before", "  drag: failed: no"]


def test_a_measure_without_a_ratio_is_printed_with_its_mark():
    assert Row("drag", mark="failed: no").line().split() == ["drag", "failed:", "no"]


@pytest.fixture(scope="module")
def here():
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        program = gate.Program(gate.ROOT, Path(folder), cache=None)
        (program.folder / "data").mkdir()
        yield program


@pytest.mark.parametrize("name", some(["grind", "first-layouts"], 1))
def test_a_measure_of_this_program_beside_itself(here, name):
    before, after = gate.compared(Measure(name, turns=2), (here, here), range(1))
    assert not before.error and not after.error
    assert before.names() == after.names() and len(before.turns) == len(after.turns) == 2
    assert all(value > 0 for turn in before.turns for value in turn.values())


def test_the_program_measured_is_the_one_named(here, tmp_path):
    (tmp_path / "workbook").mkdir()
    (tmp_path / "workbook" / "__init__.py").write_text("raise ValueError('another program')", encoding="utf-8")
    before, after = gate.compared(MEASURE, (here._replace(tree=tmp_path), here), range(1))
    assert before.error == "ValueError: another program" and not after.error


def test_what_waits_while_it_is_read_takes_no_less_than_nothing(monkeypatch):
    from tests.bench import gate_measures

    waits = accumulate(count(10.0))  # s; before each reading others have a core, longer each time

    monkeypatch.setattr(gate_measures, "time", SimpleNamespace(perf_counter=lambda: next(waits)))
    monkeypatch.setattr(gate_measures, "queued", lambda: next(waits) * 1000)
    assert gate_measures.took(lambda: None) >= 0


def test_every_measure_has_a_way():
    from tests.bench.gate_measures import WAYS

    assert [measure.name for measure in gate.MEASURES] == list(WAYS)


@pytest.mark.skipif(not (gate.ROOT / ".git").exists(), reason="not in a repository")
def test_a_checked_out_tree_goes_after_an_error(monkeypatch):
    monkeypatch.setattr(gate.Program, "make_ready", lambda program: None)
    with pytest.raises(KeyboardInterrupt), gate.both("HEAD") as (before, after):
        assert (before.tree / "workbook" / "__init__.py").is_file() and after.tree == gate.ROOT
        raise KeyboardInterrupt
    assert not before.tree.exists() and str(before.tree) not in gate.git("worktree", "list")


def test_a_process_goes_after_an_error(here, monkeypatch):
    started, plain = [], gate.subprocess.Popen
    monkeypatch.setattr(gate.subprocess, "Popen", lambda *rest, **named: started.append(plain(*rest, **named)) or started[0])
    with pytest.raises(KeyboardInterrupt), here.measuring("grind", 0):
        raise KeyboardInterrupt
    assert started[0].returncode
