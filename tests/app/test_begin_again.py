"""Starts and ends: a window always comes, with the work that was used last or a word why not; the file follows after any end."""

import json
import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest
from PySide6.QtWidgets import QDialog, QMenu, QMessageBox

from tests.app.test_work import length
from tests.app.waiting import at_rest
from tests.named import template_of
from tests.storage.first_starts import surroundings
from workbook.app import main as start_of_program
from workbook.app.dialogs.backups import Backups
from workbook.app.look import Look
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.document.document import Document
from workbook.document.records import SettingsRecord
from workbook.problems import JobError, Mistake
from workbook.storage.body import BookBody
from workbook.storage.file import written
from workbook.storage.migrations import VERSION
from workbook.storage.opening import recover
from workbook.storage.trouble import StorageTrouble
from workbook.storage.unsaved import held, sessions
from workbook.tasks.recent import Used, remember, used_lately
from workbook.tasks.starting import note_opening, one_at_a_time, opening_ended, start_usual
from workbook.tasks.work import sessions_folder, unsaved, work_at


def petty(session):
    return template_of(Workspace(session, Look()), "Petty").blade.length


@pytest.fixture
def saved(window, tmp_path, monkeypatch):
    """The window on work that has a file."""
    file = tmp_path / "shop.shopbook"
    monkeypatch.setattr("workbook.app.filing.QFileDialog.getSaveFileName", lambda *a: (str(file), ""))
    window.filing.save()
    at_rest(window)
    return file


@pytest.fixture
def said(window, monkeypatch):
    """What the window says, with its buttons."""
    told = []
    monkeypatch.setattr(window, "say_storage", lambda title, trouble, cures=(): told.append((title, str(trouble), dict(cures))))
    return told


def abandon(window):
    """The process is gone: nothing is closed in order."""
    session = window.workspace.session
    session._database.close()
    session._lock.leave()
    window.filing._ended = True
    window.filing._timer.stop()


def test_after_a_crash_the_file_follows_by_itself(qtbot, window, saved, monkeypatch):
    monkeypatch.setattr("workbook.app.start_order.AFTER_MENUS", 0)
    window.workspace.edit("blade.length", 133.0)
    abandon(window)
    again = Window(Workspace(work_at(saved), Look("light")))
    qtbot.addWidget(again)
    with qtbot.waitExposed(again):
        again.show()
    qtbot.waitUntil(lambda: again.workspace.session.saved, timeout=10_000)
    session = recovered(saved)
    assert petty(session) == 133.0
    again.close()


def recovered(file):
    from workbook.storage.viewing import look_at

    return look_at(file)


def test_other_work_that_had_not_reached_its_file_follows_too(qtbot, window, saved):
    window.workspace.edit("blade.length", 134.0)
    abandon(window)
    window.filing._ended = False
    window.workspace.session = start_usual().session
    opening_ended()
    window.work_on(window.workspace.session)
    assert not window.workspace.session.saved
    qtbot.waitUntil(lambda: window.workspace.session.saved, timeout=10_000)


def test_a_kill_that_asks_brings_the_file_up_to_date(qtbot, window, saved):
    window.presence.listen()
    window.workspace.edit("blade.length", 135.0)
    assert not window.workspace.session.saved
    os.kill(os.getpid(), signal.SIGTERM)
    qtbot.waitUntil(lambda: petty(recovered(saved)) == 135.0, timeout=10_000)
    assert list(sessions_folder().glob("*.session")) == [], "the work was let go"


def test_the_end_of_the_desktops_session_brings_the_file_up_to_date(window, saved):
    window.workspace.edit("blade.length", 136.0)
    window.presence.listen()
    window.presence.committed(None)
    assert petty(recovered(saved)) == 136.0


def test_closing_while_the_file_cannot_be_written_asks_first(window, saved, monkeypatch):
    window.workspace.edit("blade.length", 137.0)
    saved.unlink()
    saved.mkdir()
    answers = iter(["Go back", "Close"])
    asked = []

    def answer(box):
        words = next(answers)
        asked.append(box.informativeText())
        next(button for button in box.buttons() if button.text() == words).click()

    monkeypatch.setattr(QMessageBox, "exec", answer)
    window.close()
    assert window.isVisible(), "he went back"
    window.close()
    assert not window.isVisible()
    assert "All work is autosaved on this computer" in asked[0]
    saved.rmdir()
    session = work_at(saved)
    assert petty(session) == 137.0
    session.close()


def forged(file, document):
    """A file with a right digest and content no window can show."""
    file.write_bytes(written(BookBody(document)))
    return file


