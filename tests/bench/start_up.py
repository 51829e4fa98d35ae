"""Start of the window beside the start of an empty Qt window, in turns, as whole processes: `python tests/bench/start_up.py`."""

import os
import statistics
import subprocess
import sys
import time

EMPTY = """
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QMainWindow
application = QApplication([])
window = QMainWindow()
window.resize(1440, 900)
window.show()
QTimer.singleShot(0, application.quit)
application.exec()
"""
OURS = """
import os
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from workbook.app.look import Look
from workbook.app.main import Window, Workspace, demo_job
application = QApplication([])
application.setStyle("Fusion")
window = Window(Workspace(demo_job(), Look("light")))
window.resize(1440, 900)
window.show()
QTimer.singleShot(0, application.quit)
application.exec()
os._exit(0)
"""


def main() -> int:
    """Prints both medians and their ratio."""
    turns = 11
    env = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"} | {"QT_QPA_PLATFORM": "offscreen"}
    taken: dict[str, list[float]] = {"empty": [], "ours": []}
    for _ in range(turns):
        for name, code in (("empty", EMPTY), ("ours", OURS)):
            began = time.perf_counter()
            subprocess.run([sys.executable, "-c", code], env=env, check=True)
            taken[name].append(time.perf_counter() - began)
    empty, ours = (statistics.median(taken[name][1:]) for name in ("empty", "ours"))
    print(f"empty window {empty:.3f} s, ours {ours:.3f} s, ratio {ours / empty:.2f} (medians of {turns - 1})")
    return 0


if __name__ == "__main__":
    sys.exit(main())
