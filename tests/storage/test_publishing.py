"""A workbook's file replaced: what the file was besides its content stays, and nothing planted beside it is followed."""

import errno
import os
import sys

import pytest

from tests.storage.conftest import setting
from workbook.storage.file import read
from workbook.storage.opening import begin
from workbook.storage.publishing import digest_at, replace_whole
from workbook.storage.trouble import ChangedElsewhere, StorageTrouble

AT = "2026-01-02T03:04:05"
pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such permissions, links or pipes")


@pytest.fixture
def session(tmp_path):
    """Work that is saved, with one more change."""
    made = begin(tmp_path / "sessions")
    made.edit(setting(made.document, 1, 5), AT)
    made.save_as(tmp_path / "shop.shopbook")
    made.edit(setting(made.document, 2, 7), AT)
    return made


@pytest.mark.parametrize("mode", [0o600, 0o664, 0o640])
def test_permissions_stay(session, mode):
    session.path.chmod(mode)
    session.publish()
    assert session.path.stat().st_mode & 0o777 == mode
    assert read(session.path).body.document.records.keys() == {"line1", "line2"}


def test_a_link_stays_one_and_its_target_follows(session, tmp_path):
    (tmp_path / "elsewhere").mkdir()
    session.path.rename(tmp_path / "elsewhere" / "shop.shopbook")
    session.path.symlink_to(tmp_path / "elsewhere" / "shop.shopbook")
    session.publish()
    assert session.path.is_symlink()
    assert read(tmp_path / "elsewhere" / "shop.shopbook").body.document.records.keys() == {"line1", "line2"}


@pytest.mark.parametrize("plant", [lambda path, target: path.symlink_to(target), lambda path, target: os.mkfifo(path)])
def test_what_is_planted_beside_it_is_neither_followed_nor_waited_for(session, tmp_path, plant):
    (tmp_path / "theirs").write_text("as it was")
    plant(tmp_path / ".shop.shopbook.part", tmp_path / "theirs")
    session.publish()
    assert session.saved
    assert (tmp_path / "theirs").read_text() == "as it was"


def test_a_pipe_of_its_name_is_told_not_waited_for(session):
    session.path.unlink()
    os.mkfifo(session.path)
    with pytest.raises(StorageTrouble, match=r"shop.shopbook could not be saved: a pipe has this name\."):
        session.publish()
    with pytest.raises(OSError, match="a pipe"):
        digest_at(session.path)


def test_a_file_that_came_where_none_was_is_someone_elses(tmp_path, monkeypatch):
    def comes(part, target, **how):
        target.write_bytes(b"theirs")
        raise FileExistsError(errno.EEXIST, "there")

    monkeypatch.setattr(os, "link", comes)
    with pytest.raises(ChangedElsewhere):
        replace_whole(tmp_path / "new", b"ours", "")
    assert (tmp_path / "new").read_bytes() == b"theirs"
