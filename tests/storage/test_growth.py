"""What is worked on can always be opened again: books that grow, limits that are near, pictures, copies."""

import datetime
import json
import os
from itertools import pairwise

import pytest

from tests.counts import tries
from tests.storage import growth
from tests.storage.conftest import line, setting, told
from workbook.document.action import said
from workbook.document.document import Document, replacing
from workbook.storage import backups
from workbook.storage.attachment import Attachment, digest_in
from workbook.storage.body import BookBody
from workbook.storage.file import read
from workbook.storage.opening import begin, open_path, recover, restored
from workbook.storage.trouble import NotAWorkbook, StorageTrouble
from workbook.storage.unsaved import sessions
from workbook.storage.weight import HISTORY, KEPT_STEPS, Weight, first_kept

AT = "2026-01-02T03:04:05"
PICTURE = Attachment("image/png", b"\x89PNG" + bytes(500))


def put(session, number, quantity):
    session.edit(setting(session.document, number, quantity), AT)


def test_an_outline_of_4000_points_changed_many_times_stays_small_and_opens(tmp_path):
    found, figures = growth.grown(tmp_path, edits=tries(10, 5000), points=4000, blanks=tries(30, 200), pictures=2, size=50_000)
    assert found == []
    assert figures["file, bytes"] < 600_000


def test_old_steps_go_before_the_history_is_too_long_and_undo_ends_there(tmp_path, monkeypatch):
    for module in ("weight", "session"):
        monkeypatch.setattr(f"workbook.storage.{module}.KEPT_STEPS", 20)
    session = begin(tmp_path / "sessions")
    for number in range(1, 60):
        put(session, 1, number)
    assert 20 <= len(session.steps) <= 22
    assert session.gone + len(session.steps) == 59
    session.undo()
    put(session, 1, 100)
    document, steps, gone = session.document, session.steps, session.gone
    session._database.close()  # the process is gone
    session._lock.leave()
    again = recover(sessions(tmp_path / "sessions")[0].file)
    assert (again.document, again.steps, again.gone, again.done) == (document, steps, gone, len(steps))
    while again.undo():
        pass
    assert again.document.records["line1"].quantity == 59 - len(steps)
    again.save_as(tmp_path / "shop.shopbook")
    assert read(tmp_path / "shop.shopbook").body.gone == again.gone


