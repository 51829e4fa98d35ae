"""The frame: actions found by name, help, habits, files dropped, the window as it was, reports."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLineEdit, QListWidget

from tests.named import key_of, template_of
from tests.sentences import words_of
from workbook.app import kept, main
from workbook.app.dialogs.finder import Finder
from workbook.app.dialogs.help import Help
from workbook.app.dialogs.settings import ITEMS, SettingsDialog
from workbook.app.elements.form import Item
from workbook.app.kept import WindowState, keep_window, window_state
from workbook.app.look import Look
from workbook.app.pages.table import NAMES
from workbook.app.reshaping import take_part
from workbook.document.records import Steps
from workbook.paths import data_folder, resource
from workbook.template.resizing import Taken
from workbook.units import INCH


def shown(qtbot, dialog):
    qtbot.addWidget(dialog)
    dialog.show()
    return dialog


def test_an_action_is_found_by_a_few_letters_and_done_with_enter(qtbot, window):
    window.workspace.edit("blade.length", 130.0)
    finder = shown(qtbot, Finder(window, window.workspace.look))
    assert finder.list.count() > 20
    qtbot.keyClicks(finder.field, "edit undo")
    first, *others = (finder.list.item(n).text() for n in range(finder.list.count()))
    assert first.startswith("Edit: Undo: Petty: Blade length")
    assert others == ["Edit: History…"]  # found by another word for it
    qtbot.keyClick(finder.field, Qt.Key.Key_Return)
    assert template_of(window.workspace, "Petty").blade.length != 130.0


def test_up_and_down_choose_among_what_was_found(qtbot, window):
    finder = shown(qtbot, Finder(window, window.workspace.look))
    qtbot.keyClicks(finder.field, "text")
    for key in (Qt.Key.Key_Down, Qt.Key.Key_Down, Qt.Key.Key_Up):
        qtbot.keyClick(finder.field, key)
    assert finder.list.currentItem().text() == "View: Text 125%"


@pytest.mark.parametrize("page", ["draw", "layout"])
def test_every_page_has_its_help(qtbot, window, page):
    help_page = shown(qtbot, Help(window, window.workspace.look, page))
    assert len(help_page.text.toPlainText()) > 400


def test_habits_count_at_once_and_are_undone(qtbot, window):
    habits = shown(qtbot, SettingsDialog(window, window.workspace))
    field = habits.findChild(QLineEdit, "saw.kerf")
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, "1/16")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert window.workspace.model.job.saw.kerf == pytest.approx(INCH / 16)
    assert [words_of(step)[:8] for step in window.workspace.session.steps] == ["Saw kerf"]
    habits.findChild(QComboBox, "saw.cutting").activated.emit(1)
    assert window.workspace.model.job.saw.cutting.value == "straight"
    habits.findChild(QAbstractButton, "rules.offcuts_first").click()
    assert window.workspace.model.job.settings.offcuts_first
    for _ in range(3):
        window.workspace.undo()
    assert window.workspace.model.job.saw.kerf == pytest.approx(INCH / 32)
    assert not habits.findChild(QAbstractButton, "rules.offcuts_first").isChecked()


def test_a_dialog_is_closed_when_the_look_changes(qtbot, window):
    habits = SettingsDialog(window, window.workspace)
    habits.show()
    window.use_look(Look("dark", 1.0))
    assert not habits.isVisible()


def typed(qtbot, field, text):
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)


def test_every_setting_has_its_field_with_what_counts_now(qtbot, window):
    settings = shown(qtbot, SettingsDialog(window, window.workspace))
    saw = window.workspace.model.job.saw
    assert all(settings.form.field(item.key).accessibleName() for item in ITEMS if isinstance(item, Item))
    assert settings.form.field("saw.bar_edge")._value == saw.edge_margin


def test_tools_steps_paper_and_printer_count_at_once_and_are_undone(qtbot, window):
    space = window.workspace
    settings = shown(qtbot, SettingsDialog(window, space))
    field = settings.form.field
    typed(qtbot, field("tools.wheels"), "10, 2 in")
    typed(qtbot, field("tools.files"), "1/4")
    assert space.model.tools.smallest_radius == pytest.approx(INCH / 8)
    field("tools.drills").activated.emit(3)
    assert {drill.series for drill in space.model.tools.drills} == {"metric"}
    field("paper").activated.emit(2)
    typed(qtbot, field("printer.x"), "99.5")
    field("steps.inch").activated.emit(2)
    document = space.session.document.settings
    assert (document.paper, document.printer.x, document.steps.inch) == ("a4", 99.5, INCH / 16)
    assert words_of(space.session.steps[-1]) == "Arrow-key step, inches: 1/16 in"
    for _ in range(6):
        space.undo()
    assert space.session.document.tools.owned.wheels == ()
    assert field("printer.x").text() == "100"
    assert field("paper").currentText() == "match units"


def test_an_arrow_key_changes_by_the_step_of_the_settings(qtbot, window, field):
    window.workspace.change_settings("steps.inch", INCH / 16, steps=Steps(inch=INCH / 16))
    one = field("blade.length")
    before = template_of(window.workspace, "Petty").blade.length
    one.setFocus()
    qtbot.keyClick(one, Qt.Key.Key_Up)
    assert template_of(window.workspace, "Petty").blade.length == pytest.approx(before + INCH / 16)


def test_what_makes_no_sense_is_said_and_stays_until_escape(qtbot, window):
    settings = shown(qtbot, SettingsDialog(window, window.workspace))
    for key, text in (("printer.x", "12"), ("tools.files", "1/4, none"), ("prices.shipping", "much"), ("currency", "")):
        field = settings.form.field(key)
        before = field.text()
        field.setFocus()
        field.selectAll()
        qtbot.keyClicks(field, text) if text else qtbot.keyClick(field, Qt.Key.Key_Delete)
        assert field.property("wrong"), key
        assert settings.wrong.text()
        qtbot.keyClick(field, Qt.Key.Key_Return)
        assert field.text() == text
        qtbot.keyClick(field, Qt.Key.Key_Escape)
        assert field.text() == before
        assert not settings.wrong.text()
    assert not window.workspace.session.steps


def test_the_unit_of_the_workbook_is_shown_at_once(qtbot, window):
    settings = shown(qtbot, SettingsDialog(window, window.workspace))
    settings.form.field("unit").activated.emit(1)
    assert window.workspace.unit == "mm"
    assert window.workspace.model.job.unit == "mm"
    window.workspace.undo()
    assert window.workspace.unit == "in"


def dropped(window, path):
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    place, action = QPointF(5, 5), Qt.DropAction.CopyAction
    window.dropEvent(QDropEvent(place, action, data, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier))


def test_a_job_file_dropped_on_the_window_opens(qtbot, window, tmp_path):
    text = resource("demo", "harbour-kitchen-run.toml").read_text().replace("Harbour kitchen run", "Dropped")
    (tmp_path / "job.toml").write_text(text)
    (tmp_path / "picture.png").write_bytes(b"x")
    dropped(window, tmp_path / "picture.png")
    assert window.windowTitle().startswith("Harbour")
    dropped(window, tmp_path / "job.toml")
    qtbot.waitUntil(lambda: window.windowTitle().startswith("Dropped"))


def test_the_window_is_kept_as_it_was(window):
    window.use_look(Look("dark", 1.25))
    window.resize(1200, 800)
    window.close()
    assert window_state() == WindowState(1200, 800, "dark", 1.25, "draw")


def sizes_of(tmp_path, screen, *kept):
    """How large the program's window opens on a screen, and at least is, and on which page: for each size, letters and page that
    were kept from before (of no width: none were).
    """
    (tmp_path / "screens.json").write_text(
        f'{{"screens": [{{"name": "one", "x": 0, "y": 0, "width": {screen[0]}, "height": {screen[1]}}}]}}'
    )
    code = """
