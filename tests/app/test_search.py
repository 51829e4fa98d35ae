"""The search's workers, busy or stopped: the window waits for none of them."""

import os
import signal
from threading import Timer

import pytest

from workbook.app.search import Search
from workbook.model.laying import start
from workbook.structs import replace

RESCUE = 20.0  # s after which stopped workers go on, so that a window that waits for them does not wait for ever
pytestmark = pytest.mark.skipif(not hasattr(signal, "SIGSTOP"), reason="a process cannot be stopped here")


@pytest.fixture
def search(qtbot):
    made = Search()
    made.warm()
    yield made
    made.close()


@pytest.fixture
def many(demo):
    """An order whose message is larger than a pipe holds."""
    return replace(start(demo), used=tuple(f"Z{n}" for n in range(100_000)))


def stop(search, rescued):
    """Stops the workers, and lets them go on when the window has not got on without them."""
    pids = [worker.process.pid for worker in search.workers]
    for pid in pids:
        os.kill(pid, signal.SIGSTOP)

    def rescue():
        rescued.append(True)
        for pid in pids:
            os.kill(pid, signal.SIGCONT)

    timer = Timer(RESCUE, rescue)
    timer.start()
    return timer


def test_orders_to_stopped_workers_hold_nothing(qtbot, search, demo, many):
    rescued = []
    timer = stop(search, rescued)
    for _ in range(20):
        search.begin(many)
        search.stop()
    search.begin(start(demo))
    timer.cancel()
    assert not rescued
    for worker in search.workers:
        os.kill(worker.process.pid, signal.SIGCONT)
    with qtbot.waitSignal(search.reported, timeout=60_000) as report:
        pass
    assert len(report.args[0].progress.best.bars) > 0


def test_stopped_workers_are_ended_with_the_window(search, many):
    rescued = []
    timer = stop(search, rescued)
    processes = [worker.process for worker in search.workers]
    search.begin(many)
    search.close()
    timer.cancel()
    assert not rescued
    assert not any(process.is_alive() for process in processes)


def test_a_worker_that_ended_while_nothing_was_asked_is_made_anew(qtbot, search, demo):
    search.workers[0].process.kill()
    search.workers[0].process.join()
    with qtbot.waitSignal(search.reported, timeout=60_000):
        search.begin(start(demo))
