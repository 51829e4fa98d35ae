"""The monkey for a moment; and that it sees what is planted. At full: `python tests/app/monkey.py --seeds 20 --minutes 5`."""

import subprocess
import sys

import pytest

from tests.app.monkey import environment, play
from tests.counts import some, tries

_LOST = """
from workbook.storage.session import Session
real = Session.undo
def planted(session):
    edit = real(session)
    records = dict(session.document.records)
    records.pop(next(id for id, record in reversed(records.items()) if type(record).__name__ == "BarRecord"), None)
    session.document = type(session.document)(records)
    return edit
Session.undo = planted
from workbook.app.window import Window
begun = Window._after_start
def with_a_step(window):
    begun(window)
    window.workspace.duplicate()
Window._after_start = with_a_step
"""
_RAISED = """
from workbook.app.workspace import Workspace
def planted(space, name):
    raise RuntimeError("planted")
Workspace.choose = planted
"""
_WARNED = """
from PySide6.QtCore import qWarning
from workbook.app.window import Window
real = Window.show_page
def planted(window, name):
    qWarning("planted")
    real(window, name)
Window.show_page = planted
"""


@pytest.mark.parametrize("seed", range(1, tries(1, 20) + 1))
def test_random_keys_and_clicks_lose_nothing_and_find_no_fault(tmp_path, seed):
    assert play(seed, tmp_path / f"seed {seed}", tries(1, 5), tries(16, 10**9)) == []


@pytest.mark.parametrize(
    ("planted", "deeds", "said"),
    some([(_LOST, 10, "not the workbook it was"), (_RAISED, 500, "planted"), (_WARNED, 500, "Qt: planted")], 1),
)
def test_a_planted_fault_is_found(tmp_path, planted, deeds, said):
    script = tmp_path / "planted.py"
    script.write_text(
        "import sys\nfrom pathlib import Path\n\nif __name__ == '__main__':\n"
        + "\n".join(f"    {line}" for line in planted.strip().splitlines())
        + "\n    from tests.app.monkey import one\n    sys.exit(one(1, Path(sys.argv[1]), 1.0, int(sys.argv[2])))\n",
        encoding="utf-8",
    )
    folder = tmp_path / "seed 1"
    folder.mkdir()
    done = subprocess.run(
        [sys.executable, script, folder, str(deeds)], env=environment(folder), capture_output=True, text=True, timeout=120
    )
    assert done.returncode == 1
    assert said in done.stderr
