"""The window's clock: nothing holds its thread over 100 ms. A human looks for 50 ms with tests/bench/clock.py."""

import pytest

from tests.clock import Clock, until
from tests.counts import FULL
from tests.scenes import PAGES, SCENES
from workbook.app.look import Look
from workbook.app.warming import Warming
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.tasks.demo import demo_document
from workbook.tasks.work import work_in

MOST = 0.1  # s
NOT_YET: dict[str, str] = {}  # what still holds the window longer, and why
TURNS = 3  # what comes but once or twice was another program's
EVERY_CHANGE = {  # the worst of each kind; the others at full
    "fifo", "device", "picture", "drawing", "preflight", "job", "table", "strange_book", "publishing", "stopped_workers",
    "let_go",
    *(f"first {page}" for page in PAGES), "print_template", "print_bars", "print_quote", "export sheets", "export bars-drawing",
}  # fmt: skip


@pytest.fixture
def gap(qtbot, tmp_path, monkeypatch):
    """Plays a scene in a window of its own; the longest time in s for which the window stood still."""
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    monkeypatch.setattr("workbook.app.printing.QDesktopServices.openUrl", lambda url: True)

    def played(scene, folder):
        folder.mkdir()
        window = Window(Workspace(work_in(demo_document()), Look("light")))
        qtbot.addWidget(window)
        window.resize(1440, 900)
        with qtbot.waitExposed(window):
            window.show()
        warming = Warming(window)
        warming.begin()
        until(lambda: warming.over)
        found = Clock().through(scene(window, folder), 120)
        window.end_quietly()
        window.close()
        return found

    return played


@pytest.mark.parametrize("name", [name for name in SCENES if name not in NOT_YET and (FULL or name in EVERY_CHANGE)])
def test_nothing_holds_the_window(gap, tmp_path, name):
    gaps = []
    for turn in range(TURNS):
        gaps.append(gap(SCENES[name], tmp_path / f"{turn}"))
        if gaps[-1] <= MOST:
            return
    pytest.fail(f"{name}: the window stood still for {min(gaps) * 1000:.0f} ms")
