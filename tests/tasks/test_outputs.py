"""What commands write into a folder: again over their own, never over what somebody else put or changed there."""

import hashlib
import shutil
import subprocess

import pytest

from workbook.problems import JobError
from workbook.tasks import outputs
from workbook.tasks.outputs import LIST, refuse_foreign, write_outputs
from workbook.tasks.write import WouldReplace

ONE, TWO = {"a.txt": b"one", "cut/b.txt": b"1"}, {"a.txt": b"two", "cut/b.txt": b"2"}


def found(folder):
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file() and p.name != LIST}


def test_a_command_writes_again_over_what_it_wrote(tmp_path):
    write_outputs(tmp_path, ONE)
    write_outputs(tmp_path, {"other.txt": b"of another command"})
    write_outputs(tmp_path, TWO)
    write_outputs(tmp_path, ONE)
    assert found(tmp_path) == {**ONE, "other.txt": b"of another command"}


def test_not_over_what_was_there_before_nor_over_what_was_changed_since(tmp_path):
    (tmp_path / "a.txt").write_bytes(b"the maker's own")
    with pytest.raises(WouldReplace, match=r"1 file exists and would be replaced: a\.txt\..* --force"):
        write_outputs(tmp_path, ONE)
    assert found(tmp_path) == {"a.txt": b"the maker's own"}
    (tmp_path / "a.txt").unlink()
    write_outputs(tmp_path, ONE)
    (tmp_path / "cut" / "b.txt").write_bytes(b"changed")
    for refused in (lambda: write_outputs(tmp_path, TWO), lambda: refuse_foreign(tmp_path, TWO)):
        with pytest.raises(WouldReplace, match=r"would be replaced: cut/b\.txt"):
            refused()
    assert found(tmp_path) == {**ONE, "cut/b.txt": b"changed"}


def test_unless_that_is_asked_for(tmp_path):
    (tmp_path / "a.txt").write_bytes(b"the maker's own")
    refuse_foreign(tmp_path, ONE, force=True)
    write_outputs(tmp_path, ONE, force=True)
    write_outputs(tmp_path, TWO)
    assert found(tmp_path) == TWO


def test_what_is_the_same_is_nobodys_loss(tmp_path):
    (tmp_path / "a.txt").write_bytes(b"one")
    write_outputs(tmp_path, ONE)
    assert found(tmp_path) == ONE


@pytest.mark.parametrize("list_", [b"", b"\x00\xff\n\n  \nzz", b"0  a.txt\n"])
def test_a_list_that_says_nothing_sound_gives_no_leave(tmp_path, list_):
    (tmp_path / LIST).write_bytes(list_)
    (tmp_path / "a.txt").write_bytes(b"the maker's own")
    with pytest.raises(WouldReplace):
        write_outputs(tmp_path, ONE)


@pytest.mark.parametrize("killed_after", [1, 2])
def test_after_a_kill_between_two_files_the_next_run_goes_on(tmp_path, monkeypatch, killed_after):
    """The list is there first, and has both: what was, and what is to be."""
    write_outputs(tmp_path, ONE)
    put, names = outputs.write_all, []

    def half(folder, files, *, over):
        part = dict(list(files.items())[: killed_after + 1])
        put(folder, part, over=over)
        names.extend(part)
        raise KeyboardInterrupt

    monkeypatch.setattr(outputs, "write_all", half)
    with pytest.raises(KeyboardInterrupt):
        write_outputs(tmp_path, TWO)
    assert names[0] == LIST
    monkeypatch.undo()
    write_outputs(tmp_path, {"a.txt": b"three", "cut/b.txt": b"3"})
    assert found(tmp_path) == {"a.txt": b"three", "cut/b.txt": b"3"}


def test_the_list_is_one_that_others_can_check(tmp_path):
    write_outputs(tmp_path, ONE)
    write_outputs(tmp_path, TWO)
    lines = (tmp_path / LIST).read_text().splitlines()
    assert lines == [f"{hashlib.sha256(content).hexdigest()}  {name}" for name, content in TWO.items()]
    if shutil.which("sha256sum"):
        assert subprocess.run(["sha256sum", "--check", "--quiet", LIST], cwd=tmp_path, check=False).returncode == 0


def test_a_folder_that_cannot_be_written_is_told(tmp_path):
    (tmp_path / "out").write_bytes(b"in the way")
    with pytest.raises(JobError, match="cannot be written"):
        write_outputs(tmp_path / "out", ONE)
