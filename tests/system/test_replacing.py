"""Replacing a file: whole or not at all, its permissions, owner, attributes and links kept, nobody's else touched."""

import errno
import os
import signal
import subprocess
import sys
import threading

import pytest

from workbook.system import likeness, links, replacing
from workbook.system.files import NotAFile, read_file
from workbook.system.replacing import remove_leftovers, replace_file

POSIX = pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such permissions, links or pipes")
ROOT = pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only the superuser can be two users")
NOBODY = 65534
OLD, NEW = b"what was there", b"what is there now"


@pytest.fixture
def file(tmp_path):
    """A file to be replaced, in a folder of its own."""
    (tmp_path / "folder").mkdir()
    path = tmp_path / "folder" / "shop.shopbook"
    path.write_bytes(OLD)
    return path


def names(path):
    return sorted(one.name for one in path.parent.iterdir())


def mode(path):
    return path.stat().st_mode & 0o7777


def test_a_file_is_replaced_and_nothing_else_is_there(file):
    replace_file(file, NEW)
    assert file.read_bytes() == NEW
    assert names(file) == ["shop.shopbook"]


@POSIX
@pytest.mark.parametrize("mask", [0o022, 0o002, 0o077])
def test_a_new_file_is_as_the_umask_says(tmp_path, mask):
    before = os.umask(mask)
    try:
        replace_file(tmp_path / "new", NEW)
    finally:
        os.umask(before)
    assert (tmp_path / "new").read_bytes() == NEW
    assert mode(tmp_path / "new") == 0o666 & ~mask


@POSIX
@pytest.mark.parametrize("kept", [0o600, 0o664, 0o644, 0o640, 0o755])
def test_permissions_stay(file, kept):
    file.chmod(kept)
    replace_file(file, NEW)
    assert (file.read_bytes(), mode(file)) == (NEW, kept)


@POSIX
def test_nobody_else_can_read_it_while_it_is_written(file, monkeypatch):
    file.chmod(0o600)
    seen = []
    write = os.write
    monkeypatch.setattr(os, "write", lambda handle, data: seen.append(os.fstat(handle).st_mode & 0o777) or write(handle, data))
    replace_file(file, NEW)
    assert seen == [0o600]


@ROOT
def test_owner_and_group_stay(file):
    os.chown(file, NOBODY, NOBODY)
    file.chmod(0o660)
    replace_file(file, NEW)
    assert (file.stat().st_uid, file.stat().st_gid, mode(file)) == (NOBODY, NOBODY, 0o660)


@POSIX
def test_where_the_group_cannot_stay_this_users_group_gets_what_all_get(file, monkeypatch):
    def refused(handle, owner, group):
        raise PermissionError(errno.EPERM, "not yours")

    file.chmod(0o674)
    found = os.stat_result((*file.stat()[:4], 0, NOBODY - 1, *file.stat()[6:]))
    monkeypatch.setattr(replacing, "replaceable", lambda target: found)
    monkeypatch.setattr(os, "fchown", refused)
    replace_file(file, NEW)
    assert mode(file) == 0o644


@pytest.mark.skipif(not hasattr(os, "listxattr"), reason="Python knows those of Linux only")
def test_extended_attributes_stay(file):
    try:
        os.setxattr(file, "user.shop", b"harbour")
    except OSError:
        pytest.skip("this disk has none")
    replace_file(file, NEW)
    assert os.getxattr(file, "user.shop") == b"harbour"


@POSIX
def test_a_disk_that_has_no_extended_attributes_is_no_hindrance(file, monkeypatch):
    def none(*given, **named):
        raise OSError(errno.ENOTSUP, "none here")

    monkeypatch.setattr(os, "listxattr", none, raising=False)
    replace_file(file, NEW)
    assert file.read_bytes() == NEW


@POSIX
def test_on_macos_the_system_copies_attributes_and_lists(file, mac, monkeypatch):
    import ctypes

    asked = []

    class System:
        def fcopyfile(self, old, new, state, what):
            asked.append((os.pread(old, 99, 0), os.fstat(new).st_size, state, what))
            return 0

    monkeypatch.setattr(ctypes, "CDLL", lambda name: System())
    monkeypatch.setattr(replacing, "sync", os.fsync)
    replace_file(file, NEW)
    assert asked == [(OLD, len(NEW), None, likeness._ACL | likeness._XATTR)]
    assert likeness._ACL | likeness._XATTR == 5  # copyfile.h


@POSIX
def test_a_link_stays_a_link_and_what_it_leads_to_is_replaced(file, tmp_path):
    (tmp_path / "near").symlink_to(os.path.relpath(file, tmp_path))
    (tmp_path / "far").symlink_to(tmp_path / "near")
    file.chmod(0o600)
    replace_file(tmp_path / "far", NEW)
    assert file.read_bytes() == NEW
    assert mode(file) == 0o600
    assert (tmp_path / "near").is_symlink()
    assert (tmp_path / "far").is_symlink()
    assert sorted(one.name for one in tmp_path.iterdir()) == ["far", "folder", "near"]