def test_what_is_kept_of_a_history_is_bounded_by_number_and_by_weight():
    light, heavy = Weight(100, 5), Weight(HISTORY.size // 4, 5)
    assert first_kept([light] * KEPT_STEPS, KEPT_STEPS) == 0
    assert first_kept([light] * (KEPT_STEPS + 7), KEPT_STEPS + 7) == 7
    assert first_kept([heavy] * 9, 9) == 5
    assert first_kept([heavy] * 9, 3) == 2, "what can be done again stays, and the last step that is done"
    assert first_kept([Weight(HISTORY.size * 2, 5)], 1) == 0, "the last step stays, however heavy"


def test_an_edit_that_would_make_a_book_too_large_to_open_is_refused_and_changes_nothing(tmp_path, monkeypatch):
    monkeypatch.setattr("workbook.storage.scales.RECORDS", Weight(2000, 200))
    session = begin(tmp_path / "sessions")
    for number in range(1, 7):
        put(session, number, number)
    before = session.document
    with pytest.raises(StorageTrouble, match="too large to be opened again"):
        for number in range(7, 40):
            put(session, number, number)
            before = session.document
    assert session.document == before
    put(session, 1, 0)  # what makes it lighter is let through
    session.save_as(tmp_path / "shop.shopbook")
    assert read(tmp_path / "shop.shopbook").body.document == session.document


def test_a_book_that_would_not_open_again_is_not_written_over_the_one_that_does(tmp_path, monkeypatch):
    session = begin(tmp_path / "sessions")
    put(session, 1, 1)
    session.save_as(tmp_path / "shop.shopbook")
    before = (tmp_path / "shop.shopbook").read_bytes()
    put(session, 2, 2)
    monkeypatch.setattr("workbook.storage.file.FILE", Weight(100, 10))
    with pytest.raises(StorageTrouble):
        session.publish()
    session.close()
    monkeypatch.undo()
    assert (tmp_path / "shop.shopbook").read_bytes() == before
    (left,) = sessions(tmp_path / "sessions")
    assert not left.saved
    assert recover(left.file).document.records.keys() == {"line1", "line2"}


def test_a_session_stays_until_its_file_was_read_back(tmp_path, monkeypatch):
    monkeypatch.setattr("workbook.storage.session._SMALL", 10)  # each is a large one
    session = begin(tmp_path / "sessions")
    put(session, 1, 1)
    session.save_as(tmp_path / "shop.shopbook")
    assert session.to_prove is not None

    def unreadable(*_, **__):
        raise NotAWorkbook("it cannot be read")

    with monkeypatch.context() as damage:
        damage.setattr("workbook.storage.session.read", unreadable)
        session.close()
    (left,) = sessions(tmp_path / "sessions")
    session = recover(left.file)
    path, digest = session.to_prove
    session.proved("another")
    assert session.to_prove is not None
    session.proved(digest)
    assert (path, session.to_prove) == (tmp_path / "shop.shopbook", None)
    session.close()
    assert sessions(tmp_path / "sessions") == []


def test_a_picture_stands_once_in_the_file_and_never_in_a_step(tmp_path):
    session = begin(tmp_path / "sessions")
    named = session.attach(PICTURE)
    assert session.attach(PICTURE) == named
    unused = session.attach(Attachment("image/jpeg", b"nobody names this"))
    first = replacing(session.document, said("note"), [growth.PictureRecord(id="p", place=1.0, of="t", picture=named)])
    session.edit(first, AT)
    session.undo()
    session.save_as(tmp_path / "shop.shopbook")
    data = (tmp_path / "shop.shopbook").read_bytes()
    assert data.count(PICTURE.data) == 1, "a step that can be done again names it"
    assert b"nobody names this" not in data
    session.close()
    again = open_path(tmp_path / "elsewhere", tmp_path / "shop.shopbook")
    again.redo()
    assert again.attachment(again.document.get("p", growth.PictureRecord).picture) == PICTURE
    assert again.attachment(unused) is None
    with pytest.raises(ValueError):
        digest_in("attachment:../../etc")


@pytest.mark.parametrize(
    ("picture", "why"),
    [
        (Attachment("text/html", b"<b>"), "pictures only"),
        (Attachment("image/png", bytes(8_000_001)), "at most 8 MB"),
        (Attachment("image/png", b""), "too large"),
    ],
)
def test_what_is_no_picture_or_too_large_is_refused(tmp_path, picture, why):
    session = begin(tmp_path / "sessions")
    with pytest.raises(StorageTrouble, match=why) if picture.data else pytest.raises(StorageTrouble):
        session.attach(picture)


def test_all_pictures_together_have_a_budget_that_is_said(tmp_path, monkeypatch):
    monkeypatch.setattr("workbook.storage.attachment.ATTACHMENTS_BYTES", 1_000_000)
    session = begin(tmp_path / "sessions")
    session.attach(Attachment("image/png", os.urandom(600_000)))
    with pytest.raises(StorageTrouble, match="All its pictures together may have at most 1 MB"):
        session.attach(Attachment("image/png", os.urandom(600_000)))


def test_a_copy_is_kept_at_the_first_save_each_hour_and_at_the_end_and_is_restored_as_new_work(tmp_path, monkeypatch):
    session = begin(tmp_path / "sessions", BookBody(Document({"line1": line(1, 1)})))
    put(session, 1, 2)
    session.save_as(tmp_path / "shop.shopbook")
    put(session, 1, 3)
    session.publish()
    folder = tmp_path / "backups"
    assert [read(copy.file).body.document.records["line1"].quantity for copy in backups.kept(folder)] == [2]
    session.close()
    copies = backups.kept(folder)
    assert sorted(read(copy.file).body.document.records["line1"].quantity for copy in copies) == [2, 3]
    assert {copy.book for copy in copies} == {session.book}
    oldest = next(copy for copy in copies if read(copy.file).body.document.records["line1"].quantity == 2)
    again = restored(tmp_path / "sessions", oldest.file)
    assert (again.path, again.document.records["line1"].quantity, told(again.undo())) == (None, 2, "line 1 2")
    assert again.book != session.book
    assert read(tmp_path / "shop.shopbook").body.document.records["line1"].quantity == 3


def test_that_no_copy_can_be_kept_is_said_and_the_file_is_saved_all_the_same(tmp_path):
    session = begin(tmp_path / "sessions")
    put(session, 1, 2)
    (tmp_path / "backups").write_text("in the way")
    session.save_as(tmp_path / "shop.shopbook")
    assert session.saved
    assert session.no_backup


def test_ten_copies_are_kept_close_for_today_and_far_apart_for_long_ago():
    hour, kept = 3600.0, [0.0]
    for _ in range(24 * 60):  # two months, a copy each hour
        kept = [0.0, *(age + hour for age in kept)]
        for n in backups.dropped(kept, [1] * len(kept)):
            kept[n] = -1.0
        kept = [age for age in kept if age >= 0.0]
    assert len(kept) == backups.MOST
    assert kept[0] == 0.0
    assert kept[1] <= 2 * hour
    assert kept[-1] >= 24 * 59 * hour
    assert sum(age <= 24 * hour for age in kept) >= 3
    assert all(later / max(sooner, hour) < 8 for sooner, later in pairwise(kept[1:]))


def test_copies_of_large_books_have_a_budget():
    sizes = [130_000_000] * 9
    gone = backups.dropped([float(n * 3600) for n in range(9)], sizes)
    assert (9 - len(gone)) * 130_000_000 <= backups.MOST_BYTES
    assert 0 not in gone and 8 not in gone


def test_the_clock_set_back_keeps_no_copy_from_being_made(tmp_path):
    then = datetime.datetime(2027, 1, 1)
    backups.keep(tmp_path, "b", "Shop", b"one", then)
    assert not backups.due(tmp_path, "b", then + datetime.timedelta(minutes=10))
    assert backups.due(tmp_path, "b", then - datetime.timedelta(days=30))


def test_a_saved_session_leaves_a_copy_when_it_gives_way_to_someone_elses_file(tmp_path):
    file = tmp_path / "shop.shopbook"
    session = begin(tmp_path / "sessions")
    session.save_as(file)
    put(session, 1, 7)
    session.publish()
    session._database.close()
    session._lock.leave()
    theirs = begin(tmp_path / "theirs")
    put(theirs, 8, 8)
    theirs.save_as(file)
    theirs.close()
    assert open_path(tmp_path / "sessions", file).document.records.keys() == {"line8"}
    quantities = [json.loads(copy.file.read_bytes().split(b"\n")[1])["records"] for copy in backups.kept(tmp_path / "backups")]
    assert any(rows and rows[0]["record"]["quantity"] == 7 for rows in quantities)


def test_a_name_that_is_no_unicode_text_is_a_name(tmp_path):
    file = tmp_path / os.fsdecode(b"sh\xffp.shopbook")
    session = begin(tmp_path / "sessions")
    put(session, 1, 7)
    session.save_as(file)
    put(session, 1, 8)
    session._database.close()
    session._lock.leave()
    again = open_path(tmp_path / "sessions", file)
    assert (again.path, again.document.records["line1"].quantity) == (file, 8)
    again.publish()
    assert [one.path for one in sessions(tmp_path / "sessions")] == [file], "also while it is in use"
    again.close()
    assert read(file).body.document.records["line1"].quantity == 8
