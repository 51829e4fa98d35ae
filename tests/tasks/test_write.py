"""Files appear whole or not at all."""

import errno
import os

import pytest

from workbook.problems import JobError
from workbook.tasks.write import file_name, write_all

FILES = {"a.txt": b"one", "cut/b.txt": b"two", "c.txt": b"three"}


def found(folder):
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_all_files_are_written_into_a_folder_that_was_not_there(tmp_path):
    write_all(tmp_path / "new" / "out", FILES)
    assert found(tmp_path / "new" / "out") == FILES


def test_older_files_are_replaced(tmp_path):
    write_all(tmp_path, {"a.txt": b"old"})
    write_all(tmp_path, FILES)
    assert found(tmp_path) == FILES


def test_a_file_where_the_folder_should_be_is_told(tmp_path):
    (tmp_path / "out").write_bytes(b"in the way")
    with pytest.raises(JobError, match=r"out.*cannot be written"):
        write_all(tmp_path / "out", FILES)
    assert found(tmp_path) == {"out": b"in the way"}


def test_a_file_where_an_inner_folder_should_be_leaves_nothing(tmp_path):
    (tmp_path / "cut").write_bytes(b"in the way")
    with pytest.raises(JobError, match="cannot be written"):
        write_all(tmp_path, FILES)
    assert found(tmp_path) == {"cut": b"in the way"}


def test_a_folder_where_a_file_should_be_leaves_every_file_as_it_was(tmp_path):
    write_all(tmp_path, {"a.txt": b"old"})
    (tmp_path / "c.txt").mkdir()
    with pytest.raises(JobError, match="cannot be written"):
        write_all(tmp_path, FILES)
    assert found(tmp_path) == {"a.txt": b"old"}


@pytest.mark.parametrize("written", [0, 1, 2])
def test_a_full_disk_leaves_every_file_as_it_was(tmp_path, monkeypatch, written):
    write_all(tmp_path, {"a.txt": b"old"})
    calls = []

    def full(handle):
        calls.append(handle)
        if len(calls) > written:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(JobError, match="No space left"):
        write_all(tmp_path, FILES)
    assert found(tmp_path) == {"a.txt": b"old"}


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="the superuser may write anywhere")
def test_a_read_only_folder_is_told_and_left_alone(tmp_path):
    tmp_path.chmod(0o500)
    try:
        with pytest.raises(JobError, match="cannot be written"):
            write_all(tmp_path, FILES)
        assert found(tmp_path) == {}
    finally:
        tmp_path.chmod(0o700)


@pytest.mark.parametrize(
    ("name", "wanted"),
    [("Petty", "petty"), ("Chef's 8 1/2", "chef-s-8-1-2"), ("../../etc", "etc"), ("мой нож", "template"), ("a\\b:c", "a-b-c")],
)
def test_a_name_becomes_a_file_name_any_system_takes(name, wanted):
    assert file_name(name, set()) == wanted


def test_two_names_that_look_alike_get_two_files():
    taken = set()
    assert [file_name(name, taken) for name in ("Petty", "petty!", "PETTY")] == ["petty", "petty-2", "petty-3"]
