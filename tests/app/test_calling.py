"""The window's ear: it hears who asks, and whoever else speaks costs it nothing; killed windows leave no sockets."""

import os
import resource
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest
from PySide6.QtCore import QDir

from workbook.app.calling import Listener, name_of

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="Windows' pipes go with their window")


@pytest.fixture
def ear(qapp, tmp_path, monkeypatch):
    monkeypatch.setattr("workbook.app.calling._PATIENCE", 800)  # ms: who says nothing is waited for in several tests
    made = Listener()
    made.listen(tmp_path / "one.session")
    assert Path(made._server.fullServerName()).is_socket()
    yield made
    made.close()


@pytest.fixture
def caller(ear):
    """Connects to the ear, and says nothing."""
    every = []

    def connected():
        made = socket.socket(socket.AF_UNIX)
        every.append(made)
        made.connect(ear._server.fullServerName())
        made.setblocking(False)
        return made

    yield connected
    for made in every:
        made.close()


def called(qtbot, work):
    """Whether another process is answered that calls the window there."""
    code = "import sys; from pathlib import Path; from workbook.app.calling import call; print(call(Path(sys.argv[1])))"
    process = subprocess.Popen([sys.executable, "-c", code, str(work)], stdout=subprocess.PIPE, text=True)
    qtbot.waitUntil(lambda: process.poll() is not None, timeout=20_000)
    return process.communicate()[0].strip() == "True"


def ended(made):
    """Whether the other side has hung up."""
    try:
        return made.recv(100) == b""
    except BlockingIOError:
        return False
    except ConnectionError:
        return True


def test_who_asks_is_answered(qtbot, ear, tmp_path):
    with qtbot.waitSignal(ear.called):
        assert called(qtbot, tmp_path / "one.session")
    assert not called(qtbot, tmp_path / "another.session")


@pytest.mark.skipif(not hasattr(os, "getuid") or os.getuid() != 0, reason="only root can give a file away")
def test_another_user_who_answers_is_not_listened_to(qtbot, ear, tmp_path):
    (tmp_path / "one.session").write_text("")
    assert called(qtbot, tmp_path / "one.session")
    os.chown(ear._server.fullServerName(), 12345, 12345)
    assert not called(qtbot, tmp_path / "one.session")


def test_what_nobody_asked_for_is_not_kept(qtbot, ear, caller, tmp_path):
    heard = []
    ear.called.connect(lambda: heard.append(1))
    junk, sent, block = caller(), 0, b"x" * 65536
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    until = time.monotonic() + 10
    while sent < 400_000_000 and time.monotonic() < until and not ended(junk):
        try:
            sent += junk.send(block)
        except BlockingIOError:
            qtbot.wait(1)
        except ConnectionError:
            break
    assert sent < 2_000_000  # what the system holds between two processes
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < 20_000
    assert called(qtbot, tmp_path / "one.session")
    assert heard == [1]


@pytest.mark.parametrize("said", [b"", b"rai", b"raised\n", b"raise\nraise\n", b"\0" * 6])
def test_a_caller_who_does_not_ask_raises_nothing_and_is_dropped(qtbot, ear, caller, said):
    heard = []
    ear.called.connect(lambda: heard.append(1))
    made = caller()
    made.send(said)
    qtbot.waitUntil(lambda: ended(made), timeout=5000)
    assert heard == []
    qtbot.waitUntil(lambda: ear._callers == [], timeout=5000)


def test_many_who_say_nothing_keep_nobody_out(qtbot, ear, caller, tmp_path):
    silent = [caller() for _ in range(25)]
    qtbot.waitUntil(lambda: sum(ended(made) for made in silent) >= 17, timeout=5000)
    assert len(ear._callers) <= 8
    assert called(qtbot, tmp_path / "one.session")
    qtbot.waitUntil(lambda: ear._callers == [], timeout=5000)


def left_behind(folder, name):
    """A socket as a killed window leaves it."""
    made = socket.socket(socket.AF_UNIX)
    made.bind(str(folder / name))
    made.close()
    return folder / name


def test_sockets_of_killed_windows_go_and_no_others(qtbot, tmp_path, qapp):
    folder = Path(QDir.tempPath())
    dead = left_behind(folder, name_of(tmp_path / "killed.session"))
    other = left_behind(folder, f"makers-workbook-{os.getpid()}-other")
    file = folder / name_of(tmp_path / "file.session")
    file.write_text("no socket")
    living, heard = Listener(), []
    living.called.connect(lambda: heard.append(1))
    living.listen(tmp_path / "living.session")
    assert not dead.exists()
    dead = left_behind(folder, name_of(tmp_path / "killed.session"))
    mine = Listener()
    mine.listen(tmp_path / "mine.session")
    try:
        assert not dead.exists()
        assert other.exists()
        assert file.read_text() == "no socket"
        qtbot.wait(100)
        assert heard == []  # it was looked at, and not raised
        assert called(qtbot, tmp_path / "living.session")
        assert heard == [1]
    finally:
        living.close()
        mine.close()
        other.unlink()
        file.unlink()
