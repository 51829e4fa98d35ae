"""Workers and pairs of them: what is sent is answered, what one finds the other is told, one that dies harms nothing."""

import os
import signal
from decimal import Decimal
from itertools import islice
from multiprocessing import active_children

import pytest

from workbook.model.laying import start
from workbook.nesting.aims import aims
from workbook.nesting.verify import faults
from workbook.tasks import compiling, pair
from workbook.tasks.keeping import places_on
from workbook.tasks.pair import Best, partner, search_on_two
from workbook.tasks.worker import Answer, Better, Errand, SearchOrder, start_worker


@pytest.fixture
def nesting(demo):
    return start(demo)


@pytest.fixture
def worker():
    process, pipe = start_worker()
    yield process, pipe
    pipe.close()
    process.terminate()
    process.join(5)


def wait_for(pipe, number):
    while True:
        assert pipe.poll(60)
        message = pipe.recv()
        if message.number == number:
            return message


def test_an_order_is_searched_and_another_takes_its_place(worker, nesting):
    _, pipe = worker
    pipe.send(SearchOrder(1, nesting, 0))
    first = wait_for(pipe, 1)
    assert faults(nesting, first.progress.best) == []
    pipe.send(SearchOrder(2, nesting, 5))
    assert wait_for(pipe, 2).progress.step == 1


def test_a_worker_told_of_a_better_layout_reports_none_worse(worker, nesting):
    if not compiling.possible():
        pytest.skip("the plain search takes no layouts")
    _, pipe = worker
    from workbook.nesting.search import layouts

    *_, good = islice(layouts(nesting, 3), 200)
    pipe.send(SearchOrder(1, nesting, 0))
    wait_for(pipe, 1)
    pipe.send(Better(1, good.best))
    pipe.send(Better(9, good.best))  # of a search long gone
    seen = [wait_for(pipe, 1).progress.best for _ in range(12)]
    assert aims(nesting, seen[-1]) <= aims(nesting, good.best)


def test_an_errand_is_answered_and_its_fault_told(worker, nesting, laid_demo):
    _, pipe = worker
    pipe.send(Errand(4, places_on, (nesting, laid_demo.layout.bars[0], 1)))
    answer = wait_for(pipe, 4)
    assert answer.fault == ""
    assert answer.found[0].bar == 1
    pipe.send(Errand(5, divmod, (1, 0)))
    failed = wait_for(pipe, 5)
    assert isinstance(failed, Answer)
    assert failed.fault.startswith("ZeroDivisionError")


def test_the_best_is_kept_and_never_a_worse_one(nesting, laid_demo):
    from workbook.nesting.search import plain_layouts

    found = [progress.best for progress in islice(plain_layouts(nesting, 0), 12)]
    best = Best(nesting)
    taken = [best.take(layout) for layout in found]
    assert taken[0]
    assert not best.take(found[0])
    assert aims(nesting, best.layout) == min(aims(nesting, layout) for layout in found)


def test_two_search_together_and_leave_no_process_behind(nesting):
    before = len(active_children())
    found = list(search_on_two(nesting, 0, lambda step: step >= 150))
    assert not any(faults(nesting, progress.best) for progress in found[:: len(found) // 5])
    scores = [aims(nesting, progress.best) for progress in found]
    assert scores == sorted(scores, reverse=True)
    assert len(active_children()) == before


def test_a_partner_started_before_helps_and_ends_with_its_context(nesting):
    before = len(active_children())
    with partner() as worker:
        assert len(active_children()) == before + 1
        found = list(search_on_two(nesting, 0, lambda step: step >= 60, worker))
        assert len(active_children()) == before + 1  # it is the caller's
    assert faults(nesting, found[-1].best) == []
    assert len(active_children()) == before


def test_no_bound_is_worked_out_where_none_is_wanted(nesting):
    process, pipe = start_worker()
    try:
        pipe.send(SearchOrder(1, nesting, 0, bounded=False))
        assert {pipe.recv().bound for _ in range(3)} == {(Decimal(0), "")}
    finally:
        pipe.close()
        process.join(5)


def test_a_partner_that_dies_is_done_without(nesting, monkeypatch):
    made = []

    def killed():
        process, pipe = start_worker()
        made.append(process)
        os.kill(process.pid, signal.SIGKILL if hasattr(signal, "SIGKILL") else signal.SIGTERM)
        return process, pipe

    monkeypatch.setattr(pair, "start_worker", killed)
    *_, last = search_on_two(nesting, 0, lambda step: step >= 60)
    assert last.step >= 60
    assert faults(nesting, last.best) == []
