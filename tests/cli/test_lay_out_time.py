"""The time of `lay-out`, on a clock of the test's own: the search ends early enough for the files."""

from argparse import Namespace
from multiprocessing import Pipe

import pytest

from workbook.cli import lay_out
from workbook.model.laying import start
from workbook.nesting.model import Progress


class Clock:
    """Stands still but for what is said to take time."""

    def __init__(self):
        self.now = 100.0

    def monotonic(self):
        return self.now


@pytest.fixture
def clock(monkeypatch):
    made = Clock()
    monkeypatch.setattr(lay_out, "time", made)
    return made


def searched(monkeypatch, clock, demo, laid_demo, seconds, step, files, steps=None):
    """Steps taken and seconds gone where every step and the files take so long."""
    taken = []

    def search(nesting, seed, stop, *, repeatable=False):
        for number in range(1, 10_000):
            clock.now += step
            taken.append(number)
            yield Progress(number, laid_demo.layout)
            if stop(number):
                return

    monkeypatch.setattr(lay_out, "search", search)
    monkeypatch.setattr(lay_out, "search_on_two", search)
    monkeypatch.setattr(lay_out._LayOut, "_for_files", lambda self, first: files)
    began = clock.now
    options = Namespace(began=began, seconds=seconds, steps=steps, seed=0, quiet=True, paper="letter")
    clock.now += 1.0  # the job was read
    laid = lay_out._LayOut(demo, start(demo), options, 1.0).laid()
    return len(taken), clock.now - began, laid


@pytest.mark.parametrize(("seconds", "step", "files"), [(5, 0.05, 0.5), (5, 0.3, 1.0), (20, 1.4, 3.0), (2.5, 0.01, 0.2)])
def test_the_search_leaves_the_files_their_time(monkeypatch, clock, demo, laid_demo, seconds, step, files):
    steps, gone, laid = searched(monkeypatch, clock, demo, laid_demo, seconds, step, files)
    assert gone + files <= seconds + lay_out._GRACE
    assert gone + files + 2 * step > seconds + lay_out._GRACE  # another step would have been too much
    assert steps > 1
    assert laid.seconds == pytest.approx(gone, abs=0.06)


def test_what_has_no_time_ends_with_its_first_layout(monkeypatch, clock, demo, laid_demo):
    steps, _, _ = searched(monkeypatch, clock, demo, laid_demo, 2.0, 3.0, 9.0)
    assert steps == 1


def test_steps_know_no_time(monkeypatch, clock, demo, laid_demo):
    steps, _, laid = searched(monkeypatch, clock, demo, laid_demo, 0.1, 3.0, 9.0, steps=7)
    assert (steps, laid.seconds) == (7, None)


@pytest.mark.parametrize(("read", "on_two"), [(1.0, True), (4.6, False)])
def test_the_worker_helps_where_there_is_time(monkeypatch, clock, demo, laid_demo, read, on_two):
    """It was started with the command; after a job that took long to read it would help no more."""
    worker, theirs = Pipe()
    asked = []

    def search(nesting, seed, stop, *with_it, **_named):
        asked.append(with_it)
        yield Progress(1, laid_demo.layout)

    monkeypatch.setattr(lay_out, "search", search)
    monkeypatch.setattr(lay_out, "search_on_two", search)
    monkeypatch.setattr(lay_out._LayOut, "_for_files", lambda self, first: 0.1)
    options = Namespace(began=clock.now, seconds=5.0, steps=None, seed=0, quiet=True, paper="letter")
    clock.now += read
    lay_out._LayOut(demo, start(demo), options, 1.0, worker).laid()
    assert asked == [(worker,) if on_two else ()]
    assert worker.closed != on_two, "one that does not help ends"
    theirs.close()
