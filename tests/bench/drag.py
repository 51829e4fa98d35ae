"""How long a frame of a drag takes, from the mouse's move to the painted picture: `python tests/bench/drag.py`.

Every peg of the families given is dragged to and fro on the real window (offscreen, or on the screen DISPLAY names with
QT_QPA_PLATFORM=xcb), and every move is followed by the painting of all that has changed.
"""

import argparse
import os
import statistics
import sys
import tempfile
import time
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication

from workbook.app.look import Look
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.formats.family import family_ids
from workbook.tasks.demo import demo_job
from workbook.tasks.work import work_on
from workbook.template.pegs import pegs

MOVES = 12


def shown():
    """A window on the demo job."""
    application = QApplication.instance() or QApplication(["drag"])
    application.setStyle("Fusion")
    window = Window(Workspace(work_on(demo_job().job), Look()))
    window.resize(1440, 900)
    window.show()
    application.processEvents()
    return window


def seconds(deed):
    """How long a call took."""
    began = time.perf_counter()
    deed()
    return time.perf_counter() - began


def frames(window, taken_by=seconds, every=1):
    """What every frame took of a drag of each peg of the blank that shows, or of every so-manyth."""
    draw, application = window.draw, QApplication.instance()
    taken = []

    def frame(peg, n):
        draw._moving.move(peg.name, peg.at[0] + (n % 6) * 0.4, peg.at[1] + (n % 4) * 0.3)
        application.processEvents()
        application.sendPostedEvents(None, QEvent.Type.DeferredDelete)

    for peg in list(pegs(window.workspace.blank))[::every]:
        draw._moving.take()
        draw.board.fitted = False  # as the first move of the mouse leaves it
        taken += [taken_by(partial(frame, peg, n)) for n in range(MOVES)]
        draw._moving.put_back()
        draw.board.fit()
    return taken


def main():
    """Prints the median and the 95th percentile of each family, and of all."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("families", nargs="*", default=family_ids())
    chosen = parser.parse_args().families
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    os.environ["MAKERS_WORKBOOK_DATA"] = tempfile.mkdtemp()
    window = shown()
    everything = []
    for name in chosen:
        window.workspace.add_family(name)
        QApplication.processEvents()
        taken = frames(window)
        everything += taken
        print(f"{name:24} median {statistics.median(taken) * 1e3:5.1f} ms, 95 % under {_high(taken) * 1e3:5.1f} ms")
    late = sum(t > 0.016 for t in everything) / len(everything)
    median, high = statistics.median(everything) * 1e3, _high(everything) * 1e3
    print(f"all: median {median:.1f} ms, 95 % under {high:.1f} ms, {late:.1%} over 16 ms")
    window.close()


def _high(taken):
    return sorted(taken)[int(0.95 * len(taken))]


if __name__ == "__main__":
    main()