def test_a_book_that_cannot_be_shown_never_keeps_the_program_from_starting(qtbot, tmp_path, monkeypatch):
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    file = forged(tmp_path / "absurd.shopbook", Document({"settings": SettingsRecord(name="Absurd")}))
    before = file.read_bytes()
    remember(file)
    window, start = start_of_program._shown(start_usual())
    qtbot.addWidget(window)
    assert start.not_opened.used == Used(path=file)
    assert window.workspace.session.path is None
    said = []
    monkeypatch.setattr(window, "say_storage", lambda title, trouble, cures=(): said.append((title, str(trouble), dict(cures))))
    start_of_program.say_start(window, start)
    ((title, words, cures),) = said
    assert title == "absurd.shopbook was not opened" or title.startswith("Absurd")
    assert "kept as it is" in words
    assert list(cures) == ["Open it", "Restore a backup…"]
    assert file.read_bytes() == before
    window.close()


def test_a_book_that_cannot_be_shown_leaves_the_present_work_as_it_is(window, saved, said, tmp_path):
    window.workspace.edit("blade.length", 138.0)
    window.filing.open_file(forged(tmp_path / "absurd.shopbook", Document({"settings": SettingsRecord(name="Absurd")})))
    at_rest(window)
    assert len(said) == 1
    assert (window.workspace.session.path, length(window)) == (saved, 138.0)
    window.workspace.edit("blade.length", 139.0)
    assert window.workspace.session.document.settings.name in window.windowTitle()


def test_what_did_not_open_at_the_last_start_is_not_opened_by_itself(window, saved):
    window.close()
    note_opening(Used(path=saved))  # as a start leaves it that was killed
    start = start_usual()
    assert (start.not_opened.name, start.session.path) == ("shop.shopbook", None)
    assert "did not open at the last start" in start.not_opened.why
    start.session.close()
    session = work_at(saved)  # it can be opened all the same
    session.close()
    opening_ended()
    start = start_usual()
    assert start.session.path == saved
    start.session.close()


def test_damaged_work_is_named_and_kept_and_older_work_does_not_take_its_place_without_a_word(window, saved, said):
    window.workspace.edit("blade.length", 131.0)
    window.filing.publish()
    at_rest(window)
    window.filing.new()
    at_rest(window)
    window.workspace.edit("blade.height", 33.0)
    file = window.workspace.session.file
    abandon(window)
    for part in sessions_folder().glob(f"{file.name}-*"):
        part.unlink()
    file.write_bytes(b"not a database" * 400)
    start = start_usual()
    assert start.session.path is None
    assert start.not_opened.used.session == file
    assert "damaged" in start.not_opened.why
    assert file.read_bytes() == b"not a database" * 400
    window.filing._ended = False
    window.work_on(start.session)
    for menu in window.menuBar().findChildren(QMenu):
        menu.aboutToShow.emit()
    actions = [action for menu in window.menuBar().findChildren(QMenu) for action in menu.actions()]
    shown = next(action for action in actions if action.text().startswith("Cannot be read: work of "))
    shown.trigger()
    assert str(file) in said[-1][1]


def test_the_order_of_use_counts_and_not_the_clock(window, saved, monkeypatch):
    window.filing.new()
    at_rest(window)
    window.workspace.edit("blade.height", 33.0)
    window.filing.remember()
    monkeypatch.setattr("workbook.app.work.now", lambda: "1999-01-01T00:00:00.000+00:00")
    window.workspace.edit("blade.height", 34.0)
    window.close()
    start = start_usual()
    assert (start.session.path, start.not_opened) == (None, None)
    assert [used.path for used in used_lately()][1] == saved
    start.session.close()


def test_a_session_of_a_newer_program_is_told_in_a_sentence(window, tmp_path):
    import sqlite3

    window.workspace.edit("blade.length", 131.0)
    file = window.workspace.session.file
    window.filing.remember()
    window.close()
    with sqlite3.connect(file) as at:
        at.execute("PRAGMA user_version=99")
    at.close()
    start = start_usual()
    assert "newer version of this program" in start.not_opened.why
    start.session.close()
    with sqlite3.connect(file) as at:
        at.execute(f"PRAGMA user_version={VERSION}")
    at.close()
    opening_ended()
    session = recover(file)
    assert petty(session) == 131.0
    session.close()


def test_a_second_start_waits_until_the_first_listens(tmp_path, monkeypatch):
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    first = one_at_a_time()
    later = []
    second = threading.Thread(target=lambda: later.append(one_at_a_time()))
    second.start()
    second.join(0.3)
    assert second.is_alive()
    first.leave()
    second.join(10)
    assert later[0] is not None
    later[0].leave()


def test_a_file_name_that_is_no_unicode_text_opens_by_command_and_is_there_again(tmp_path, window, saved):
    window.close()
    odd = Path(os.fsdecode(os.fsencode(tmp_path) + b"/sh\xffp.shopbook"))
    saved.rename(odd)
    session = work_at(odd)
    Workspace(session, Look()).edit("blade.length", 140.5)
    session.close()
    start = start_usual()
    assert (start.session.path, petty(start.session)) == (odd, 140.5)
    start.session.close()
    assert template_of(Workspace(start.session, Look()), "Petty").blade.length == 140.5


