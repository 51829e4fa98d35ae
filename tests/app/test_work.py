"""The workbook in the window: undo and redo by their keys, history, saving, and work that is found again."""

import shutil
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QProcess, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QMessageBox

from tests.app.waiting import at_rest
from tests.named import by_names, key_of, names, template_of
from tests.sentences import words_of
from workbook.app.calling import call, name_of
from workbook.app.dialogs.history import History
from workbook.app.look import Look
from workbook.app.workspace import Workspace
from workbook.document.records import Revision
from workbook.paths import resource
from workbook.storage.body import BookBody
from workbook.storage.file import read, written
from workbook.storage.opening import recover
from workbook.storage.trouble import KeepingTrouble, NotAWorkbook, StorageTrouble
from workbook.tasks.demo import demo_document, demo_job
from workbook.tasks.load import load_job
from workbook.tasks.recent import recent, remember
from workbook.tasks.starting import start_usual
from workbook.tasks.work import in_use, seen_at, unsaved, work_at, work_on, work_on_copy
from workbook.units import show


def length(window):
    return template_of(window.workspace, "Petty").blade.length


def action(window, name):
    return window.menuBar().findChild(QAction, name)


def next_start():
    """The work that the next start opens."""
    start = start_usual()
    assert start.not_opened is None
    return start.session


@pytest.fixture
def asked(monkeypatch):
    """Answers the file dialogs with a path."""

    def answer(path):
        monkeypatch.setattr("workbook.app.filing.QFileDialog.getSaveFileName", lambda *a: (str(path), ""))
        monkeypatch.setattr("workbook.app.filing.QFileDialog.getOpenFileName", lambda *a: (str(path), ""))

    return answer


@pytest.fixture
def told(window, monkeypatch):
    """What the window says is wrong."""
    said = []
    monkeypatch.setattr(window, "say_storage", lambda title, trouble, cures=(): said.append(f"{title}: {trouble}"))
    window.workspace.trouble.disconnect()
    window.workspace.trouble.connect(window.say_storage)
    return said


