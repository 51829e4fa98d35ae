"""Files that the system asks a running program to open, as macOS does."""

from pathlib import Path

from PySide6.QtCore import QEvent, QObject, QUrl
from PySide6.QtGui import QFileOpenEvent

from workbook.app.asked_files import AskedFiles


def test_a_file_asked_for_is_opened_and_other_events_go_on(qtbot, tmp_path):
    opened, parent = [], QObject()
    asked = AskedFiles(parent, opened.append)
    file = tmp_path / "Übung & more.shopbook"
    assert asked.eventFilter(parent, QFileOpenEvent(QUrl.fromLocalFile(str(file))))
    assert not asked.eventFilter(parent, QFileOpenEvent(QUrl("https://example.org")))
    assert not asked.eventFilter(parent, QEvent(QEvent.Type.User))
    assert opened == [Path(file)]
