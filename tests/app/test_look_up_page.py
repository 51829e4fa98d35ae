"""Look up: tables, words, cautions."""


def test_words_narrow_the_table_and_lead_to_the_first_that_has_them(qtbot, window):
    window.show_page("lookup")
    page = window.look_up_page()
    assert page.titles.currentItem().text() == "Heat treatment of steels"
    assert "datasheet" in page._caution.text()
    qtbot.keyClicks(page.field, "maple")
    assert page.titles.currentItem().text().startswith("Woods")
    assert all("maple" in " ".join(cells(page, r)).casefold() for r in range(page.table.rowCount()))
    assert page.titles.item(0).text() == "Heat treatment of steels (0)"
    page.field.clear()
    assert page.titles.item(0).text() == "Heat treatment of steels"
    page.titles.setCurrentRow([page.titles.item(row).text() for row in range(page.titles.count())].index("Drills"))
    assert page.table.horizontalHeaderItem(0).text() == "series"
    assert page.table.rowCount() > 100


def test_the_number_of_a_steel_finds_it_under_the_name_the_table_has(qtbot, window):
    window.show_page("lookup")
    page = window.look_up_page()
    qtbot.keyClicks(page.field, "1.2842")
    assert page.titles.currentItem().text() == "Heat treatment of steels (1)"
    heads = [page.table.horizontalHeaderItem(column).text() for column in range(page.table.columnCount())]
    shown = dict(zip(heads, cells(page, 0), strict=True))
    assert (shown["steel"], shown["austenitise, °F"], shown["austenitise, °C"]) == ("AISI O2", "1454-1508", "790-820")


def cells(page, row):
    return [page.table.item(row, column).text() for column in range(page.table.columnCount())]


def test_the_page_is_kept_through_another_look(window):
    window.show_page("lookup")
    window.use_look(window.workspace.look.__class__("dark", 1.25))
    assert window.page_name() == "lookup"
    window.grab()
