"""Help, About: the version, and the licence of each part, offline."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction

from workbook import __version__
from workbook.app.dialogs.about import About
from workbook.tasks.notices import notices


def test_each_part_shows_its_licence(qtbot, window):
    dialog = About(window, window.workspace.look)
    qtbot.addWidget(dialog)
    dialog.show()
    assert dialog.parts.count() == len(notices())
    assert dialog.text.toPlainText().startswith("MIT License")
    qtbot.keyClick(dialog.parts, Qt.Key.Key_End)
    last = notices()[-1]
    assert dialog.parts.currentItem().text() == f"{last.name} {last.version}"
    assert last.text.splitlines()[0].strip() in dialog.text.toPlainText()


def test_the_menu_opens_it(qtbot, window):
    next(entry for entry in window.menuBar().findChildren(QAction) if entry.text() == "&About").trigger()
    (dialog,) = window.findChildren(About)
    words = {child.text() for child in dialog.children() if hasattr(child, "text") and callable(child.text)}
    assert f"Maker's Workbook {__version__}" in words
    dialog.close()
