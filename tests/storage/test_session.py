"""A session: what is acknowledged is there after any end; undo survives; the file is replaced whole or not at all."""

import json
import os
import shutil
import sqlite3
from contextlib import suppress

import pytest

from tests.storage.conftest import line, setting, told
from tests.storage.test_hostile import signed
from workbook.document.action import said
from workbook.document.document import Edit
from workbook.storage.file import parsed, read, written
from workbook.storage.opening import begin, open_path, recover
from workbook.storage.trouble import ChangedElsewhere, InUse, NotAWorkbook, StorageTrouble
from workbook.storage.unsaved import sessions

AT = "2026-01-02T03:04:05"


def put(session, number, quantity):
    session.edit(setting(session.document, number, quantity), AT)


def quantities(document):
    return {record.id: record.quantity for record in document.records.values()}


def abandon(session):
    """The process is gone: nothing is closed in order."""
    session._database.close()
    session._lock.leave()


def test_an_edit_is_there_after_the_process_is_gone(folder):
    session = begin(folder)
    put(session, 1, 5)
    put(session, 2, 7)
    abandon(session)
    (left,) = sessions(folder)
    assert not left.saved
    again = recover(left.file)
    assert quantities(again.document) == {"line1": 5, "line2": 7}
    assert [told(step) for step in again.steps] == ["line 1 5", "line 2 7"]


def test_undo_and_redo_survive_the_end_of_the_process(folder):
    session = begin(folder)
    for number in (1, 2, 3):
        put(session, number, number)
    assert told(session.undo()) == "line 3 3"
    assert told(session.undo()) == "line 2 2"
    abandon(session)
    again = recover(sessions(folder)[0].file)
    assert quantities(again.document) == {"line1": 1}
    assert told(again.redo()) == "line 2 2"
    put(again, 9, 9)
    assert again.redo() is None
    assert [told(step) for step in again.steps] == ["line 1 1", "line 2 2", "line 9 9"]
    for _ in range(3):
        again.undo()
    assert again.undo() is None
    assert quantities(again.document) == {}


def test_a_step_that_is_forgotten_leaves_what_could_be_done_again_also_after_the_end(folder):
    session = begin(folder)
    for number in (1, 2, 3):
        put(session, number, number)
    session.undo()
    session.undo()
    put(session, 4, 4)
    session.edit(setting(session.document, 4, 5), AT, same_step=True)
    assert told(session.forget()) == "line 4 5"
    assert [told(step) for step in session.steps] == ["line 1 1", "line 2 2", "line 3 3"]
    abandon(session)
    again = recover(sessions(folder)[0].file)
    assert (again.done, quantities(again.document)) == (1, {"line1": 1})
    assert [told(step) for step in again.steps] == ["line 1 1", "line 2 2", "line 3 3"]
    again.redo()
    again.redo()
    assert quantities(again.document) == {"line1": 1, "line2": 2, "line3": 3}
    assert again.forget() is not None  # with nothing cut off by it, only the step goes
    assert [told(step) for step in again.steps] == ["line 1 1", "line 2 2"]
    assert begin(folder).forget() is None


def test_an_edit_that_changes_nothing_leaves_no_step(folder):
    session = begin(folder)
    session.edit(Edit(said("nothing"), ()), AT)
    assert session.steps == ()


def test_a_saved_workbook_opens_with_its_history(folder, tmp_path):
    session = begin(folder)
    put(session, 1, 5)
    assert not session.saved
    with pytest.raises(StorageTrouble, match="has no file yet"):
        session.publish()
    session.save_as(tmp_path / "shop.shopbook")
    assert session.saved
    put(session, 1, 6)
    assert not session.saved
    session.publish()
    session.close()
    assert sessions(folder) == []
    again = open_path(tmp_path / "elsewhere", tmp_path / "shop.shopbook")
    assert quantities(again.document) == {"line1": 6}
    assert told(again.undo()) == "line 1 6"
    assert again.path == tmp_path / "shop.shopbook"


