"""Start of the window beside an empty Qt window, as whole processes in turns: until each is painted, until ours has answered an
edit with another picture, and until everything stands.

Run `python tests/bench/start_up.py`.
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time

TURNS = 11
EMPTY = """
import os
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QMainWindow
class Window(QMainWindow):
    def paintEvent(self, event):
        super().paintEvent(event)
        QTimer.singleShot(0, lambda: os._exit(0))  # once all of it is painted
application = QApplication([])
window = Window()
window.resize(1440, 900)
window.show()
application.exec()
"""
# the first picture, then one step of the blade's length by a key, then the checks
OURS = """
import os, sys
from workbook.__main__ import main
try:
    from workbook.app.faster_start import start_faster
except ImportError:  # of a program before it was called so
    try:
        from workbook.app.faster_start import make_haste as start_faster
    except ImportError:
        from workbook.app.haste import make_haste as start_faster
start_faster()
from PySide6.QtCore import QCoreApplication, QEvent, Qt, QTimer
from PySide6.QtGui import QKeyEvent
from workbook.app.canvas.board import Board
from workbook.app.pages.draw.page import DrawPage
try:
    from workbook.app.elements.length_field import ValueField
except ImportError:
    from workbook.app.widgets.length_field import ValueField
paint, judge, wanted = Board.paintEvent, DrawPage._judge, sys.argv[1]
lengths = []

def painted(board, event):
    paint(board, event)
    scene = board.scene if hasattr(board, "scene") else board._scene
    length = scene.blank.template.blade.length
    if not lengths:
        lengths.append(length)
        if wanted == "painted":
            QTimer.singleShot(0, lambda: os._exit(0))  # once everything is painted
        if wanted == "edited":
            field = board.window().draw.panel.findChild(ValueField, "blade.length")
            field.setFocus()
            for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
                QCoreApplication.postEvent(field, QKeyEvent(kind, Qt.Key.Key_Up, Qt.KeyboardModifier.NoModifier))
    elif wanted == "edited" and length != lengths[0]:
        os._exit(0)

def judged(page):
    judge(page)
    if wanted == "stands" and lengths:
        os._exit(0)

Board.paintEvent, DrawPage._judge = painted, judged
sys.argv = ["makers-workbook"]
main()
os._exit(1)
"""


def timed(code: str, folder: str, argument: str) -> float:
    """Seconds of one whole process."""
    env = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    env |= {"QT_QPA_PLATFORM": "offscreen", "MAKERS_WORKBOOK_DATA": folder}
    began = time.perf_counter()
    subprocess.run([sys.executable, "-c", code, argument], env=env, check=True, timeout=60)
    return time.perf_counter() - began


def main() -> int:
    """Prints the medians and their ratios. The first turn begins on the demo, uncounted; all others where work was left."""
    taken: dict[str, list[float]] = {name: [] for name in ("empty", "painted", "edited", "stands")}
    with tempfile.TemporaryDirectory() as folder:
        for _ in range(TURNS):
            for name, times in taken.items():
                times.append(timed(EMPTY if name == "empty" else OURS, folder, name))
    print(f"medians of {TURNS - 1}, and the least, in seconds; as often as the empty window's")
    empty = taken["empty"][1:]
    for name, times in taken.items():
        own = times[1:]
        middle, least = statistics.median(own), min(own)
        ratios = f"{middle / statistics.median(empty):.2f}, {least / min(empty):.2f}"
        print(f"{name:8} {middle:.3f}, {least:.3f}; {ratios}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
