"""Fixtures that several folders of tests use, and how hypothesis runs: the same examples every time."""

import gc
import multiprocessing
import os

import pytest
from hypothesis import HealthCheck, settings

from tests.counts import tries
from workbook.cli.main import main
from workbook.formats.tables import facts
from workbook.model.laying import finish, start
from workbook.system.memory import collect_seldom
from workbook.tasks import compiling
from workbook.tasks.demo import write_demo
from workbook.tasks.load import load_job
from workbook.tasks.searching import search
from workbook.template.tools import Tools, drills_for

_SLOW = [HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large]
settings.register_profile("suite", deadline=None, max_examples=tries(8, 400), derandomize=True, suppress_health_check=_SLOW)
settings.register_profile("search", deadline=None, max_examples=1500, database=None, suppress_health_check=_SLOW)
settings.load_profile("suite")

os.environ.setdefault("MAKERS_WORKBOOK_CATALOGUE", "")  # English, whatever the language of this system

gc.disable()  # while the tests are read, nothing of them goes, and looking for what does takes a quarter of the time


def pytest_collection_finish():
    """What the collected tests are made of is no garbage: no collection walks it again, and none comes often."""
    gc.freeze()
    gc.enable()
    collect_seldom()


@pytest.fixture(scope="session", autouse=True)
def compiled():
    """The search's machine code, made once on a machine; after that this takes no time."""
    assert compiling.main([]) == 0
    assert compiling.ready() or not compiling.possible()


@pytest.fixture(scope="session", autouse=True)
def ready_workers(compiled):
    """Nesting workers and readers of files are copied from a process that has loaded everything: made anew, as the program makes
    them, each takes a second. The journeys and tests of whole commands have the program's own.
    """
    if "forkserver" not in multiprocessing.get_all_start_methods():
        yield
        return
    server = multiprocessing.get_context("forkserver")
    server.set_forkserver_preload(["tests.ready"])
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("workbook.tasks.worker.get_context", lambda method: server)
        patch.setattr("workbook.tasks.guarded._context", lambda: server)
        yield


@pytest.fixture(scope="session")
def tools():
    """The tools of a maker who works in inches."""
    return Tools(drills=drills_for(facts().drills, "in"))


@pytest.fixture(scope="session")
def demo_file(tmp_path_factory):
    """The demo job on disk."""
    return write_demo(tmp_path_factory.mktemp("demo"))


@pytest.fixture(scope="session")
def demo(demo_file):
    """The model of the demo job."""
    return load_job(demo_file)


@pytest.fixture(scope="session")
def laid_demo(demo):
    """The demo job laid out in a few steps."""
    nesting = start(demo)
    *_, last = search(nesting, 0, lambda step: step >= 4)
    return finish(demo, nesting, last, 0)


@pytest.fixture(scope="session")
def lay_out_folder(demo_file, tmp_path_factory):
    """What `lay-out` writes for the demo job."""
    folder = tmp_path_factory.mktemp("laid") / "out"
    assert main(["lay-out", str(demo_file), "--out", str(folder), "--steps", "4", "--quiet"]) == 0
    return folder


@pytest.fixture(scope="session")
def templates_folder(demo_file, tmp_path_factory):
    """What `templates` writes for the demo job."""
    folder = tmp_path_factory.mktemp("sheets") / "out"
    assert main(["templates", str(demo_file), "--out", str(folder), "--quiet"]) == 0
    return folder


@pytest.fixture
def job_file(tmp_path):
    """Writes a job and says where it is."""

    def write(text):
        file = tmp_path / "job.toml"
        file.write_text(text, encoding="utf-8")
        return file

    return write
