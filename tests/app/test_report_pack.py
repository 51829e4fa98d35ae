"""Pack a report: its files are listed, read, ticked and written."""

import zipfile

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QFileDialog

from workbook.app.dialogs.report_pack import ReportPack
from workbook.paths import data_folder, keep_data
from workbook.system.owners import own_folder


@pytest.fixture
def dialog(qtbot, window):
    own_folder(data_folder() / "reports")
    keep_data("reports/2026-11-01.txt", b"Traceback: of one day")
    shown = ReportPack(window)
    qtbot.addWidget(shown)
    shown.show()
    return shown


def save(qtbot, monkeypatch, dialog, path):
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(path) if path else "", ""))
    button = next(each for each in dialog.findChildren(QAbstractButton) if each.property("action") == "save-report")
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def test_each_file_can_be_read_before(qtbot, dialog):
    assert dialog.text.toPlainText().startswith("Maker's Workbook ")
    qtbot.keyClick(dialog.list, Qt.Key.Key_End)
    assert dialog.text.toPlainText() == "Traceback: of one day"


def test_what_is_ticked_is_written_and_nothing_else(qtbot, monkeypatch, dialog, tmp_path):
    qtbot.keyClick(dialog.list, Qt.Key.Key_Space)  # the first, which tells of the program
    save(qtbot, monkeypatch, dialog, tmp_path / "report")
    with zipfile.ZipFile(tmp_path / "report.zip") as archive:
        assert [name for name in archive.namelist() if name != "window.json"] == ["reports/2026-11-01.txt"]
    assert dialog.status.text().startswith("Written: ")


def test_nothing_ticked_and_no_room_are_said(qtbot, monkeypatch, dialog, tmp_path):
    (tmp_path / "full.zip").mkdir()
    save(qtbot, monkeypatch, dialog, tmp_path / "full.zip")
    assert dialog.status.text().startswith("full.zip could not be written: ")
    for number in range(dialog.list.count()):
        dialog.list.item(number).setCheckState(Qt.CheckState.Unchecked)
    save(qtbot, monkeypatch, dialog, tmp_path / "none.zip")
    assert dialog.status.text() == "Nothing is ticked."
    assert not (tmp_path / "none.zip").exists()


def test_cancel_writes_nothing(qtbot, monkeypatch, dialog, tmp_path):
    save(qtbot, monkeypatch, dialog, None)
    assert dialog.status.text() == ""
    assert list(tmp_path.glob("*.zip")) == []
