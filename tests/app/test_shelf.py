"""The shelf: found by words and tags, dragged to Lay out, printed; the screen measured for true size."""

import pypdfium2
import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt
from PySide6.QtGui import QDropEvent

from tests.app.waiting import at_rest
from tests.document.every_action import DRAWN
from tests.named import key_of
from tests.sentences import words_of
from workbook.app.as_it_is import as_it_is
from workbook.app.dialogs.screen_size import ScreenSize
from workbook.app.elements.shelf import TEMPLATE
from workbook.app.export import wanted_of
from workbook.app.kept import window_state
from workbook.app.look import PX_PER_MM
from workbook.app.pages.table import NAMES
from workbook.app.reshaping import as_family, turn
from workbook.app.shelving import family_menu, save_family
from workbook.document.queries import template_named
from workbook.document.records import FamilyRecord
from workbook.geometry.polygon import polygon
from workbook.tasks.exports import exported

ASKED = "workbook.app.shelving.QtWidgets.QInputDialog.getText"


def names(window):
    model = window.draw.shelf._model
    return [model.index(row).data() for row in range(model.rowCount())]


def test_templates_are_found_by_name_family_and_tag(qtbot, window):
    space, field = window.workspace, window.draw.shelf.field
    space.choose(key_of(space, "Paring"))
    space.set_tags("gift, small, gift")
    assert template_named(space.session.document, "Paring").tags == ("gift", "small")
    assert words_of(space.session.steps[-1]) == "Paring: tags gift, small"
    qtbot.keyClicks(field, "gift")
    assert names(window) == ["Paring"]
    field.setText("santoku")
    assert names(window) == ["Santoku type"]
    assert space.name == "Paring"  # what is on the board stays there
    field.setText("nothing like it")
    assert names(window) == []
    field.clear()
    assert names(window) == ["Petty", "Santoku type", "Paring"]
    assert window.draw.shelf.list.currentIndex().data() == "Paring"
    space.rename("Parer")
    assert template_named(space.session.document, "Parer").tags == ("gift", "small")
    space.duplicate()
    assert space.tags == ("gift", "small")


def test_the_shelf_renames_copies_and_deletes_by_keys_and_by_a_right_click(qtbot, window, monkeypatch):
    space, shelf = window.workspace, window.draw.shelf.list
    space.choose(key_of(space, "Paring"))
    asked = []
    monkeypatch.setattr(ASKED, lambda *a, text, **k: (asked.append(text) or "Parer", True))
    shelf.setFocus()
    qtbot.keyClick(shelf, Qt.Key.Key_F2)
    assert (asked, space.name) == (["Paring"], "Parer")
    qtbot.keyClick(shelf, Qt.Key.Key_D, Qt.KeyboardModifier.ControlModifier)
    assert names(window) == ["Petty", "Santoku type", "Parer", "Parer copy"]
    assert space.name == "Parer copy"
    qtbot.keyClick(shelf, Qt.Key.Key_Delete)
    assert names(window) == ["Petty", "Santoku type", "Parer"]
    window.draw.shelf.field.setText("paring")  # hides the one on the board: nothing is done to it
    space.choose(key_of(space, "Petty"))
    window.draw.shelf.field.setText("nothing like it")
    qtbot.keyClick(shelf, Qt.Key.Key_Delete)
    window.draw.shelf.field.clear()
    assert names(window) == ["Petty", "Santoku type", "Parer"]
    assert shelf.contextMenuPolicy() is Qt.ContextMenuPolicy.ActionsContextMenu
    assert [act.text() for act in shelf.actions()] == ["Rename…", "Tags…", "Duplicate", "Save as my own family…", "Delete"]


def test_a_template_is_saved_as_a_family_and_begun_from(qtbot, window, monkeypatch):
    space, menu = window.workspace, family_menu(window, window.workspace)
    monkeypatch.setattr(ASKED, lambda *a, **k: ("House petty", True))
    before = space.chosen_template.blade.length
    space.edit("blade.length", before + 10)
    save_family(window, space)
    save_family(window, space)  # one of the same name is replaced
    assert [each.template.name for each in space.session.document.all(FamilyRecord)] == ["House petty"]
    space.edit("blade.length", before)
    space.edit("blade.height", 40.0)
    as_family(space)
    assert (space.name, space.chosen_template.blade.length) == ("Petty", before + 10)
    menu.aboutToShow.emit()
    assert (menu.actions()[0].text(), menu.actions()[-1].text()) == ("House petty", "Delete my own family")
    window.draw.shelf.field.setText("house")
    assert names(window) == ["Petty"]  # found by its own family
    window.draw.shelf.field.clear()
    menu.actions()[0].trigger()
    assert (space.name, space.chosen_template.blade.length) == ("House petty", before + 10)
    menu.actions()[-1].menu().actions()[0].trigger()
    assert list(space.session.document.all(FamilyRecord)) == []
    space.edit("blade.length", before + 30)
    as_family(space)  # the shipped one again
    assert space.chosen_template.blade.length == pytest.approx(before, abs=0.1)
    space.add_outline(DRAWN, "Outline")
    save_family(window, space)
    assert window.status.text() == "Outline is an imported outline. It has no measures to begin from."


