"""What is durable, limits, folders, the system's wish to end, sockets, names."""

import errno
import os
import signal
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from workbook.system import durable
from workbook.system.folders import NoHome, user_cache, user_data
from workbook.system.names import is_reserved, shown
from workbook.system.signals import ENDING, EndAsked
from workbook.system.sockets import remove_dead

POSIX = pytest.mark.skipif(sys.platform == "win32", reason="Windows has none")


@pytest.fixture
def broken(monkeypatch):
    """Syncing fails with a number."""

    def fail(number):
        def sync(handle):
            raise OSError(number, os.strerror(number))

        monkeypatch.setattr(os, "fsync", sync)

    return fail


@POSIX
def test_a_folder_that_cannot_be_synced_is_left_and_a_disk_with_errors_told(tmp_path, broken):
    durable.sync_folder(tmp_path)
    broken(errno.EINVAL)
    durable.sync_folder(tmp_path)
    broken(errno.EIO)
    with pytest.raises(OSError, match=os.strerror(errno.EIO)):
        durable.sync_folder(tmp_path)


def test_a_folder_is_not_synced_on_windows(tmp_path, windows, broken):
    broken(errno.EIO)
    durable.sync_folder(tmp_path / "missing")


@POSIX
def test_on_macos_the_disks_own_memory_is_written_too(tmp_path, mac, monkeypatch):
    asked = []
    monkeypatch.setattr(durable.fcntl, "F_FULLFSYNC", 51, raising=False)
    monkeypatch.setattr(durable.fcntl, "fcntl", lambda handle, what: asked.append(what))
    with (tmp_path / "file").open("wb") as file:
        durable.sync(file.fileno())
        assert asked == [51]

        def cannot(handle, what):
            raise OSError(errno.ENOTSUP, "a network disk")

        synced = []
        monkeypatch.setattr(durable.fcntl, "fcntl", cannot)
        monkeypatch.setattr(os, "fsync", synced.append)
        durable.sync(file.fileno())
        assert synced == [file.fileno()]


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="limited otherwise there, or not at all")
@pytest.mark.parametrize(("hard", "asked", "got"), [(-1, 500_000_000, 500_000_000), (400_000_000, 500_000_000, 400_000_000)])
def test_memory_is_limited_to_what_is_asked_or_was_already(hard, asked, got):
    code = (
        "import resource, sys\nfrom workbook.system.memory import limit_memory\n"
        f"resource.setrlimit(resource.RLIMIT_AS, (-1 if {hard} < 0 else {hard}, {hard}))\n"
        f"assert limit_memory({asked})\nprint(resource.getrlimit(resource.RLIMIT_AS)[0])\n"
        "try:\n    bytearray(600_000_000)\nexcept MemoryError:\n    print('refused')"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert told.stdout.split() == [str(got), "refused"]


@POSIX
def test_a_limit_that_macos_refuses_is_none(mac, monkeypatch):
    import resource

    from workbook.system.memory import limit_memory

    def refused(what, limits):
        raise ValueError("current limit exceeds maximum limit")

    monkeypatch.setattr(resource, "setrlimit", refused)
    assert not limit_memory(1)


def test_folders_are_where_the_system_has_them(monkeypatch, tmp_path):
    for name in ("XDG_DATA_HOME", "XDG_CACHE_HOME", "APPDATA", "LOCALAPPDATA"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    places = {
        "linux": (".local/share", ".cache"),
        "darwin": ("Library/Application Support", "Library/Caches"),
        "win32": ("AppData/Roaming", "AppData/Local"),
    }
    for system, (data, cache) in places.items():
        monkeypatch.setattr(sys, "platform", system)
        assert (user_data(), user_cache()) == (tmp_path / data, tmp_path / cache)


@pytest.mark.parametrize(
    ("system", "data", "cache"), [("linux", "XDG_DATA_HOME", "XDG_CACHE_HOME"), ("win32", "APPDATA", "LOCALAPPDATA")]
)
def test_a_setting_names_another_and_then_no_home_is_needed(monkeypatch, tmp_path, system, data, cache):
    monkeypatch.setattr(sys, "platform", system)
    monkeypatch.setenv(data, str(tmp_path / "d"))
    monkeypatch.setenv(cache, str(tmp_path / "c"))
    monkeypatch.setattr(Path, "home", lambda: pytest.fail("not needed"))
    assert (user_data(), user_cache()) == (tmp_path / "d", tmp_path / "c")


@POSIX
def test_a_user_without_a_home_is_told_so_and_a_relative_setting_names_nothing(monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", "here")
    monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    monkeypatch.delenv("HOME", raising=False)
    monkeypatch.setattr("pwd.getpwuid", lambda number: {}[number])
    for folder in (user_data, user_cache):
        with pytest.raises(NoHome, match="no home folder is known"):
            folder()


@POSIX
def test_the_systems_wish_to_end_is_heard_and_nothing_ends():
    before = {one: signal.getsignal(one) for one in ENDING}
    end = EndAsked()
    try:
        assert not end.asked()
        for one in (signal.SIGTERM, signal.SIGHUP):
            os.kill(os.getpid(), one)
            assert end.asked()
            assert not end.asked()
        signal.signal(signal.SIGUSR1, lambda number, frame: None)
        os.kill(os.getpid(), signal.SIGUSR1)
        assert not end.asked()
    finally:
        end.close()
        signal.signal(signal.SIGUSR1, signal.SIG_DFL)
    assert before == {one: signal.getsignal(one) for one in ENDING}


@POSIX
def test_only_sockets_behind_which_nobody_listens_are_removed(tmp_path):
    live, dead, other = (socket.socket(socket.AF_UNIX) for _ in range(3))
    with live, dead, other:
        live.bind(str(tmp_path / "mine-live"))
        live.listen()
        dead.bind(str(tmp_path / "mine-dead"))
        other.bind(str(tmp_path / "other-dead"))
    with socket.socket(socket.AF_UNIX) as live:
        live.bind(str(tmp_path / "mine-listens"))
        live.listen()
        (tmp_path / "mine-file").touch()
        assert remove_dead(tmp_path, "mine-") == 2
    assert sorted(path.name for path in tmp_path.iterdir()) == ["mine-file", "mine-listens", "other-dead"]
    assert remove_dead(tmp_path / "missing", "mine-") == 0


def test_windows_leaves_no_sockets(tmp_path, windows):
    assert remove_dead(tmp_path, "") == 0


@pytest.mark.parametrize("name", ["con", "CON.dxf", "nul", "Com1.tar.gz", "lpt9", "aux .txt", "ends.", "ends ", "com¹"])
def test_names_that_windows_takes_for_devices_or_cuts_short(name):
    assert is_reserved(name)


@pytest.mark.parametrize("name", ["petty", "contour.dxf", "com10", "console", "a.con", ".part", "communion"])
def test_names_that_windows_takes_as_they_are(name):
    assert not is_reserved(name)


def test_a_path_is_shown_whatever_is_in_it():
    assert shown(Path("a") / "größe.dxf") == str(Path("a") / "größe.dxf")
    if sys.platform != "win32":
        words = shown(os.fsdecode(b"bad-\xff.shopbook"))
        assert words == "bad-\N{REPLACEMENT CHARACTER}.shopbook"
        assert words.encode()
