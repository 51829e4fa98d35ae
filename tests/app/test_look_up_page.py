"""Look up: cards and tables found by words, in the book's unit; the same cards from Draw, Grind and Quote."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QToolButton

from workbook.app.canvas.heat_diagram import HeatDiagram
from workbook.app.canvas.temper_plot import TemperPlot


def opened(window):
    window.show_page("lookup")
    return window.look_up_page()


def texts(page):
    return [label.text() for label in page.card_view.findChildren(QLabel)]


def choose(page, title):
    items = page.contents.findItems(title, Qt.MatchFlag.MatchExactly | Qt.MatchFlag.MatchRecursive)
    (item,) = [item for item in items if item.parent() is not None]
    page.contents.setCurrentItem(item)


def test_words_lead_to_a_card_and_narrow_the_tables(qtbot, window):
    page = opened(window)
    qtbot.keyClicks(page.field, "walnut")
    assert page.card_view.card.title == "black walnut"
    assert [page.contents.topLevelItem(n).text(0) for n in range(page.contents.topLevelItemCount())] == [
        "Woods (1)",
        "Tables (2)",
    ]
    choose(page, "Woods (1)")
    assert page.table_view.table.rowCount() == 1
    assert "Dust" in page.table_view.caution.text()
    assert page.count.text() == "1 of 23 rows"
    window.workspace.use_unit("mm")  # the table stays
    assert page._right.currentWidget() is page.table_view
    window.workspace.use_unit("in")
    page.field.setText("nothing like it")
    assert page.count.text() == "No card has these words."
    assert page._right.currentWidget() is page._nothing
    page.field.clear()
    choose(page, "Drills")
    assert page.table_view.table.rowCount() > 100


def test_a_steel_is_found_under_any_of_its_names_and_shown_in_the_units_degrees(qtbot, window):
    page = opened(window)
    qtbot.keyClicks(page.field, "W.-Nr. 1.2842")
    assert page.card_view.card.title == "O2"
    assert {"1454–1508 °F", "790–820 °C"} <= set(texts(page))  # the source has 790 to 820 °C
    assert "Published ranges, not a recipe" in " ".join(texts(page))
    window.workspace.use_unit("mm")
    assert page.card_view.card.title == "O2"
    told = texts(page)
    assert told.index("790–820 °C") < told.index("1454–1508 °F")


def test_a_source_is_told_when_its_mark_is_clicked(qtbot, window):
    page = opened(window)
    assert page.look_up("52100")
    section = page.card_view.findChildren(QToolButton, "source")[2]
    words = section.parentWidget().parentWidget().findChild(QLabel, "source-words")
    assert words.isHidden()
    qtbot.mouseClick(section, Qt.MouseButton.LeftButton)
    assert not words.isHidden()
    assert "ASM International note on 52100" in words.text()
    assert "Read in the source, quite sure (96%)" in words.text()


def test_the_diagram_and_the_plot_tell_their_numbers(qtbot, window):
    page = opened(window)
    page.look_up("O1")
    diagram, plot = page.card_view.findChild(HeatDiagram), page.card_view.findChild(TemperPlot)
    assert "harden 1450–1500 °F, 10–30 min, oil" in diagram.accessibleDescription()
    assert "tempered at 400 °F: 60–63 HRC" in plot.accessibleDescription()
    for _press in range(3):
        qtbot.keyClick(plot, Qt.Key.Key_Right)
    assert plot.words() == "tempered at 400 °F: 60–63 HRC"
    window.grab()


def test_what_a_page_names_is_looked_up_from_there(qtbot, window):
    for page in ("draw", "grind"):
        window.show_page(page)
        button = window.pages.currentWidget().findChild(QToolButton, "look-up-named")
        button.menu().aboutToShow.emit()
        titles = [action.text() for action in button.menu().actions()]
        steel = window.workspace.model.steel_of(window.workspace.chosen)
        assert titles[0] == steel
        drills = {hole.drill.label for hole in window.workspace.blank.holes if hole.drill.series == "number"}
        assert drills
        assert drills <= set(titles)
        button.menu().actions()[0].trigger()
        assert window.page_name() == "lookup"
        assert window.look_up_page().card_view.card.title == steel


def test_the_page_is_kept_through_another_look(window):
    window.show_page("lookup")
    window.use_look(window.workspace.look.__class__("dark", 1.25))
    assert window.page_name() == "lookup"
    window.grab()
