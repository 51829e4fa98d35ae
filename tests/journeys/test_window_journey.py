"""The installed program in a real window: opened, driven by keys, closed. Needs Xvfb and xdotool (Linux)."""

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.journeys.looking import Looked
from workbook.document.records import TemplateRecord
from workbook.storage.file import read
from workbook.storage.unsaved import sessions

pytestmark = [
    pytest.mark.journey,
    pytest.mark.skipif(not sys.platform.startswith("linux"), reason="a real X window is driven on Linux only"),
]
TITLE = "Maker's Workbook"


def patiently(look, seconds=40):
    """Looks again and again until there is something to see."""
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        found = look()
        if found:
            return found
        time.sleep(0.1)
    raise AssertionError("waited in vain")


@pytest.fixture
def display(tmp_path):
    """A screen of its own for one test."""
    assert shutil.which("Xvfb"), "Xvfb is missing; packaging/start.py test installs it"
    read, write = os.pipe()
    number = 100 + os.getpid() % 30_000  # of our own: a free number may be taken twice by two runs at once
    command = ["Xvfb", f":{number}", "-displayfd", str(write), "-screen", "0", "1500x950x24", "-nolisten", "tcp", "-noreset"]
    server = subprocess.Popen(command, pass_fds=[write], stderr=subprocess.DEVNULL)
    os.close(write)
    with os.fdopen(read) as told:  # to its end: a server whose reader has gone dies of it
        assert told.read(), "Xvfb did not start"
    yield f":{number}"
    server.terminate()
    server.wait(10)


class Program:
    """The program in a window, and a way to press its keys."""

    def __init__(self, display, data, command=(), **env):
        self.env = {k: v for k, v in os.environ.items() if k != "QT_QPA_PLATFORM"} | {
            "DISPLAY": display,
            "QT_QPA_PLATFORM": "xcb",
        }
        self.env |= {"MAKERS_WORKBOOK_DATA": str(data), "LC_ALL": "C.UTF-8"}  # millimetres
        program = command or [Path(sys.executable).with_name("makers-workbook")]
        self.running = subprocess.Popen(
            program,
            env=self.env | env,
            cwd=data.parent,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        self.window = patiently(self._standing).splitlines()[0]
        self.xdotool("windowfocus", self.window)

    def xdotool(self, *words):
        done = subprocess.run(["xdotool", *words], env=self.env, capture_output=True, text=True, check=False, timeout=20)
        return done.stdout.strip()

    def key(self, *keys):
        self.xdotool("key", "--window", self.window, *keys)

    def quiet(self):
        """Waits until it has nothing more to do: a mouse pressed before all is painted hits what is no longer there."""

        def still():
            first = self._work()
            time.sleep(0.2)
            state, done = self._work()
            return state == "S" and done - first[1] <= 2  # asleep; a caret that blinks takes a tick

        patiently(still)

    def _work(self):
        """Its state and the time it has worked, in ticks."""
        fields = Path(f"/proc/{self.running.pid}/stat").read_text().rsplit(")", 1)[1].split()
        return fields[0], int(fields[11]) + int(fields[12])  # proc(5): state is the 3rd field, utime and stime the 14th and 15th

    def find(self, words):
        """Does an action found by its name."""
        self.key("ctrl+k")
        finder = patiently(lambda: self.titled("Find an action")).splitlines()[0]
        self.xdotool("windowfocus", finder)
        self.xdotool("type", "--delay", "10", words)
        self.xdotool("key", "Return")
        self.xdotool("windowfocus", self.window)

    def save_in(self, preview):
        """Presses Save in a preview, which can be pressed once its files are made. Returns the window that asks where."""

        def asked():
            self.xdotool("windowfocus", preview)
            self.xdotool("key", "alt+s")
            time.sleep(0.5)  # pressed again, it would be the asking window's
            return self.titled("^Save$")

        return patiently(asked).splitlines()[0]

    def titled(self, words):
        """The number of a window of a title."""
        return self.xdotool("search", "--onlyvisible", "--name", words)

    def _standing(self):
        """The window's number; a program that ended instead says why."""
        assert self.running.poll() is None, f"it ended with {self.running.returncode}: {self.running.stdout.read()}"
        return self.titled(TITLE)

    def end(self):
        if self.running.poll() is None:
            self.running.kill()
        self.running.wait(20)
        self.running.stdin.close()
        self.running.stdout.close()  # not read to its end: its workers hold it too, and end a little later


@pytest.fixture
def start(display, tmp_path):
    """Starts the program, again and again on the same data."""
    (tmp_path / "data").mkdir()
    started = []

    def one():
        started.append(Program(display, tmp_path / "data"))
        return started[-1]

    yield one
    for program in started:
        program.end()


@pytest.fixture
def driven(start):
    program = start()
    return program.running, program.xdotool, program.window


def test_the_program_opens_lays_out_and_quits_by_its_keys(driven):
    running, xdotool, window = driven
    assert "Harbour kitchen run" in xdotool("getwindowname", window)
    xdotool("key", "--window", window, "ctrl+5")

    def searching():
        """The worker is a child of the program; so much work shows that it searches and did not only start."""
        tick = os.sysconf("SC_CLK_TCK")
        children = Path(f"/proc/{running.pid}/task/{running.pid}/children").read_text().split()
        work = [Path(f"/proc/{child}/stat").read_text().rsplit(")", 1)[1].split() for child in children]
        return any(int(fields[11]) / tick >= 1.5 for fields in work)  # proc(5): utime is the 14th field

    patiently(searching)
    assert running.poll() is None

    def gone():
        """Asks once more until it goes: a key sent to a window that is just being painted may be lost."""
        xdotool("key", "--window", window, "ctrl+q")
        return running.poll() is not None

    patiently(gone)
    assert running.returncode == 0
    assert running.stdout.read() == ""


def test_work_is_done_undone_saved_killed_and_found_again(start, tmp_path):
    program = start()

    def kept():
        """The only session there is."""
        found = sessions(tmp_path / "data" / "sessions")
        return found[0] if len(found) == 1 else None

    def templates():
        database = Looked(kept().file)
        try:
            body = database.body()
        finally:
            database.close()
        return [record.template.name for record in body.document.all(TemplateRecord)]

    patiently(kept)
    program.find("duplicate")
    patiently(lambda: "Petty copy" in templates())
    program.key("ctrl+z")
    patiently(lambda: "Petty copy" not in templates())
    program.find("redo")
    patiently(lambda: "Petty copy" in templates())
    program.key("ctrl+shift+s")
    dialog = patiently(lambda: program.titled("Save shop book")).splitlines()[0]
    program.xdotool("windowfocus", dialog)
    file = tmp_path / "harbour-kitchen-run.shopbook"  # as it is proposed, in the folder the program was started in
    program.xdotool("key", "Return")
    patiently(file.exists)
    patiently(lambda: kept().path == file)
    program.xdotool("windowfocus", program.window)
    program.find("duplicate")
    patiently(lambda: "Petty copy 2" in templates() or "Petty copy copy" in templates())
    was = templates()
    program.running.kill()
    program.running.wait(20)
    again = start()
    assert "Harbour kitchen run" in again.xdotool("getwindowname", again.window)
    assert templates() == was
    program = again
    program.key("ctrl+z")
    patiently(lambda: len(templates()) == len(was) - 1)
    patiently(lambda: len(list(read(file).body.document.all(TemplateRecord))) == len(was) - 1)
