"""The installed program in a real window: opened, driven by keys, closed. Needs Xvfb and xdotool (Linux)."""

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

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
        time.sleep(0.2)
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


@pytest.fixture
def driven(display, tmp_path):
    """The program in a window, and a way to press its keys."""
    env = {k: v for k, v in os.environ.items() if k != "QT_QPA_PLATFORM"} | {"DISPLAY": display, "QT_QPA_PLATFORM": "xcb"}
    env["MAKERS_WORKBOOK_DATA"] = str(tmp_path / "data")
    program = Path(sys.executable).with_name("makers-workbook")
    running = subprocess.Popen([program], env=env, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)

    def xdotool(*words):
        done = subprocess.run(["xdotool", *words], env=env, capture_output=True, text=True, check=False, timeout=20)
        return done.stdout.strip()

    def standing():
        """The window's number; a program that ended instead says why."""
        assert running.poll() is None, f"it ended with {running.returncode}: {running.stdout.read()}"
        return xdotool("search", "--onlyvisible", "--name", TITLE)

    try:
        window = patiently(standing).splitlines()[0]
        xdotool("windowfocus", window)
        yield running, xdotool, window
    finally:
        if running.poll() is None:
            running.kill()
        running.communicate(timeout=20)


def test_the_program_opens_lays_out_and_quits_by_its_keys(driven):
    running, xdotool, window = driven
    assert "Harbour kitchen run" in xdotool("getwindowname", window)
    xdotool("key", "--window", window, "ctrl+2")

    def searching():
        """The worker is a child of the program; seconds of work show that it searches and did not only start."""
        tick = os.sysconf("SC_CLK_TCK")
        children = Path(f"/proc/{running.pid}/task/{running.pid}/children").read_text().split()
        work = [Path(f"/proc/{child}/stat").read_text().rsplit(")", 1)[1].split() for child in children]
        return any(int(fields[11]) / tick >= 3 for fields in work)  # proc(5): utime is the 14th field

    patiently(searching)
    assert running.poll() is None

    def gone():
        """Asks once more until it goes: a key sent to a window that is just being painted may be lost."""
        xdotool("key", "--window", window, "ctrl+q")
        return running.poll() is not None

    patiently(gone)
    assert running.returncode == 0
    assert running.stdout.read() == ""