def test_the_shelf_stands_on_grind_too(qtbot, window):
    window.show_page("grind")
    shelf = window.pages.currentWidget().shelf
    index = shelf._model.index(2)
    qtbot.mouseClick(shelf.list.viewport(), Qt.MouseButton.LeftButton, pos=shelf.list.visualRect(index).center())
    assert window.workspace.name == "Paring"
    assert window.draw.shelf.list.currentIndex().data() == "Paring"


def test_a_template_dropped_on_lay_out_is_to_be_made_once_more(qtbot, window):
    petty = key_of(window.workspace, "Petty")
    before = {wish.template: wish.quantity for wish in window.workspace.model.job.make}
    index = window.draw.shelf._model.index(0)
    assert window.draw.shelf._model.flags(index) & Qt.ItemFlag.ItemIsDragEnabled
    data = window.draw.shelf._model.mimeData([index])
    assert data.hasFormat(TEMPLATE)
    button = window.rail.button(NAMES.index("layout"))
    drop = QDropEvent(QPointF(5, 5), Qt.DropAction.CopyAction, data, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier)
    button.dropEvent(drop)
    after = {wish.template: wish.quantity for wish in window.workspace.model.job.make}
    assert after[petty] == before[petty] + 1
    assert window.page_name() == "layout"
    assert not QMimeData().hasFormat(TEMPLATE)
    with qtbot.waitSignal(window.workspace.said) as said:
        window.one_more("of another window")
    assert said.args == ["That template is from another shop book. Import it first."]
    window.bars_page().search.close()


def test_the_contact_sheet_has_every_template_by_name(window):
    for family in ("chefs", "fillet", "skinner", "boning", "steak", "slicer", "paring", "petty", "bushcraft", "tanto-type"):
        window.workspace.add_family(family)
    document = pypdfium2.PdfDocument(exported(wanted_of(as_it_is(window.workspace)), ["shelf"])["shelf.pdf"])
    words = " ".join(page.get_textpage().get_text_range() for page in document)
    assert len(document) == 2
    assert all(template.name in words for template in window.workspace.model.job.templates)
    assert "not true size" in words
    document.close()


def test_the_screen_is_measured_and_true_size_is_true(qtbot, window):
    dialog = ScreenSize(window, window.workspace.look)
    dialog.accepted.connect(lambda: window.use_look(dialog.found))
    dialog.show()
    assert dialog.slider.value() == pytest.approx(PX_PER_MM * 1000, abs=1)
    dialog.slider.setFocus()
    dialog.slider.setValue(5000)
    assert dialog.card.sizeHint().width() == 5 * 100 + 60
    dialog.grab()
    dialog.findChild(object, "main").click()
    window.draw.board.true_size()
    assert window.draw.board.scale() == pytest.approx(5.0)
    assert window.draw.zoom.text() == "100%"
    assert "5.00 px/mm" in window.unit_word.text()
    window.close()
    assert window_state().screen == 5.0


def test_names_differ_also_by_more_than_capitals_and_what_became_of_one_is_said(window):
    space, said = window.workspace, []
    space.said.connect(said.append)
    space.choose(key_of(space, "Petty"))
    space.rename("paring")
    assert space.name == "paring 2"
    assert said[-1] == "paring is taken. This template is paring 2 now."
    space.rename("  ")
    assert said[-1] == "Type a name. paring 2 keeps its own."
    space.rename("PARING 2")  # its own name in other letters
    assert space.name == "PARING 2"
    space.rename("x" * 300)
    assert space.name == "x" * 60


def test_a_new_template_stands_on_the_shelf_whatever_is_looked_for(window):
    shelf, space = window.draw.shelf, window.workspace
    shelf.field.setText("nowhere")
    assert shelf._nothing.isVisibleTo(shelf)
    made = list(space.model.job.make)
    space.add_family("fillet")
    assert shelf.field.text() == ""
    assert not shelf._nothing.isVisibleTo(shelf)
    assert shelf.list.currentIndex().data() == "Fillet"
    assert list(space.model.job.make) == made  # trying a shape orders nothing
    shelf.field.setText("kitchen 52100")
    assert names(window) == ["Petty", "Santoku type"]


def test_an_outline_from_a_file_is_turned_end_for_end(window, tmp_path):
    space = window.workspace
    turn(space)  # a family's template has its point to the right
    file = tmp_path / "left.svg"
    file.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="60mm" viewBox="0 0 200 60">'
        '<path d="M 10 30 L 100 20 L 190 20 L 190 40 L 100 40 Z"/><circle cx="150" cy="30" r="3"/></svg>',
        encoding="utf-8",
    )
    window.bringing.bring_in_outline(file)
    at_rest(window)
    name, before = space.name, space.blank
    turn(space)
    x0, _, x1, _ = space.blank.extent()
    b0, _, b1, _ = before.extent()
    assert (x0, x1) == pytest.approx((-b1, -b0))
    assert space.blank.holes[0].centre[0] == pytest.approx(-before.holes[0].centre[0])
    assert polygon(space.blank.outline).area == pytest.approx(polygon(before.outline).area)
    assert words_of(space.session.steps[-1]) == f"{name}: flipped end for end"
