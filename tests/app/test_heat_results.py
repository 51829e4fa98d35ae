"""The results of heat treatments in their dialog: groups by keys and pointer, told to a screen reader, followed."""

import pytest
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from tests.app.waiting import at_rest
from workbook.app.dialogs.heat_results import HeatResultsDialog
from workbook.app.look import Look
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.document.actions.making import change_load
from workbook.document.making_records import LoadRecord
from workbook.structs import replace
from workbook.tasks.demo import demo_document
from workbook.tasks.work import work_in


@pytest.fixture
def opened(qtbot, tmp_path, monkeypatch):
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    window = Window(Workspace(work_in(demo_document()), Look("light")))
    qtbot.addWidget(window)
    with qtbot.waitExposed(window):
        window.show()
    window.show_heat_results("52100")
    yield window, window.findChild(HeatResultsDialog)
    at_rest(window)


def test_a_group_is_told_with_its_median_and_what_is_published(opened):
    _window, dialog = opened
    assert dialog.plot.accessibleDescription().startswith("375 °F: 60.5, 61, 61, 61, 61.5 HRC, median 61, published ")
    QTest.keyClick(dialog.plot, Qt.Key.Key_Right)
    assert dialog.plot.words().startswith("375 °F")
    assert dialog.table.count == 5
    assert dialog.table.row_words(0)[:3] == ("26-01", "1", "1525/375 °F, canola/rapeseed oil")


def test_the_pointer_chooses_a_group_and_another_choice_shows_others(opened):
    _window, dialog = opened
    at, nothing = QPointF(dialog.plot.width() / 2, 80.0), Qt.MouseButton.NoButton
    moved = QMouseEvent(QEvent.Type.MouseMove, at, dialog.plot.mapToGlobal(at), nothing, nothing, Qt.KeyboardModifier.NoModifier)
    QApplication.sendEvent(dialog.plot, moved)
    assert dialog.plot.words().startswith("375 °F")
    dialog.of.setCurrentIndex(1)
    assert dialog.plot.words() == ""
    assert dialog.plot.accessibleDescription() == ""  # no bow was read
    dialog.by.setCurrentIndex(3)
    dialog.of.setCurrentIndex(0)
    assert dialog.plot.accessibleDescription().startswith("load 1: ")


def test_it_follows_the_workbook(opened):
    window, dialog = opened
    space = window.workspace
    record = space.session.document.get("load-autumn", LoadRecord)
    cycles = tuple(replace(cycle, asked=cycle.asked + (10.0 if n else 0.0)) for n, cycle in enumerate(record.load.cycles))
    assert space.do(change_load(space.session.document, replace(record, load=replace(record.load, cycles=cycles))))
    assert dialog.plot.accessibleDescription().startswith("395 °F: ")  # to the next five
