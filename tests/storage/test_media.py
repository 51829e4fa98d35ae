"""Real disks: a tiny full one, a read-only one, one that is taken away. Needs Linux and the right to mount."""

import os
import subprocess
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.storage.conftest import setting
from workbook.storage.file import read
from workbook.storage.opening import begin, moved, open_path, recover
from workbook.storage.trouble import KeepingTrouble, StorageTrouble
from workbook.storage.unsaved import sessions
from workbook.storage.viewing import OnlyToLookAt, can_be_written, look_at

AT = "2026-01-02T03:04:05"


@contextmanager
def mounted(place: Path, size: str):
    """A disk of its own of a size at a place."""
    place.mkdir()
    made = subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", place], capture_output=True, check=False)
    if made.returncode:
        pytest.skip("no right to mount a disk here")
    try:
        yield
    finally:
        subprocess.run(["umount", "-l", place], check=True)


def put(session, number, quantity):
    session.edit(setting(session.document, number, quantity), AT)


def fill(place: Path) -> None:
    """Not a byte is left."""
    with (place / "ballast").open("wb", buffering=0) as file:
        for size in (65536, 4096, 512, 1):
            try:
                while file.write(bytes(size)):
                    pass
            except OSError:
                continue
    assert os.statvfs(place).f_bavail == 0


@pytest.mark.skipif(os.name != "posix", reason="mounts are of Linux")
def test_a_full_disk_under_the_file_leaves_it_whole_and_the_work_is_kept(tmp_path):
    disk = tmp_path / "disk"
    with mounted(disk, "256k"):
        session = begin(tmp_path / "sessions")
        put(session, 1, 5)
        session.save_as(disk / "shop.shopbook")
        before = (disk / "shop.shopbook").read_bytes()
        fill(disk)
        put(session, 2, 7)
        with pytest.raises(StorageTrouble, match="the disk is full"):
            session.publish()
        assert (disk / "shop.shopbook").read_bytes() == before
        assert sorted(path.name for path in disk.iterdir()) == ["ballast", "shop.shopbook"]
        assert not session.saved
        (disk / "ballast").unlink()
        session.publish()
        assert read(disk / "shop.shopbook").body.document.records.keys() == {"line1", "line2"}
        session.close()


@pytest.mark.skipif(os.name != "posix", reason="mounts are of Linux")
def test_when_the_disk_that_keeps_the_work_is_full_nothing_acknowledged_goes_and_it_can_move(tmp_path):
    disk = tmp_path / "disk"
    with mounted(disk, "512k"):
        session = begin(disk / "sessions")
        put(session, 1, 5)
        fill(disk)
        kept = dict(session.document.records)
        for number in range(2, 400):  # what is left of the log's last page may still take some
            try:
                put(session, number, number)
            except KeepingTrouble as trouble:
                assert "the disk is full" in str(trouble)
                break
            kept = dict(session.document.records)
        else:
            raise AssertionError("the disk was never full")
        assert session.document.records == kept
        again = moved(session, tmp_path / "shop.shopbook")
        put(again, 9, 9)
        assert again.document.records.keys() == kept.keys() | {"line9"}
        assert read(tmp_path / "shop.shopbook").body.document.records == kept
        assert not sessions(disk / "sessions")
        again.publish()
        again.close()


@pytest.mark.skipif(os.name != "posix", reason="mounts are of Linux")
def test_a_read_only_disk_is_looked_at_and_work_whose_disk_became_read_only_is_kept(tmp_path):
    disk = tmp_path / "disk"
    with mounted(disk, "256k"):
        session = begin(tmp_path / "sessions")
        put(session, 1, 5)
        session.save_as(disk / "shop.shopbook")
        assert can_be_written(disk / "shop.shopbook")
        subprocess.run(["mount", "-o", "remount,ro", disk], check=True)
        put(session, 2, 7)
        with pytest.raises(StorageTrouble, match="the disk is read-only"):
            session.publish()
        assert not can_be_written(disk / "shop.shopbook")
        view = look_at(disk / "shop.shopbook")
        assert view.document.records.keys() == {"line1"}
        with pytest.raises(OnlyToLookAt, match="is open read-only"):
            put(view, 3, 3)
        session.save_as(tmp_path / "mine.shopbook")
        session.close()
        assert read(tmp_path / "mine.shopbook").body.document.records.keys() == {"line1", "line2"}


@pytest.mark.skipif(os.name != "posix", reason="mounts are of Linux")
def test_a_disk_taken_away_and_put_back(tmp_path):
    disk = tmp_path / "disk"
    with mounted(disk, "256k"):
        session = begin(tmp_path / "sessions")
        put(session, 1, 5)
        session.save_as(disk / "shop.shopbook")
    put(session, 2, 7)
    disk.rmdir()
    with pytest.raises(StorageTrouble, match="the folder no longer exists"):
        session.publish()
    session.close()
    (left,) = sessions(tmp_path / "sessions")
    assert not left.saved
    again = recover(left.file)
    assert again.document.records.keys() == {"line1", "line2"}
    disk.mkdir()
    again.publish()
    again.close()
    assert open_path(tmp_path / "sessions", disk / "shop.shopbook").document.records.keys() == {"line1", "line2"}
