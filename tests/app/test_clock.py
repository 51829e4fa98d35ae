"""The window's clock: nothing holds its thread over 100 ms. A human looks for 50 ms with tests/bench/clock.py."""

import pytest
from PySide6.QtWidgets import QDialog

from tests.clock import Clock, settled, until
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
TURNS = 4  # what comes but once or twice was another program's
ROUNDS = (  # the worst of each kind for every change, several in one window where none spoils it for the next; at full, all alone
    ("fifo", "picture", "drawing", "table"),
    tuple(f"first {page}" for page in PAGES),
    ("print_quote", "print_bars", "export bars-drawing", "publishing"),
    ("stopped_workers",),
    ("let_go",),
)
PLAYED = [tuple(each for each in one if each not in NOT_YET) for one in ([(name,) for name in SCENES] if FULL else ROUNDS)]


@pytest.fixture
def gaps(qtbot, tmp_path, monkeypatch):
    """Plays scenes in a new window; for each the longest time in s for which the window stood still."""
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    monkeypatch.setattr("workbook.app.start_order.AFTER_MENUS", 400)  # as in the program: other tests have it late
    for pause in ("BETWEEN_SLICES", "BETWEEN_MODULES"):
        monkeypatch.setattr(f"workbook.app.start_order.{pause}", 0)

    def played(names, folder):
        window = Window(Workspace(work_in(demo_document()), Look("light")))
        qtbot.addWidget(window)
        window.resize(1440, 900)
        with qtbot.waitExposed(window):
            window.show()
        warming = Warming(window)
        warming.begin()
        until(lambda: warming.over)
        found = {}
        for name in names:
            (folder / name).mkdir(parents=True)
            found[name] = Clock().through(SCENES[name](window, folder / name), 120)
            for dialog in window.findChildren(QDialog):
                dialog.close()
            settled(0.2)
        window.end_quietly()
        window.close()
        return found

    return played


@pytest.mark.parametrize("names", [names for names in PLAYED if names], ids="-".join)
def test_nothing_holds_the_window(gaps, tmp_path, names):
    worst = dict.fromkeys(names, float("inf"))
    for turn in range(TURNS):
        found = gaps([name for name in names if worst[name] > MOST], tmp_path / f"{turn}")
        worst |= {name: min(gap, worst[name]) for name, gap in found.items()}
        if max(worst.values()) <= MOST:
            return
    pytest.fail(", ".join(f"{name}: the window stood still for {gap * 1000:.0f} ms" for name, gap in worst.items() if gap > MOST))
