"""How long the window's thread is held by what takes long: `python tests/bench/clock.py [words of scenes]`.

The longest gap between two ticks of a timer on the event loop, in each scene of tests/scenes.py; where the thread was, with
`--where`. Under 50 ms is wanted on a quiet machine. Each scene has a window, data folder and process of its own; one that takes
longer is played up to three times, and each is told: what comes but once or twice is another program's.
"""

import os
import subprocess
import sys
import tempfile
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("MAKERS_WORKBOOK_FULL_TESTS", "1")  # scenes as large as they get (tests/counts.py)
ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

WANTED, OVER, TURNS = 0.05, 3, 3  # s; what a play over it ends with; plays


def played(name, *, where):
    """Plays one scene in this process and prints its gap."""
    from workbook.app.faster_start import have_time, start_faster

    start_faster()
    from PySide6.QtWidgets import QApplication

    from tests.clock import Clock, settled, until
    from tests.scenes import SCENES
    from workbook.app.look import Look
    from workbook.app.warming import Warming
    from workbook.app.window import Window
    from workbook.app.workspace import Workspace
    from workbook.tasks.demo import demo_document
    from workbook.tasks.work import work_in

    with tempfile.TemporaryDirectory() as folder:
        os.environ["MAKERS_WORKBOOK_DATA"] = f"{folder}/data"
        _application = QApplication([])
        have_time()
        window = Window(Workspace(work_in(demo_document()), Look("light")))
        window.resize(1440, 900)
        window.show()
        settled(1.5)
        warming = Warming(window)
        warming.begin()
        until(lambda: warming.over)
        clock = Clock(WANTED if where else 0.0)
        scene = SCENES[name](window, Path(folder))
        settled(0.2)
        gap = clock.through(scene, 100)
        print(f"{'!' if gap > WANTED else ' '} {gap * 1000:7.0f} ms ({clock.worked * 1000:4.0f} computing)  {name}", flush=True)
        if where and gap > WANTED:
            print(clock.held)
        window.end_quietly()
        os._exit(OVER if gap > WANTED else 0)


def main(arguments):
    where = "--where" in arguments
    words = [word for word in arguments if not word.startswith("--")]
    if "--play" in arguments:
        played(" ".join(words), where=where)
        return
    from tests.scenes import SCENES

    for name in SCENES:
        if not words or any(word in name for word in words):
            command = [sys.executable, __file__, "--play", name, *(["--where"] if where else [])]
            for _ in range(TURNS):
                ended = subprocess.run(command, check=False, cwd=ROOT).returncode
                if ended != OVER:
                    break
            if ended not in (0, OVER):
                print(f"          -     {name}: failed", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