def test_work_that_never_reached_the_file_goes_on_when_it_is_opened(folder, tmp_path):
    file = tmp_path / "shop.shopbook"
    session = begin(folder)
    session.save_as(file)
    put(session, 1, 5)
    abandon(session)
    assert quantities(read(file).body.document) == {}
    again = open_path(folder, file)
    assert quantities(again.document) == {"line1": 5}
    assert not again.saved


def test_a_second_window_on_the_same_workbook_is_told(folder, tmp_path):
    session = begin(folder)
    session.save_as(tmp_path / "shop.shopbook")
    with pytest.raises(InUse, match="open in another window"):
        open_path(folder, tmp_path / "shop.shopbook")
    session.close()
    open_path(folder, tmp_path / "shop.shopbook").close()


def test_a_file_open_in_another_window_is_not_saved_over(folder, tmp_path):
    first, second = begin(folder), begin(folder)
    first.save_as(tmp_path / "shop.shopbook")
    with pytest.raises(InUse, match="Choose another name"):
        second.save_as(tmp_path / "shop.shopbook")
    assert second.path is None
    first.close()


def test_a_file_changed_by_someone_else_is_left_and_both_are_kept(folder, tmp_path):
    file = tmp_path / "shop.shopbook"
    session = begin(folder)
    session.save_as(file)
    theirs = begin(tmp_path / "theirs")
    put(theirs, 8, 8)
    theirs.save_as(tmp_path / "theirs.shopbook")
    shutil.copy(tmp_path / "theirs.shopbook", file)
    put(session, 1, 5)
    with pytest.raises(ChangedElsewhere, match="changed by someone else"):
        session.publish()
    assert session.changed_elsewhere()
    beside = session.keep_both("2 January")
    assert quantities(read(file).body.document) == {"line8": 8}
    assert quantities(read(beside).body.document) == {"line1": 5}
    assert beside.name == "shop (2 January).shopbook"
    put(session, 1, 6)
    session.publish()
    assert quantities(read(beside).body.document) == {"line1": 6}


def test_a_saved_session_gives_way_to_a_file_someone_has_changed(folder, tmp_path):
    file = tmp_path / "shop.shopbook"
    session = begin(folder)
    session.save_as(file)
    abandon(session)
    theirs = begin(tmp_path / "theirs")
    put(theirs, 8, 8)
    theirs.save_as(file)
    theirs.close()
    assert quantities(open_path(folder, file).document) == {"line8": 8}


def test_work_whose_file_is_gone_is_not_thrown_away(folder, tmp_path):
    file = tmp_path / "shop.shopbook"
    session = begin(folder)
    put(session, 1, 5)
    session.save_as(file)
    file.unlink()
    session.close()
    (left,) = sessions(folder)
    assert left.path == file
    again = open_path(folder, file)
    assert quantities(again.document) == {"line1": 5}
    assert again.path is None
    assert not again.saved
    again.save_as(file)
    assert quantities(read(file).body.document) == {"line1": 5}


def test_a_saved_session_stays_while_the_file_cannot_be_read(folder, tmp_path):
    file = tmp_path / "shop.shopbook"
    session = begin(folder)
    put(session, 1, 5)
    session.save_as(file)
    abandon(session)
    file.write_bytes(b"torn")
    with pytest.raises(NotAWorkbook):
        open_path(folder, file)
    (left,) = sessions(folder)
    assert quantities(recover(left.file).document) == {"line1": 5}


def test_a_file_that_is_gone_is_written_anew(folder, tmp_path):
    file = tmp_path / "shop.shopbook"
    session = begin(folder)
    session.save_as(file)
    file.unlink()
    put(session, 1, 5)
    session.publish()
    assert quantities(read(file).body.document) == {"line1": 5}


def test_a_folder_that_is_gone_is_said_and_the_work_can_go_elsewhere(folder, tmp_path):
    home = tmp_path / "stick"
    home.mkdir()
    session = begin(folder)
    session.save_as(home / "shop.shopbook")
    put(session, 1, 5)
    shutil.rmtree(home)
    with pytest.raises(StorageTrouble, match="no longer exists"):
        session.publish()
    session.save_as(tmp_path / "other.shopbook")
    assert quantities(read(tmp_path / "other.shopbook").body.document) == {"line1": 5}
    assert session.saved


