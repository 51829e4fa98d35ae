"""Whose a file is: one's own, another's, one that others may write; two users where the tests are run by the superuser."""

import os
import sys

import pytest

from workbook.system.owners import NotOurs, open_own, own_folder, read_own

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="Windows has other permissions")
ROOT = pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only the superuser can be two users")
NOBODY = 65534


@pytest.fixture
def own(tmp_path):
    """A file of one's own."""
    (tmp_path / "file").write_bytes(b"content")
    (tmp_path / "file").chmod(0o600)
    return tmp_path / "file"


def test_ones_own_is_read(own):
    assert read_own(own) == b"content"


@pytest.mark.parametrize("mode", [0o602, 0o660, 0o666])
def test_what_others_may_write_is_not(own, mode):
    os.chown(own, -1, own.stat().st_gid if os.geteuid() else NOBODY)
    own.chmod(mode)
    if mode & 0o020 and os.geteuid():
        pytest.skip("the group of this user may be this user alone")
    with pytest.raises(NotOurs, match="can be written by other users"):
        read_own(own)


def test_a_group_of_which_one_is_the_only_member_is_no_other(own, monkeypatch):
    from types import SimpleNamespace

    own.chmod(0o664)
    name = "maker"
    monkeypatch.setattr("pwd.getpwuid", lambda number: SimpleNamespace(pw_name="maker"))
    members = []
    monkeypatch.setattr("grp.getgrgid", lambda number: SimpleNamespace(gr_name=name, gr_mem=members))
    assert read_own(own) == b"content"
    members.append("neighbour")
    with pytest.raises(NotOurs):
        read_own(own)
    members.clear()
    name = "users"
    with pytest.raises(NotOurs):
        read_own(own)


@ROOT
def test_what_is_another_users_is_not(own):
    os.chown(own, NOBODY, NOBODY)
    with pytest.raises(NotOurs, match="belongs to another user"):
        read_own(own)


@ROOT
@pytest.mark.parametrize("theirs", ["file", "folder"])
def test_nor_is_it_to_another_what_is_ours(tmp_path, theirs):
    """The same seen by the other user, in a process of his own."""
    (tmp_path / "file").write_bytes(b"content")
    (tmp_path / "folder").mkdir()
    for place in (tmp_path, *tmp_path.parents[:-2]):
        place.chmod(place.stat().st_mode | 0o755)
    child = os.fork()
    if not child:
        code = 1
        try:
            os.setgid(NOBODY)
            os.setuid(NOBODY)
            (read_own if theirs == "file" else own_folder)(tmp_path / theirs)
        except NotOurs as trouble:
            code = 0 if trouble.why == "belongs to another user" else 2
        finally:
            os._exit(code)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0


def test_no_link_is_followed_no_pipe_waited_for_and_no_folder_read(tmp_path, own):
    (tmp_path / "link").symlink_to(own)
    os.mkfifo(tmp_path / "pipe", 0o600)
    (tmp_path / "folder").mkdir()
    for name in ("link", "pipe", "folder"):
        with pytest.raises(NotOurs, match="is not a file"):
            read_own(tmp_path / name)


def test_a_file_is_made_for_one_alone_whatever_the_umask(tmp_path):
    before = os.umask(0)
    try:
        os.close(open_own(tmp_path / "new", os.O_RDWR | os.O_CREAT))
        own_folder(tmp_path / "made" / "folder")
    finally:
        os.umask(before)
    assert (tmp_path / "new").stat().st_mode & 0o777 == 0o600
    assert (tmp_path / "made" / "folder").stat().st_mode & 0o777 == 0o700


def test_a_folder_that_others_may_write_is_none_of_ones_own(tmp_path):
    (tmp_path / "open").mkdir()
    (tmp_path / "open").chmod(0o777)
    with pytest.raises(NotOurs, match="can be written by other users"):
        own_folder(tmp_path / "open")


def test_nor_is_a_file_where_the_folder_should_be(own):
    with pytest.raises(NotOurs, match="is not a folder"):
        own_folder(own)


def test_on_windows_what_is_there_is_ones_own(own, windows):
    own.chmod(0o666)
    assert read_own(own) == b"content"