@POSIX
def test_a_link_to_nothing_makes_what_it_leads_to(tmp_path):
    (tmp_path / "folder").mkdir()
    (tmp_path / "link").symlink_to("folder/new")
    replace_file(tmp_path / "link", NEW)
    assert (tmp_path / "folder" / "new").read_bytes() == NEW
    assert (tmp_path / "link").is_symlink()


@POSIX
def test_links_that_lead_to_themselves_are_told(tmp_path):
    (tmp_path / "a").symlink_to("b")
    (tmp_path / "b").symlink_to("a")
    with pytest.raises(OSError, match="lead to themselves"):
        replace_file(tmp_path / "a", NEW)


@ROOT
@pytest.mark.parametrize(("layer", "followed"), [(NOBODY, False), (0, True)])
def test_a_link_that_another_user_laid_in_a_folder_open_to_all_is_not_followed(tmp_path, file, layer, followed):
    (tmp_path / "open").mkdir()
    (tmp_path / "open").chmod(0o1777)
    (tmp_path / "open" / "link").symlink_to(file)
    os.chown(tmp_path / "open" / "link", layer, layer, follow_symlinks=False)
    if followed:
        replace_file(tmp_path / "open" / "link", NEW)
    else:
        with pytest.raises(PermissionError, match="a link of another user"):
            replace_file(tmp_path / "open" / "link", NEW)
    assert file.read_bytes() == (NEW if followed else OLD)


def test_on_windows_no_link_is_planted(tmp_path, windows):
    assert not links._is_planted(tmp_path)


@POSIX
def test_of_hard_links_the_one_named_is_replaced_and_the_others_stay(file, tmp_path):
    os.link(file, tmp_path / "other")
    replace_file(file, NEW)
    assert file.read_bytes() == NEW
    assert (tmp_path / "other").read_bytes() == OLD


@POSIX
@pytest.mark.parametrize(
    ("make", "words"),
    [
        (os.mkdir, "a folder has this name"),
        (os.mkfifo, "a pipe has this name"),
        (lambda path: path.symlink_to("/dev/null"), "a device has this name"),
        (lambda path: (path.touch(), path.chmod(0o444)), "the file is marked read-only"),
    ],
)
def test_what_is_no_file_to_be_replaced_is_told_and_left(tmp_path, make, words):
    make(tmp_path / "name")
    before = (tmp_path / "name").lstat()
    with pytest.raises(NotAFile) as told:
        replace_file(tmp_path / "name", NEW)
    assert str(told.value) == words
    assert (tmp_path / "name").lstat().st_ino == before.st_ino
    assert [one.name for one in tmp_path.iterdir()] == ["name"]


@POSIX
@pytest.mark.parametrize("name", [".shop.shopbook.part", ".shop.shopbook.part-of-workbook"])
def test_what_is_planted_under_a_name_that_was_once_foreseen_is_not_touched(file, name, tmp_path):
    (tmp_path / "target").write_bytes(OLD)
    (file.parent / name).symlink_to(tmp_path / "target")
    replace_file(file, NEW)
    assert (tmp_path / "target").read_bytes() == OLD
    assert (file.parent / name).is_symlink()


@POSIX
@pytest.mark.parametrize("plant", [lambda path, target: path.symlink_to(target), lambda path, target: os.mkfifo(path)])
def test_even_where_the_name_of_chance_is_known_nothing_is_followed(file, tmp_path, monkeypatch, plant):
    (tmp_path / "target").write_bytes(OLD)
    monkeypatch.setattr(os, "urandom", lambda count: bytes(count))
    plant(file.parent / replacing.new_part(), tmp_path / "target")
    with pytest.raises(FileExistsError):
        replace_file(file, NEW)
    assert (tmp_path / "target").read_bytes() == file.read_bytes() == OLD


def test_the_check_comes_when_all_is_written_and_can_refuse(file):
    def changed():
        (part,) = (one for one in file.parent.iterdir() if one != file)
        assert part.read_bytes() == NEW
        raise LookupError("changed elsewhere")

    with pytest.raises(LookupError):
        replace_file(file, NEW, check=changed)
    assert file.read_bytes() == OLD
    assert names(file) == ["shop.shopbook"]


@pytest.mark.parametrize("hard_links", [True, False])
def test_what_came_where_nothing_was_is_not_replaced(tmp_path, monkeypatch, hard_links):
    if not hard_links:

        def none(*given, **named):
            raise OSError(errno.EPERM, "this disk has none")

        monkeypatch.setattr(os, "link", none)
    with pytest.raises(FileExistsError):
        replace_file(tmp_path / "new", NEW, check=lambda: (tmp_path / "new").write_bytes(OLD) and None)
    assert (tmp_path / "new").read_bytes() == OLD
    assert [one.name for one in tmp_path.iterdir()] == ["new"]
    replace_file(tmp_path / "another", NEW)
    assert (tmp_path / "another").read_bytes() == NEW


