"""An outline from a drawing brought in by the window: report, unit asked for, thickness, undo."""

import ezdxf
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMenu, QMessageBox

from tests.app.waiting import at_rest
from tests.formats.dxf_drawings import stadium
from tests.named import template_of
from tests.sentences import words_of
from workbook.units import INCH


def drawing(path, units):
    made = ezdxf.new(units=units)
    stadium(made.modelspace())
    made.saveas(path)
    return path


@pytest.fixture
def asked(monkeypatch):
    """Answers the question for the unit."""
    questions = []

    def answer(unit):
        def get(parent, title, words, *rest):
            questions.append(words)
            return unit, bool(unit)

        monkeypatch.setattr("workbook.app.bringing.QInputDialog.getItem", get)
        return questions

    return answer


def test_an_outline_becomes_a_template_with_a_report_and_is_undone(qtbot, window, tmp_path):
    window.filing.open_file(drawing(tmp_path / "old pattern.dxf", 4))
    at_rest(window)
    space = window.workspace
    assert space.name == "old pattern"
    assert space.blank.extent() == pytest.approx((0, 0, 200, 40), abs=0.01)
    (box,) = window.findChildren(QMessageBox)
    assert "unit from the file: 1 = 1 mm" in box.informativeText()
    box.close()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    panel = window.draw.panel
    assert panel._drawn.isVisibleTo(panel)
    assert panel.thickness._value == pytest.approx(5 / 64 * INCH)
    panel.thickness.setFocus()
    panel.thickness.selectAll()
    qtbot.keyClicks(panel.thickness, "3/32")
    qtbot.keyClick(panel.thickness, Qt.Key.Key_Return)
    assert template_of(space, "old pattern").thickness == pytest.approx(3 / 32 * INCH)
    assert words_of(space.session.steps[-1]) == "old pattern: bar thickness 3/32 in"
    space.undo()
    space.undo()
    assert "old pattern" not in space.model.shapes
    assert not panel._drawn.isVisibleTo(panel)


def test_the_unit_is_asked_for_where_the_file_does_not_say(window, tmp_path, asked):
    questions = asked("in")
    svg = tmp_path / "plate.svg"
    svg.write_text('<svg xmlns="http://www.w3.org/2000/svg"><rect width="8" height="1.5"/></svg>')
    window.bringing.bring_in_outline(svg)
    at_rest(window)
    assert "has no unit" in questions[0]
    assert window.workspace.blank.extent()[2] == pytest.approx(8 * INCH)


def test_no_unit_given_or_a_broken_drawing_changes_nothing(window, tmp_path, asked, monkeypatch):
    asked("")
    window.bringing.bring_in_outline(drawing(tmp_path / "old.dxf", 0))
    at_rest(window)
    said = []
    monkeypatch.setattr(window, "say_trouble", lambda title, trouble: said.append(f"{title}: {trouble}"))
    (tmp_path / "bad.svg").write_text("<svg")
    window.filing.open_file(tmp_path / "bad.svg")
    at_rest(window)
    assert "bad.svg cannot be imported: SVG: is not valid XML" in said[0]
    assert not window.workspace.session.steps


def test_no_hole_is_added_to_an_outline_and_it_is_said_why(qtbot, window, tmp_path):
    window.filing.open_file(drawing(tmp_path / "old pattern.dxf", 4))
    at_rest(window)
    space = window.workspace
    before = space.session.document
    (holes,) = (menu.actions() for menu in window.menuBar().findChildren(QMenu) if menu.title() == "Add &hole")
    assert len(holes) >= 4
    for action in holes:
        with qtbot.waitSignal(space.said) as said:
            action.trigger()
        assert said.args == ["old pattern is an imported outline. Its holes are fixed."]
    assert space.session.document == before