import json, os, sys
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from workbook.app import main
from workbook.app.kept import WindowState, keep_window
application = QApplication(["test"])
def tell():
    window = next(widget for widget in application.topLevelWidgets() if isinstance(widget, main.Window) and widget.isVisible())
    told.append((window.width(), window.height(), window.minimumWidth(), window.minimumHeight(), window.page_name()))
    window.close()
told = []
for n, (width, height, text, page) in enumerate(json.loads(sys.argv[1])):
    os.environ["MAKERS_WORKBOOK_DATA"] = os.path.join(sys.argv[2], str(n))
    if width:
        keep_window(WindowState(width, height, text=text, page=page))
    QTimer.singleShot(0, tell)
    main.main([])
print(json.dumps(told))
"""
    said = subprocess.run(
        [sys.executable, "-c", code, json.dumps(kept), str(tmp_path / f"data {screen}")],
        env={**os.environ, "QT_QPA_PLATFORM": f"offscreen:configfile={tmp_path / 'screens.json'}"},
        capture_output=True,
        text=True,
        check=True,
    )
    return json.loads(said.stdout.splitlines()[-1])


def test_the_first_window_is_as_large_as_is_comfortable_and_no_larger_than_the_screen(tmp_path):
    nothing = (0, 0, 1.0, "draw")
    assert sizes_of(tmp_path, (2560, 1440), nothing) == [[1440, 900, 900, 540, "draw"]]
    assert sizes_of(tmp_path, (1366, 768), nothing) == [[1350, 720, 900, 540, "draw"]]


def test_a_window_comes_back_on_its_page_as_large_as_the_screen_there_is_lets_it(tmp_path):
    larger, smaller = (2400, 1500, 1.0, "draw"), (1000, 700, 1.0, "stock")
    no_such_page = (1000, 700, 1.0, "home")
    assert sizes_of(tmp_path, (1280, 800), larger, smaller, no_such_page) == [
        [1264, 752, 900, 540, "draw"],
        [1000, 700, 900, 540, "stock"],
        [1000, 700, 900, 540, "draw"],
    ]
    large_letters = (1440, 900, 2.0, "draw")
    assert sizes_of(tmp_path, (1024, 600), large_letters) == [[1008, 552, 1008, 552, "draw"]]


@pytest.mark.parametrize("page", NAMES)
def test_a_window_is_kept_on_whatever_page(monkeypatch, tmp_path, page):
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path))
    keep_window(WindowState(1200, 800, "dark", page=page))
    assert window_state() == WindowState(1200, 800, "dark", page=page)


@pytest.mark.parametrize("text", ["", "[]", "{", '{"width": "wide"}', '{"width": 5}', '{"theme": "pink"}'])
def test_a_window_that_makes_no_sense_is_not_believed(monkeypatch, tmp_path, text):
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path))
    (tmp_path / "window.json").write_text(text)
    assert window_state() == WindowState()


def test_a_window_that_cannot_be_kept_harms_nothing(monkeypatch, tmp_path):
    (tmp_path / "file").write_text("x")
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "file"))
    keep_window(WindowState())


def test_a_fault_of_ours_is_reported_on_this_computer(window, monkeypatch, capsys):
    said = []
    monkeypatch.setattr(window, "say_storage", lambda title, trouble: said.append(str(trouble)))
    try:
        raise RuntimeError("of ours")
    except RuntimeError as trouble:
        main._crashed(window, type(trouble), trouble, trouble.__traceback__)
    (file,) = (data_folder() / "reports").iterdir()
    assert "RuntimeError: of ours" in file.read_text()
    assert str(file) in said[0]
    assert "Your work is safe" in said[0]
    assert "of ours" in capsys.readouterr().err
    monkeypatch.setattr(kept, "data_folder", lambda: Path(file))
    assert kept.report(RuntimeError, RuntimeError("again"), None) is None


def test_portable_work_is_kept_where_the_program_is_started(tmp_path):
    code = "import sys, os; sys.argv = ['x', '--portable', '--version']; import workbook.__main__ as m\ntry: m.main()\n"
    code += "except SystemExit: pass\nprint(os.environ['MAKERS_WORKBOOK_DATA'])"
    env = os.environ | {"PYTHONPATH": str(Path(__file__).parents[2])}
    done = subprocess.run([sys.executable, "-c", code], cwd=tmp_path, env=env, capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == str(tmp_path / "makers-workbook-data")


def test_every_control_of_the_dialogs_has_a_name(qtbot, window):
    for dialog in (Finder(window, window.workspace.look), SettingsDialog(window, window.workspace)):
        shown(qtbot, dialog)
        for kind in (QLineEdit, QComboBox, QListWidget):
            for widget in dialog.findChildren(kind):
                assert widget.accessibleName() or widget.objectName().startswith("qt_"), widget.objectName()


def test_a_handle_is_taken_from_another_template_found_by_its_name(qtbot, window):
    space = window.workspace
    paring, petty = template_of(space, "Paring"), template_of(space, "Petty")
    finder = shown(qtbot, Finder(window, space.look))
    qtbot.keyClicks(finder.field, "handle of ")
    qtbot.keyClicks(finder.field, "another")
    assert [finder.list.item(i).text() for i in range(finder.list.count())] == [
        f"Template: Copy from another template: Handle: Handle of {name}" for name in ("Santoku type", "Paring")
    ]
    qtbot.keyClick(finder.field, Qt.Key.Key_Down)
    qtbot.keyClick(finder.field, Qt.Key.Key_Return)
    now = template_of(space, "Petty")
    assert (now.handle, now.tang, now.patterns) == (paring.handle, paring.tang, paring.patterns)
    assert (now.blade, now.name) == (petty.blade, "Petty")
    assert words_of(space.session.steps[-1]) == "Petty: handle copied from Paring"
    space.undo()
    assert template_of(space, "Petty") == petty


def test_a_part_that_does_not_go_with_the_rest_is_said(qtbot, window):
    space = window.workspace
    space.add_family("camp-bowie")
    other, name = space.chosen, space.name
    space.choose(key_of(space, "Paring"))
    before = template_of(space, "Paring")
    with qtbot.waitSignal(space.said) as said:
        take_part(space, other, Taken.GRIND)
    assert said.args == [f"Grind of {name} does not suit Paring: Bevel height would go out of its range."]
    assert template_of(space, "Paring") == before
