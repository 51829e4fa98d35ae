"""Hands for a journey: real clicks, drags and keys in the program's real window, each click and drag counted."""

import json
import sys
from pathlib import Path

import pytest

from tests.journeys.eyes import MARK
from tests.journeys.test_window_journey import Program, patiently

ROOT = Path(__file__).parents[2]
COUNTRY = {"LC_ALL": "", "LANG": "C.UTF-8", "LC_MEASUREMENT": "en_US.UTF-8", "LC_MONETARY": "en_US.UTF-8"}  # inches, dollars


class Hands(Program):
    """The program run with eyes (eyes.py): a thing is asked for by its name or words, and clicked where it is."""

    def __init__(self, display, data):
        self.count, self.data = 0, data  # clicks and drags
        super().__init__(display, data, [sys.executable, "-m", "tests.journeys.eyes"], PYTHONPATH=str(ROOT), **COUNTRY)

    def place(self, **what):
        """Where a thing is; waited for until it is there and stays where it is."""

        def asked():
            return self._ask(what)

        def stands():
            first = asked()
            return first if first is not None and first == asked() else None

        try:
            return patiently(stands, 20)
        except AssertionError:
            raise AssertionError(f"{what} is not to be seen: {self.picture()}") from None

    def picture(self):
        """A picture of the windows as they are, for a journey that cannot go on."""
        return self._ask({"picture": str(self.data.parent / "seen")})

    def _ask(self, question):
        self.running.stdin.write(json.dumps(question) + "\n")
        self.running.stdin.flush()
        answer = next(line for line in self.running.stdout if line.startswith(MARK))  # Qt may say something too
        return json.loads(answer.removeprefix(MARK))

    def click(self, **what):
        """Click a thing."""
        x, y = self.place(**what)
        self.xdotool("mousemove", str(x), str(y), "click", "1")
        self.count += 1

    def drag(self, dx, dy, **what):
        """Drag a thing by so many pixels, once the program is at rest: what it shows later would move the thing."""
        self.quiet()
        x, y = self.place(**what)
        self.xdotool("mousemove", str(x), str(y), "mousedown", "1")
        for part in (0.3, 0.6, 1.0):
            self.xdotool("mousemove", str(round(x + dx * part)), str(round(y + dy * part)))
        self.xdotool("mouseup", "1")
        self.count += 1

    def type(self, text, *keys):
        """Type where the keyboard is, then press keys."""
        self.xdotool("type", "--delay", "10", text)
        for key in keys:
            self.xdotool("key", key)


@pytest.fixture
def hands(display, tmp_path):
    (tmp_path / "data").mkdir()
    driven = Hands(display, tmp_path / "data")
    driven.xdotool("windowmove", driven.window, "0", "0")
    driven.xdotool("windowsize", driven.window, "1440", "900")
    yield driven
    driven.end()