@pytest.mark.parametrize("end", ["before", "after"])
def test_a_crash_round_the_moment_of_replacing_is_understood(folder, tmp_path, monkeypatch, end):
    file = tmp_path / "shop.shopbook"
    session = begin(folder)
    session.save_as(file)
    put(session, 1, 5)
    whole = session._database.set_notes

    def dies(**notes):
        if "base" in notes:
            raise KeyboardInterrupt
        whole(**notes)

    if end == "after":
        monkeypatch.setattr(session._database, "set_notes", dies)
    else:
        monkeypatch.setattr("workbook.storage.session.replace_whole", lambda *a: (_ for _ in ()).throw(KeyboardInterrupt))
    with pytest.raises(KeyboardInterrupt):
        session.publish()
    abandon(session)
    monkeypatch.undo()
    again = open_path(folder, file)
    assert quantities(again.document) == {"line1": 5}
    assert again.saved == (end == "after")
    assert not again.changed_elsewhere()
    again.publish()


@pytest.mark.skipif(getattr(os, "geteuid", lambda: 0)() == 0, reason="root may write anywhere; Windows has no such mode")
def test_a_read_only_folder_is_said(folder, tmp_path):
    home = tmp_path / "locked"
    home.mkdir()
    home.chmod(0o500)
    with pytest.raises(StorageTrouble, match="may not be written"):
        begin(folder).save_as(home / "shop.shopbook")


def test_a_damaged_session_is_left_where_it_is(folder):
    session = begin(folder)
    put(session, 1, 5)
    file = session._database.path
    abandon(session)
    for suffix in ("-wal", "-shm"):
        file.with_name(file.name + suffix).unlink(missing_ok=True)
    file.write_bytes(b"not a database" * 400)
    assert sessions(folder) == []
    with pytest.raises(NotAWorkbook, match="damaged"):
        recover(file)
    assert file.exists()


def test_a_session_of_another_version_is_not_touched(folder):
    session = begin(folder)
    abandon(session)
    at = sqlite3.connect(session._database.path)
    at.execute("PRAGMA user_version=99")
    at.close()
    with pytest.raises(NotAWorkbook, match="newer version"):
        recover(session._database.path)


def test_the_same_work_gives_the_same_bytes(folder, tmp_path):
    session = begin(folder)
    put(session, 1, 5)
    session.save_as(tmp_path / "one.shopbook")
    body = read(tmp_path / "one.shopbook").body
    assert written(body) == (tmp_path / "one.shopbook").read_bytes()


def test_a_newer_file_is_refused_with_what_to_do(tmp_path):
    head, content = written(read_empty()).split(b"\n", 1)
    newer = json.dumps({**json.loads(head), "version": 99}).encode()
    with pytest.raises(NotAWorkbook, match="newer version of this program"):
        parsed(newer + b"\n" + content, "shop.shopbook")


def read_empty():
    from workbook.document.document import Document
    from workbook.storage.body import BookBody

    return BookBody(Document({"line1": line(1, 1)}))


def test_a_file_keeps_the_recent_history_and_undo_goes_on_from_it(folder, tmp_path, monkeypatch):
    monkeypatch.setattr("workbook.storage.weight.KEPT_STEPS", 3)
    session = begin(folder)
    for number in range(1, 8):
        put(session, number, number)
    session.undo()
    session.undo()
    session.save_as(tmp_path / "shop.shopbook")
    assert len(session.steps) == 7
    session.close()
    again = open_path(folder, tmp_path / "shop.shopbook")
    assert ([told(step) for step in again.steps], again.done) == (["line 5 5", "line 6 6", "line 7 7"], 1)
    again.undo()
    assert again.undo() is None
    for _ in range(3):
        again.redo()
    assert quantities(again.document) == {f"line{n}": n for n in range(1, 8)}


