"""Start of the window beside an empty Qt window, and beside one that only loads numpy and shapely, as whole processes in turns.

Run `python tests/bench/start_up.py`.
"""

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
FLOOR = "import numpy, shapely" + EMPTY
OURS = """
import os, sys
from workbook.__main__ import load_before_qt, main
load_before_qt()
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
application = QApplication([])
QTimer.singleShot(0, application.quit)
sys.argv = ["makers-workbook"]
main()
os._exit(0)
"""


def main() -> int:
    """Prints both medians and their ratio."""
    turns = 11
    env = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"} | {"QT_QPA_PLATFORM": "offscreen"}
    codes = {"empty": EMPTY, "floor": FLOOR, "ours": OURS}
    taken: dict[str, list[float]] = {name: [] for name in codes}
    for _ in range(turns):
        for name, code in codes.items():
            began = time.perf_counter()
            subprocess.run([sys.executable, "-c", code], env=env, check=True)
            taken[name].append(time.perf_counter() - began)
    empty, floor, ours = (statistics.median(taken[name][1:]) for name in codes)
    print(f"empty window {empty:.3f} s; with numpy and shapely {floor:.3f} s, {floor / empty:.2f} times; medians of {turns - 1}")
    print(f"ours {ours:.3f} s, {ours / empty:.2f} times the empty window")
    return 0


if __name__ == "__main__":
    sys.exit(main())