@pytest.mark.parametrize("call", ["write", "fsync"])
@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EIO])
def test_a_disk_that_is_full_or_broken_leaves_the_file_as_it_was(file, monkeypatch, call, number):
    def fail(*given):
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, call, fail)
    with pytest.raises(OSError, match=os.strerror(number)):
        replace_file(file, NEW)
    assert file.read_bytes() == OLD
    assert names(file) == ["shop.shopbook"]


def test_an_interrupt_leaves_nothing_behind(file, monkeypatch):
    def interrupted(handle):
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        replace_file(file, NEW)
    assert names(file) == ["shop.shopbook"]


def test_short_writes_are_gone_on_with(file, monkeypatch):
    write = os.write
    monkeypatch.setattr(os, "write", lambda handle, data: write(handle, data[:5]))
    replace_file(file, NEW)
    assert file.read_bytes() == NEW


KILLED = """
import os, signal, sys
from pathlib import Path
from workbook.system import replacing
replacing.{step} = lambda *given: os.kill(os.getpid(), signal.SIGKILL)
replacing.replace_file(Path(sys.argv[1]), b"never there")
"""


@POSIX
@pytest.mark.parametrize("step", ["make_like", "sync", "_patiently"])
def test_what_a_killed_process_left_goes_later_and_nothing_else(file, step):
    killed = subprocess.run([sys.executable, "-c", KILLED.format(step=step), str(file)], check=False)
    assert killed.returncode == -signal.SIGKILL
    assert file.read_bytes() == OLD
    (left,) = (one for one in file.parent.iterdir() if one != file)
    (file.parent / ".workbook-notes.part").write_bytes(b"the maker's own")
    os.utime(file.parent / ".workbook-notes.part", (1, 1))
    now = left.stat().st_ctime
    remove_leftovers(file.parent, now + 60)
    assert left.exists()
    remove_leftovers(file.parent, now + 7200)
    assert names(file) == [".workbook-notes.part", "shop.shopbook"]


@ROOT
def test_what_another_user_left_stays(tmp_path):
    left = tmp_path / replacing.new_part()
    left.touch()
    os.chown(left, NOBODY, NOBODY)
    remove_leftovers(tmp_path, left.stat().st_ctime + 7200)
    assert left.exists()


@POSIX
def test_leftovers_are_looked_for_at_the_first_writing_in_a_folder(file, monkeypatch):
    monkeypatch.setattr(replacing, "_OLD", -1.0)
    file.with_name(replacing.new_part()).touch()
    replace_file(file, NEW)
    assert names(file) == ["shop.shopbook"]


def test_on_windows_it_waits_for_whoever_reads_the_old_file(file, windows, monkeypatch):
    from pathlib import Path

    replace, refusals = Path.replace, [1, 2, 3]

    def busy(path, target):
        if refusals:
            refusals.pop()
            raise PermissionError(errno.EACCES, "in use")
        return replace(path, target)

    monkeypatch.setattr(Path, "replace", busy)
    monkeypatch.setattr(replacing.time, "sleep", lambda seconds: None)
    replace_file(file, NEW)
    assert file.read_bytes() == NEW
    refusals.extend(range(100))
    with pytest.raises(PermissionError):
        replace_file(file, OLD)
    assert file.read_bytes() == NEW
    assert names(file) == ["shop.shopbook"]


def test_on_windows_a_new_file_gets_its_name_by_a_rename_that_never_replaces(tmp_path, windows, monkeypatch):
    from pathlib import Path

    def rename(path, target):
        if target.exists():
            raise FileExistsError(errno.EEXIST, "there")
        os.replace(path, target)  # noqa: PTH105  # Path.rename is what is replaced here

    monkeypatch.setattr(Path, "rename", rename)
    monkeypatch.setattr(os, "link", lambda *given, **named: pytest.fail("not on Windows"))
    replace_file(tmp_path / "new", NEW)
    assert (tmp_path / "new").read_bytes() == NEW


@POSIX
def test_a_file_is_read_through_links_and_a_pipe_is_not_waited_for(file, tmp_path):
    (tmp_path / "link").symlink_to(file)
    assert read_file(tmp_path / "link") == OLD
    os.mkfifo(tmp_path / "pipe")
    said = []

    def read():
        try:
            read_file(tmp_path / "pipe")
        except NotAFile as trouble:
            said.append(str(trouble))

    reader = threading.Thread(target=read, daemon=True)
    reader.start()
    reader.join(5)
    assert said == ["a pipe has this name"]