DAMAGE = [
    ("]]", "]}"),
    ("quantity", "quantitx"),
    ('["quantity"]', '[["quantity"]]'),
    ("4,5", "1e999,5"),
    ("4", "[" * 5000),
    ("line1", "line9"),
    ("4,5", '"many",5'),
]


@pytest.mark.parametrize(("was", "damage"), DAMAGE)
def test_a_damaged_step_of_the_history_costs_only_what_is_behind_it(folder, tmp_path, was, damage):
    session = begin(folder)
    for quantity in (4, 5, 6, 7):
        put(session, 1, quantity)
    session.undo()
    abandon(session)
    (left,) = sessions(folder)
    with sqlite3.connect(left.file) as at:
        done = at.execute("UPDATE step SET changes = replace(changes, ?, ?) WHERE number = 2", (was, damage)).rowcount
    at.close()
    session = recover(left.file)
    assert done == 1
    assert (told(session.undo()), session.done) == ("line 1 6", 2)
    with pytest.raises(NotAWorkbook, match=r"step “line 1 5” of the history cannot be read.*Continue from here"):
        session.undo()
    assert (session.done, quantities(session.document)) == (2, {"line1": 5})
    put(session, 2, 7)
    session.save_as(tmp_path / "shop.shopbook")
    session.close()
    again = open_path(folder, tmp_path / "shop.shopbook")
    assert told(again.steps[again.done - 1]) == "line 2 7"
    assert quantities(again.document) == {"line1": 5, "line2": 7}
    assert again.undo()
    with suppress(NotAWorkbook):  # what has the form of a step and does not fit stays, and is told again
        assert again.undo() is None
    assert quantities(again.document) == {"line1": 5}


def test_a_damaged_step_that_could_be_done_again_ends_what_can_be(folder, tmp_path):
    session = begin(folder)
    for quantity in (4, 5, 6):
        put(session, 1, quantity)
    for _ in range(2):
        session.undo()
    abandon(session)
    (left,) = sessions(folder)
    with sqlite3.connect(left.file) as at:
        at.execute("UPDATE step SET changes = '[' WHERE number = 3")
    at.close()
    session = recover(left.file)
    session.save_as(tmp_path / "shop.shopbook")
    session.close()
    again = open_path(folder, tmp_path / "shop.shopbook")
    assert ([told(step) for step in again.steps], again.done) == (["line 1 4", "line 1 5"], 1)
    assert again.redo() and again.redo() is None


def test_a_long_history_is_not_gone_through_to_open(folder, tmp_path, monkeypatch):
    session = begin(folder)
    for number in range(1, 4):
        put(session, number, number)
    session.save_as(tmp_path / "shop.shopbook")
    session.close()
    with monkeypatch.context() as no_reading:
        no_reading.setattr("workbook.storage.body.check_changes", None)
        again = open_path(folder, tmp_path / "shop.shopbook", known=True)
        put(again, 9, 9)
        abandon(again)
        again = recover(sessions(folder)[0].file)
        assert [told(step) for step in again.steps] == ["line 1 1", "line 2 2", "line 3 3", "line 9 9"]
    again.save_as(tmp_path / "other.shopbook")
    assert parsed((tmp_path / "other.shopbook").read_bytes(), "other").steps[-1].changes == again.steps[-1].changes
    assert again.undo() and told(again.undo()) == "line 3 3"


def test_a_strangers_history_is_looked_at_before_it_is_opened(folder, tmp_path):
    session = begin(folder)
    put(session, 1, 5)
    data = written(session.body)
    content = json.loads(data.split(b"\n")[1])
    content["history"][0][2][0][2]["record"]["quantity"] = "many"
    (tmp_path / "shop.shopbook").write_bytes(signed(json.dumps(content).encode()))
    with pytest.raises(NotAWorkbook, match=r"history\[1\]"):
        open_path(folder, tmp_path / "shop.shopbook")
    known = open_path(folder, tmp_path / "shop.shopbook", known=True)
    known.undo()
    with pytest.raises(NotAWorkbook, match="step “line 1 5”"):
        known.redo()
    assert quantities(known.document) == {}
