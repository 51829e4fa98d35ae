"""Locks: held until let go or killed, told apart from disks that have none, and with a word for others."""

import errno
import os
import signal
import subprocess
import sys

import pytest

from workbook.system import locks
from workbook.system.locks import MOST, Lock
from workbook.system.owners import NotOurs

HOLD = """
import sys, time
from pathlib import Path
from workbook.system import locks
{before}
lock = locks.Lock(Path(sys.argv[1]))
assert lock.take()
lock.tell("of another process")
print("held", flush=True)
time.sleep(60)
"""
WITHOUT = "import errno\ndef none(*given): raise OSError(errno.ENOLCK, 'no locks')\nlocks.fcntl.flock = none"
POSIX = pytest.mark.skipif(sys.platform == "win32", reason="by flock, which Windows has not")


@pytest.fixture
def without_flock(monkeypatch):
    """A disk without locks."""

    def none(handle, how):
        raise OSError(errno.EOPNOTSUPP, os.strerror(errno.EOPNOTSUPP))

    monkeypatch.setattr(locks.fcntl, "flock", none)


def held_elsewhere(path, before=""):
    """A process that holds a lock, and is at it."""
    process = subprocess.Popen([sys.executable, "-c", HOLD.format(before=before), str(path)], stdout=subprocess.PIPE)
    assert process.stdout.readline() == b"held\n"
    return process


def ended(process):
    process.send_signal(signal.SIGKILL)
    process.wait()
    process.stdout.close()


def test_one_holds_it_and_another_does_not(tmp_path):
    first, second = Lock(tmp_path / "lock"), Lock(tmp_path / "lock")
    assert first.take()
    assert not second.take()
    assert not first.free()
    assert not second.free()
    first.leave()
    assert second.free()
    assert second.take()
    second.leave()


@POSIX
def test_a_killed_process_holds_nothing_and_its_word_goes_when_it_is_taken_again(tmp_path):
    lock, holder = Lock(tmp_path / "lock"), held_elsewhere(tmp_path / "lock")
    assert not lock.take()
    assert lock.told() == "of another process"
    ended(holder)
    assert lock.take()
    assert lock.told() == ""
    lock.leave()


@POSIX
def test_a_killed_process_holds_nothing_where_the_disk_has_no_locks(tmp_path, without_flock):
    lock, holder = Lock(tmp_path / "lock"), held_elsewhere(tmp_path / "lock", WITHOUT)
    assert not lock.take()
    assert not lock.free()
    assert lock.told() == "of another process"
    ended(holder)
    assert lock.free()
    assert lock.take()
    assert not Lock(tmp_path / "lock").take()
    lock.leave()
    assert lock.free()
    assert [path.name for path in tmp_path.iterdir()] == ["lock"]


@POSIX
@pytest.mark.parametrize("number", [errno.ENOLCK, errno.ENOSYS, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EINVAL])
def test_a_disk_without_locks_is_told_apart_from_a_lock_that_is_held(tmp_path, monkeypatch, number):
    def none(handle, how):
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(locks.fcntl, "flock", none)
    assert Lock(tmp_path / "lock").free()


@POSIX
def test_a_disk_with_errors_is_not_taken_for_a_lock_that_is_held(tmp_path, monkeypatch):
    def broken(handle, how):
        raise OSError(errno.EIO, "errors")

    monkeypatch.setattr(locks.fcntl, "flock", broken)
    with pytest.raises(OSError, match="errors"):
        Lock(tmp_path / "lock").take()


@POSIX
@pytest.mark.parametrize("words", ["", "who knows", "0123456789abcdef 1 elsewhere"])
def test_a_claim_counts_by_what_it_says(tmp_path, without_flock, words):
    """One without words is being written; of what is no claim nobody is the holder; another computer's may well be held."""
    (tmp_path / "lock.held").write_text(words)
    assert Lock(tmp_path / "lock").take() is (words == "who knows")
    if not words:
        os.utime(tmp_path / "lock.held", (1, 1))
        assert Lock(tmp_path / "lock").take()