def test_a_backup_is_restored_by_its_name_from_the_file_menu(qtbot, window, saved):
    window.workspace.edit("blade.length", 141.0)
    window.filing.publish()
    at_rest(window)
    window.filing.new()  # lets the work go, which leaves a copy
    at_rest(window)
    action = next(a for m in window.menuBar().findChildren(QMenu) for a in m.actions() if a.text() == "Restore a &backup…")
    action.trigger()
    dialog = window.findChild(Backups)
    rows = [dialog.list.item(n).text() for n in range(dialog.list.count())]
    assert len(rows) == 2 and all(row.startswith("Harbour kitchen run") for row in rows)
    assert not dialog.restore_button.isEnabled()
    dialog.list.setCurrentRow(0)
    with qtbot.waitSignal(dialog.finished):
        dialog.restore_button.click()
    at_rest(window)
    assert (length(window), window.workspace.session.path) == (141.0, None)
    assert petty(recovered(saved)) == 141.0


def test_the_oldest_step_kept_is_said(window, monkeypatch):
    for module in ("weight", "session"):
        monkeypatch.setattr(f"workbook.storage.{module}.KEPT_STEPS", 5)
    for number in range(12):
        window.workspace.edit("blade.length" if number % 2 else "blade.height", 30.0 + number)
    told = []
    window.workspace.said.connect(told.append)
    for _ in range(12):
        window.workspace.undo()
    assert f"{window.workspace.session.gone} earlier ones were deleted" in told[-1]


def test_a_window_that_is_closed_in_order_starts_on_its_work(tmp_path, monkeypatch):
    """The real program, twice: killed politely, it is there again."""
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    for _ in range(2):
        running = subprocess.Popen([sys.executable, "-m", "workbook"], env=surroundings(tmp_path / "data"))
        turn, until = None, time.monotonic() + 60
        while turn is None:  # the first lets go of its turn once it listens
            time.sleep(0.2)
            assert running.poll() is None and time.monotonic() < until
            if held(tmp_path / "data" / "sessions"):
                turn = one_at_a_time()
        turn.leave()
        running.terminate()
        assert running.wait(20) == 0
    assert not (tmp_path / "data" / "opening.json").exists()
    assert json.loads((tmp_path / "data" / "recent.json").read_text())
    assert unsaved() == [] or all(left.name == "Harbour kitchen run" for left in unsaved())


def test_trouble_while_other_work_is_opened_keeps_the_present(window, saved, said, monkeypatch):
    def dies(*_):
        raise StorageTrouble("the disk is gone.")

    monkeypatch.setattr("workbook.app.region.empty_work", dies)
    window.filing.new()
    at_rest(window)
    assert "the disk is gone" in said[0][1]
    assert window.workspace.session.path == saved
    assert not window.findChildren(QDialog)


def test_a_large_book_is_read_back_beside_the_window(qtbot, window, saved, said, monkeypatch):
    monkeypatch.setattr("workbook.storage.session._SMALL", 10)
    window.workspace.edit("blade.length", 142.0)
    window.filing.publish()
    at_rest(window)
    assert window.workspace.session.to_prove is not None
    qtbot.waitUntil(lambda: window.workspace.session.to_prove is None, timeout=20_000)
    assert said == []


def test_a_large_book_that_does_not_open_again_is_told_and_its_session_stays(qtbot, window, saved, said, monkeypatch):
    monkeypatch.setattr("workbook.storage.session._SMALL", 10)
    window.workspace.edit("blade.length", 143.0)
    monkeypatch.setattr("workbook.app.proving.guarded", cannot_be_read)
    window.filing.publish()
    at_rest(window)
    qtbot.waitUntil(lambda: len(said) == 1, timeout=20_000)
    assert "cannot be read back" in said[0][1]
    saved.write_bytes(b"torn")  # as the disk made it
    window.close()
    (left,) = sessions(sessions_folder())
    session = recover(left.file)
    assert petty(session) == 143.0
    session.close()


def cannot_be_read(*_):
    raise JobError([Mistake(place="file", what="is more than this program can read.")])


def test_a_start_where_nothing_can_be_kept_says_where_and_what_starts_all_the_same(monkeypatch, tmp_path, capsys):
    there = tmp_path / "data"
    there.write_text("a file stands where the folder would be", encoding="utf-8")
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(there))
    boxes = []
    monkeypatch.setattr(QMessageBox, "exec", lambda box: boxes.append(box.text()))
    assert start_of_program.main([]) == 1
    (told,) = boxes
    assert str(there) in told
    assert "--portable" in told
    assert "save to another place" not in told.lower()
    assert capsys.readouterr().err.strip() == told
