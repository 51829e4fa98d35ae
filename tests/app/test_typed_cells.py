"""Cells that are typed in, and what may happen to them meanwhile."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLineEdit

from workbook.app.dialogs.rates import Rates


def test_a_cell_that_is_left_at_the_moment_of_return_is_kept_without_a_word(qtbot, window):
    window.dialog("rates")
    rates = window.findChild(Rates)
    table = rates.stages.table
    rates.activateWindow()
    qtbot.waitUntil(rates.isActiveWindow)
    table.setFocus()
    table.setCurrentCell(0, 1)
    qtbot.keyClick(table, Qt.Key.Key_F2)
    line = QApplication.focusWidget()
    assert isinstance(line, QLineEdit)
    assert line is not table
    line.selectAll()
    qtbot.keyClicks(line, "85")
    qtbot.keyClick(line, Qt.Key.Key_Return)
    rates.form.field(rates.form.keys[0]).setFocus()  # before anything that Return asked for later has come
    QApplication.processEvents()
    assert not rates.stages.cells.open
    assert table.item(0, 1).text() == "85"
    assert window.workspace.session.document.settings.charges.stages[0].set_up == 85.0