@POSIX
def test_a_claim_made_while_a_stale_one_is_cleared_away_is_put_back(tmp_path, without_flock, monkeypatch):
    from pathlib import Path

    from workbook.system.processes import this_process

    (tmp_path / "lock.held").write_text("stale")
    rename = Path.rename

    def another_was_first(path, target):
        if path.name == "lock.held":
            path.write_text(this_process())
        return rename(path, target)

    monkeypatch.setattr(Path, "rename", another_was_first)
    assert not Lock(tmp_path / "lock").take()
    assert (tmp_path / "lock.held").read_text() == this_process()


def test_a_word_is_read_by_others_changed_and_taken_back(tmp_path):
    lock, other = Lock(tmp_path / "lock"), Lock(tmp_path / "lock")
    assert other.told() == ""
    lock.take()
    assert other.told() == ""
    for word in ('{"path": "/a/long/one.shopbook"}', "Größe \udcff", "", "x" * MOST):
        lock.tell(word)
        assert other.told() == word
    lock.leave()
    assert other.told() == ""


def test_no_more_than_a_few_lines_are_told_and_only_while_it_is_held(tmp_path):
    lock = Lock(tmp_path / "lock")
    with pytest.raises(ValueError, match="not held"):
        lock.tell("word")
    lock.take()
    with pytest.raises(ValueError, match="a few lines"):
        lock.tell("x" * (MOST + 1))
    lock.leave()


def test_half_a_word_is_none(tmp_path):
    lock = Lock(tmp_path / "lock")
    lock.take()
    lock.tell("the whole of it")
    os.truncate(tmp_path / "lock", 20)
    assert Lock(tmp_path / "lock").told() == ""
    lock.leave()


@POSIX
def test_a_lock_is_no_link_no_pipe_and_no_folder(tmp_path):
    (tmp_path / "theirs").write_text("as it was")
    (tmp_path / "link").symlink_to(tmp_path / "theirs")
    os.mkfifo(tmp_path / "pipe")
    for name in ("link", "pipe"):
        with pytest.raises(NotOurs, match="is not a file"):
            Lock(tmp_path / name).take()
        assert Lock(tmp_path / name).told() == ""
    (tmp_path / "folder").mkdir()
    with pytest.raises(IsADirectoryError):
        Lock(tmp_path / "folder").take()
    assert (tmp_path / "theirs").read_text() == "as it was"


@POSIX
def test_one_that_its_holder_removes_while_it_is_opened_here_is_made_anew(tmp_path, monkeypatch):
    hold, removed = locks._hold, []

    def removed_meanwhile(handle):
        if not removed:
            removed.append((tmp_path / "lock").unlink())
        return hold(handle)

    monkeypatch.setattr(locks, "_hold", removed_meanwhile)
    lock = Lock(tmp_path / "lock")
    assert lock.take()
    assert not Lock(tmp_path / "lock").take()
    lock.leave()


def test_on_windows_a_byte_far_behind_the_word_is_locked(tmp_path, windows):
    lock, other = Lock(tmp_path / "lock"), Lock(tmp_path / "lock")
    assert lock.take()
    assert [byte for _, byte in windows.held] == [1 << 30]
    assert not other.take()
    lock.tell("x" * MOST)
    assert other.told() == "x" * MOST
    assert (tmp_path / "lock").stat().st_size < 1 << 30
    lock.leave()
    assert other.take()
    other.leave()


def test_on_windows_a_disk_without_locks_is_told_apart_too(tmp_path, windows, monkeypatch):
    def none(handle, mode, count):
        raise OSError(errno.EINVAL, "Invalid argument")

    monkeypatch.setattr(sys.modules["msvcrt"], "locking", none)
    monkeypatch.setattr("workbook.system.processes._started", lambda number: "133000000" if number == os.getpid() else "")
    lock = Lock(tmp_path / "lock")
    assert lock.take()
    assert not Lock(tmp_path / "lock").take()
    lock.leave()
    assert Lock(tmp_path / "lock").free()
