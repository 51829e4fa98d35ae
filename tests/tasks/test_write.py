"""Files appear whole or not at all."""

import errno
import os

import pytest

from workbook.problems import JobError
from workbook.system import replacing
from workbook.tasks.write import WouldReplace, file_name, listed, write_all

FILES = {"a.txt": b"one", "cut/b.txt": b"two", "c.txt": b"three"}


def found(folder):
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_all_files_are_written_into_a_folder_that_was_not_there(tmp_path):
    write_all(tmp_path / "new" / "out", FILES)
    assert found(tmp_path / "new" / "out") == FILES


def test_older_files_are_replaced(tmp_path):
    write_all(tmp_path, {"a.txt": b"old"})
    write_all(tmp_path, FILES, over={"a.txt"})
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
        write_all(tmp_path, FILES, over={"a.txt"})
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
        write_all(tmp_path, FILES, over={"a.txt"})
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


def test_what_nobody_asked_to_have_replaced_is_named_and_stays(tmp_path):
    write_all(tmp_path, {"c.txt": b"the maker's own", "cut/b.txt": b"two"})
    with pytest.raises(WouldReplace, match=r"1 file exists and would be replaced: c\.txt") as told:
        write_all(tmp_path, FILES)
    assert told.value.names == ("c.txt",)
    assert found(tmp_path) == {"c.txt": b"the maker's own", "cut/b.txt": b"two"}


def test_many_names_are_told_as_a_few_and_a_number():
    assert listed([f"{n}.dxf" for n in range(9)]) == "0.dxf, 1.dxf, 2.dxf, 3.dxf, 4.dxf, 5.dxf, 6.dxf, 7.dxf and 1 more"


@pytest.mark.skipif(os.name == "nt", reason="Windows has no pipes of a name")
@pytest.mark.parametrize("make", [os.mkfifo, lambda path: path.symlink_to("nowhere"), lambda path: path.symlink_to("c.txt")])
def test_a_pipe_or_link_of_the_name_is_in_the_way(tmp_path, make):
    make(tmp_path / "c.txt")
    with pytest.raises(WouldReplace, match=r"would be replaced: c\.txt"):
        write_all(tmp_path, FILES)
    assert [one.name for one in tmp_path.iterdir()] == ["c.txt"]


@pytest.mark.parametrize("moment", ["before it waits", "before it has its name"])
def test_what_comes_while_the_files_are_written_is_not_replaced(tmp_path, monkeypatch, moment):
    init, put = replacing.Waiting.__init__, replacing.Waiting.put

    def comes(waiting, path, content):
        if moment == "before it waits" and path.name == "c.txt":
            path.write_bytes(b"theirs")
        init(waiting, path, content)

    def put_late(waiting):
        if moment == "before it has its name" and waiting.target.name == "c.txt":
            waiting.target.write_bytes(b"theirs")
        put(waiting)

    monkeypatch.setattr(replacing.Waiting, "__init__", comes)
    monkeypatch.setattr(replacing.Waiting, "put", put_late)
    with pytest.raises(JobError):
        write_all(tmp_path, FILES)
    assert found(tmp_path) == {"c.txt": b"theirs"}


def test_what_holds_the_same_is_left_alone(tmp_path):
    (tmp_path / "a.txt").write_bytes(FILES["a.txt"])
    before = (tmp_path / "a.txt").stat()
    write_all(tmp_path, FILES)
    assert os.path.samestat((tmp_path / "a.txt").stat(), before)
    assert found(tmp_path) == FILES


@pytest.mark.parametrize("hard_links", [True, False])
@pytest.mark.parametrize("after", [0, 1, 2])
def test_when_one_cannot_get_its_name_those_that_have_theirs_make_room_again(tmp_path, monkeypatch, hard_links, after):
    write_all(tmp_path, {"a.txt": b"old", "c.txt": b"older"})
    (tmp_path / "a.txt").chmod(0o640)
    before, put, done = (tmp_path / "a.txt").stat(), replacing.Waiting.put, []

    def put_some(waiting):
        if len(done) == after and waiting.target.name in ("a.txt", "b.txt", "c.txt"):
            monkeypatch.setattr(replacing.Waiting, "put", put)
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        done.append(waiting.target.name)
        put(waiting)

    def none(*given, **named):
        raise OSError(errno.EPERM, "this disk has none")

    if not hard_links:
        monkeypatch.setattr(os, "link", none)
    monkeypatch.setattr(replacing.Waiting, "put", put_some)
    with pytest.raises(JobError, match=os.strerror(errno.EIO)):
        write_all(tmp_path, FILES, over={"a.txt", "c.txt"})
    assert found(tmp_path) == {"a.txt": b"old", "c.txt": b"older"}
    assert not (tmp_path / "cut").exists()
    assert (tmp_path / "a.txt").stat().st_mode == before.st_mode
    if hard_links:
        assert os.path.samestat((tmp_path / "a.txt").stat(), before)


def test_folders_that_were_made_for_it_go_when_nothing_is_written(tmp_path, monkeypatch):
    def full(handle):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(JobError, match=r"a\.txt: cannot be written: No space left"):
        write_all(tmp_path / "new" / "out", FILES)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(os.name == "nt", reason="Windows has other permissions")
def test_links_and_permissions_stay(tmp_path):
    (tmp_path / "real.txt").write_bytes(b"old")
    (tmp_path / "real.txt").chmod(0o600)
    (tmp_path / "a.txt").symlink_to("real.txt")
    write_all(tmp_path, FILES, over={"a.txt"})
    assert (tmp_path / "a.txt").is_symlink()
    assert (tmp_path / "real.txt").read_bytes() == FILES["a.txt"]
    assert (tmp_path / "real.txt").stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize(("name", "wanted"), [("CON", "con-1"), ("Nul.", "nul-1"), ("com1", "com1-1"), ("x" * 300, "x" * 80)])
def test_no_name_is_one_that_a_system_keeps_for_itself_or_too_long_for_any(name, wanted):
    assert file_name(name, set()) == wanted