def test_an_edit_is_undone_and_done_again_by_the_standard_keys(qtbot, window):
    before = length(window)
    window.workspace.edit("blade.length", 133.35)
    assert action(window, "undo").text() == "&Undo: Petty: Blade length 5 1/4 in"
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    qtbot.keyClick(window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert length(window) == before
    assert not action(window, "undo").isEnabled()
    assert action(window, "redo").text() == "&Redo: Petty: Blade length 5 1/4 in"
    window.workspace.redo()
    assert length(window) == 133.35
    assert window.draw.board.scene.blank is window.workspace.blank


def test_a_number_nudged_is_one_step_and_another_number_is_another(window):
    before = length(window)
    for value in (121.0, 122.0, 123.0):
        window.workspace.edit("blade.length", value)
    window.workspace.edit("blade.height", 30.0)
    first, second = (words_of(step) for step in window.workspace.session.steps)
    assert "Blade length" in first
    assert "Height at heel" in second
    window.workspace.undo()
    window.workspace.undo()
    assert length(window) == before


def test_something_else_done_in_between_begins_a_new_step(window):
    before = length(window)
    window.workspace.edit("blade.length", 121.0)
    window.workspace.keep_revision(key_of(window.workspace, "Petty"), "cut file")
    window.workspace.edit("blade.length", 122.0)
    assert len(window.workspace.session.steps) == 3
    window.workspace.undo()
    assert length(window) == 121.0
    window.workspace.go_to(0)
    assert length(window) == before


def test_opening_what_is_open_here_says_so(window, tmp_path, asked, told):
    asked(tmp_path / "shop.shopbook")
    window.filing.save()
    at_rest(window)
    session = window.workspace.session
    window.filing.open()
    at_rest(window)
    assert window.workspace.session is session
    assert told == []


def test_work_whose_file_is_gone_is_found_again(window, tmp_path, asked):
    asked(tmp_path / "shop.shopbook")
    window.workspace.edit("blade.length", 124.0)
    window.filing.save()
    at_rest(window)
    (tmp_path / "shop.shopbook").unlink()
    window.close()
    session = next_start()
    assert template_of(Workspace(session, Look()), "Petty").blade.length == 124.0
    session.close()


def test_the_shelf_is_undone_too(window):
    shelf = names(window.workspace)
    window.workspace.add_family("chefs")
    window.workspace.rename("Long knife")
    window.workspace.duplicate()
    assert window.workspace.name == "Long knife copy"
    window.workspace.remove()
    assert "Long knife copy" not in names(window.workspace)
    window.workspace.choose(key_of(window.workspace, "Long knife"))
    for _ in range(4):
        window.workspace.undo()
    assert names(window.workspace) == shelf
    assert window.workspace.name in shelf


def test_another_name_changes_nothing_else(window):
    """It is chosen, to be made and made of its bar by its id; the shapes of the others are the same ones."""
    space = window.workspace
    key, blank, keys = space.chosen, space.blank, list(space.model.shapes)
    space.rename("Utility")
    assert (space.chosen, space.name, list(space.model.shapes)) == (key, "Utility", keys)
    assert space.model.job.make[0].template == key
    assert space.model.in_hand(key) == space.model.bars_for(key)[0]
    assert space.blank.outline == blank.outline
    others = [k for k in keys if k != key]
    before = {k: space.model.shapes[k] for k in others}
    space.undo()
    assert space.name == "Petty"
    assert all(space.model.shapes[k] is before[k] for k in others)


def test_the_last_template_stays(window):
    while len(window.workspace.model.job.templates) > 1:
        window.workspace.remove()
    window.workspace.remove()
    assert len(window.workspace.model.job.templates) == 1


def test_the_history_goes_back_and_forth_to_any_step(qtbot, window):
    before = length(window)
    for path, value in (("blade.length", 130.0), ("blade.height", 31.0), ("handle.palm", 24.0)):
        window.workspace.edit(path, value)
    history = History(window, window.workspace)
    qtbot.addWidget(history)
    history.show()
    rows = [history.list.item(i).text() for i in range(history.list.count())]
    assert len(rows) == 4
    assert rows[1].endswith("Petty: Blade length 5 1/8 in") or "Blade length" in rows[1]
    place = history.list.visualItemRect(history.list.item(1)).center()
    qtbot.mouseClick(history.list.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert length(window) == 130.0
    assert window.workspace.session.done == 1
    window.workspace.go_to(0)
    assert length(window) == before
    window.workspace.go_to(3)
    assert template_of(window.workspace, "Petty").handle.palm == 24.0


def test_work_without_a_file_is_there_at_the_next_start_with_its_undo(window):
    window.workspace.edit("blade.length", 131.0)
    window.close()
    session = next_start()
    again = Workspace(session, Look("light"))
    assert template_of(again, "Petty").blade.length == 131.0
    again.undo()
    assert template_of(again, "Petty").blade.length != 131.0
    session.close()


def test_work_in_which_nothing_was_done_leaves_nothing(window, tmp_path):
    window.close()
    assert unsaved() == []
    assert not list((tmp_path / "data" / "sessions").iterdir())


def test_the_next_start_opens_what_was_used_last(window, tmp_path, asked):
    asked(tmp_path / "shop.shopbook")
    window.workspace.edit("blade.length", 130.5)  # stays without a file
    window.filing.open_file(resource("demo", "harbour-kitchen-run.toml"))
    at_rest(window)
    window.filing.save()
    at_rest(window)
    window.close()
    session = next_start()
    assert session.path == tmp_path / "shop.shopbook"
    session.close()
    (left,) = unsaved()
    assert left.name == "Harbour kitchen run"
    again = Workspace(recover(left.file), Look())
    again.edit("blade.length", 131.5)
    remember(None, again.session.file)
    again.session.close()
    session = next_start()
    assert session.path is None
    session.close()


def test_work_without_a_file_is_in_the_menu_of_recent_work(window):
    window.workspace.edit("blade.length", 127.5)
    window.filing.new()
    at_rest(window)
    for menu in window.menuBar().findChildren(QMenu):
        menu.aboutToShow.emit()
    words = [action.text() for menu in window.menuBar().findChildren(QMenu) for action in menu.actions()]
    assert any(word.startswith("Harbour kitchen run, not saved") for word in words)
    (left,) = unsaved()
    window.filing.open_left(left.file)
    at_rest(window)
    assert length(window) == 127.5


def test_save_asks_for_a_file_once_and_the_file_follows(qtbot, window, tmp_path, asked):
    asked(tmp_path / "shop")
    assert "Not saved to a file yet" in window.header.there.text()
    window.workspace.edit("blade.length", 132.0)
    window.filing.save()
    at_rest(window)
    file = tmp_path / "shop.shopbook"
    assert window.header.there.text() == "Saved to shop.shopbook"
    window.workspace.edit("blade.length", 133.0)
    assert "is updated in a moment" in window.header.there.text()
    qtbot.waitUntil(lambda: window.header.there.text() == "Saved to shop.shopbook", timeout=8000)
    body = read(file).body
    assert any(getattr(r, "family", None) and r.family.blade.length == 133.0 for r in body.document.records.values())
    assert recent() == [file]


def test_closing_brings_the_file_up_to_date(window, tmp_path, asked):
    asked(tmp_path / "shop.shopbook")
    window.filing.save()
    at_rest(window)
    window.workspace.edit("blade.length", 134.0)
    window.close()
    session = work_at(tmp_path / "shop.shopbook")
    assert template_of(Workspace(session, Look()), "Petty").blade.length == 134.0
    session.close()


def test_a_file_someone_else_changed_is_left_and_the_work_goes_beside_it(window, tmp_path, asked, told):
    file = tmp_path / "shop.shopbook"
    asked(file)
    window.filing.save()
    at_rest(window)
    theirs = file.read_bytes()
    window.workspace.edit("blade.length", 135.0)
    window.filing.publish()
    at_rest(window)
    shutil.copy(file, tmp_path / "copy")
    file.write_bytes(theirs)
    window.workspace.edit("blade.height", 33.0)
    window.filing.publish()
    at_rest(window)
    assert "Both are kept" in told[0]
    assert file.read_bytes() == theirs
    beside = window.workspace.session.path
    assert beside.parent == tmp_path
    assert beside != file
    assert beside.name in told[0]


def test_trouble_with_the_disk_is_said_and_nothing_changes(window, told, monkeypatch):
    before = length(window)

    def full(*args):
        raise StorageTrouble("the disk is full.", "Free some space, or save somewhere else.")

    monkeypatch.setattr(window.workspace.session._database, "edit", full)
    window.workspace.edit("blade.length", 136.0)
    assert length(window) == before
    assert told == ["The change could not be saved: the disk is full. Free some space, or save somewhere else."]


def test_a_workbook_opens_and_what_is_none_is_said(window, tmp_path, asked, told):
    asked(tmp_path / "shop.shopbook")
    window.workspace.edit("blade.length", 137.0)
    window.filing.save()
    at_rest(window)
    window.filing.new()
    at_rest(window)
    assert window.windowTitle().startswith("Untitled shop book")
    window.filing.open()
    at_rest(window)
    assert length(window) == 137.0
    assert window.windowTitle().startswith("Harbour kitchen run")
    (tmp_path / "none.shopbook").write_text("hello")
    window.filing.open_file(tmp_path / "none.shopbook")
    at_rest(window)
    assert "is not a shop book of this program" in told[0]
    assert length(window) == 137.0


def test_a_workbook_open_in_another_window_can_be_opened_as_a_copy(window, tmp_path, asked, monkeypatch):
    other = work_on(demo_job().job)
    other.save_as(tmp_path / "shop.shopbook")
    said = []
    monkeypatch.setattr(window, "say_storage", lambda title, trouble, cures: said.append((str(trouble), dict(cures))))
    window.filing.open_file(tmp_path / "shop.shopbook")
    at_rest(window)
    words, ways = said[0]
    assert "open in another window" in words
    assert list(ways) == ["Show that window", "Open read-only", "Open a copy"]
    ways["Open a copy"]()
    at_rest(window)
    assert window.workspace.session.path is None
    assert window.windowTitle().startswith("Harbour")
    other.close()


def test_a_workbook_to_look_at_takes_no_change_until_it_is_saved_as(qtbot, window, tmp_path, asked, told, field):
    asked(tmp_path / "shop.shopbook")
    window.workspace.edit("blade.length", 138.0)
    window.filing.save()
    at_rest(window)
    window.filing.new()
    at_rest(window)
    window.filing.ask_to_look()
    at_rest(window)
    assert window.filing.state()[0] == "Read-only"
    one = field("blade.length")
    one.setFocus()
    one.selectAll()
    qtbot.keyClicks(one, "5")
    assert length(window) == 138.0
    assert "is open read-only" in told[0]
    assert one.text() == show(138.0, "in")
    window.workspace.undo()
    assert length(window) == 138.0
    told.clear()
    window.workspace.go_to(0)  # of the history: said once, and it ends
    assert len(told) == 1
    assert not action(window, "undo").isEnabled()
    assert ", read-only - " in window.windowTitle()
    assert window.workspace.keep_revision(key_of(window.workspace, "Petty"), "template sheet") == 1
    asked(tmp_path / "mine.shopbook")
    window.filing.save()
    at_rest(window)
    window.workspace.edit("blade.length", 139.0)
    assert length(window) == 139.0
    assert window.workspace.session.path == tmp_path / "mine.shopbook"
    assert read(tmp_path / "shop.shopbook").body.document.settings.name == window.workspace.session.document.settings.name


def test_when_work_can_no_longer_be_kept_here_save_as_moves_it(window, tmp_path, asked, monkeypatch):
    window.workspace.edit("blade.length", 141.5)

    def full(*given, **named):
        raise KeepingTrouble("The change could not be saved: the disk is full.")

    monkeypatch.setattr(window.workspace.session._database, "set_notes", full)
    asked(tmp_path / "stick" / "shop.shopbook")
    (tmp_path / "stick").mkdir()
    window.filing.save_as()
    at_rest(window)
    window.workspace.edit("blade.length", 142.5)
    assert window.workspace.session.file.parent == tmp_path / "stick" / ".makers-workbook"
    abandoned = window.workspace.session
    abandoned._database._at.close()
    abandoned._lock.leave()
    found = work_at(tmp_path / "stick" / "shop.shopbook")
    assert template_of(Workspace(found, Look()), "Petty").blade.length == 142.5
    found.publish()
    found.close()
    assert [path.name for path in (tmp_path / "stick").iterdir()] == ["shop.shopbook"]
    window.workspace.session = work_on(demo_job().job)  # that one has been ended here


def test_another_start_brings_the_window_forward(qtbot, window):
    window.presence.listen()
    window.showMinimized()
    code = "import sys; from pathlib import Path; from workbook.app.calling import call; print(call(Path(sys.argv[1])))"
    caller = QProcess()
    caller.start(sys.executable, ["-c", code, str(window.workspace.session.file)])
    qtbot.waitUntil(lambda: caller.state() == QProcess.ProcessState.NotRunning, timeout=20000)
    assert bytes(caller.readAllStandardOutput().data()).decode().strip() == "True"
    assert not window.isMinimized()
    assert in_use() == [window.workspace.session.file]
    window.filing.new()
    at_rest(window)
    assert not call(Path("/nowhere/gone.session"))
    assert window.presence.ear._server.serverName() == name_of(window.workspace.session.file)


def test_trouble_is_shown_with_its_button(qtbot, window):
    done = []
    window.say_storage(
        "Title", StorageTrouble("The disk is full.", "Free some space."), cures=[("Do it", lambda: done.append(1))]
    )
    (box,) = window.findChildren(QMessageBox)
    assert box.informativeText() == "The disk is full. Free some space."
    next(button for button in box.buttons() if button.text() == "Do it").click()
    assert done == [1]


def test_what_is_printed_is_kept_as_a_revision_and_a_change_makes_another(window, tmp_path, monkeypatch):
    monkeypatch.setattr("workbook.app.asking.QFileDialog.getSaveFileName", lambda *a: (str(tmp_path / "blank.dxf"), ""))

    def number():
        return template_of(window.workspace, "Petty").revision

    window.printing.save_cut_file()
    at_rest(window)
    window.printing.save_cut_file()
    at_rest(window)
    assert number() == 1
    window.workspace.edit("blade.length", 125.0)
    assert number() == 2
    window.printing.save_cut_file()
    at_rest(window)
    assert number() == 2
    kept = sorted(window.workspace.session.document.all(Revision), key=lambda revision: revision.number)
    assert [(r.number, r.why) for r in kept] == [(1, "Cutting file"), (2, "Cutting file")]
    assert kept[0].family.blade.length != 125.0
    window.workspace.edit("blade.length", 126.0)
    assert number() == 3


def test_a_job_file_is_written_and_reads_as_the_same_job(window, tmp_path, asked):
    asked(tmp_path / "out.toml")
    window.workspace.edit("blade.length", 138.0)
    window.printing.save_job()
    again = load_job(tmp_path / "out.toml").job
    assert again.template("Petty").blade.length == 138.0
    assert [(m.template, m.steel, m.quantity) for m in again.make] == [
        (m.template, m.steel, m.quantity) for m in by_names(window.workspace.model.job).make
    ]


def test_another_look_keeps_the_history(window):
    window.workspace.edit("blade.length", 129.0)
    window.use_look(Look("dark", 1.25))
    assert "Blade length" in action(window, "undo").text()
    window.workspace.undo()
    assert length(window) != 129.0


def test_a_strangers_workbook_is_tried_apart_and_one_used_lately_is_not(tmp_path, monkeypatch):
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    file = tmp_path / "theirs.shopbook"
    file.write_bytes(written(BookBody(demo_document())))
    monkeypatch.setattr("workbook.tasks.guarded.SECONDS", 0.001)
    for opened in (work_at, seen_at, work_on_copy):
        with pytest.raises(NotAWorkbook, match=r"theirs\.shopbook cannot be opened: takes more than 0 s to read"):
            opened(file)
    remember(file)
    work_at(file).close()
