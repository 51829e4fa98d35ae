"""Find an action by ordinary words: for each the entry that a maker or a user of any desktop program would look for."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QLineEdit

from workbook.app.dialogs import other_words
from workbook.app.dialogs.export import ExportDialog
from workbook.app.dialogs.findable import entries
from workbook.app.dialogs.finder import Finder
from workbook.app.dialogs.matching import found
from workbook.app.dialogs.rates import ITEMS as RATES
from workbook.app.dialogs.settings import BY_KEY
from workbook.app.elements.parameter_row import ParameterRow
from workbook.tasks.exports import EXPORTS
from workbook.template.parameters import PARAMETERS

FIRST = 8  # the entry stands among the first so many, which show without scrolling
WORDS = {
    "export": "File: Export or print", "import": "File: Import from another shop book", "delete": "Template: Delete",
    "preferences": "Edit: Settings", "options": "Edit: Settings", "nest": "Go: Lay out", "nesting": "Go: Lay out",
    "optimize": "Layout: Keep searching", "mirror": "Template: Mirror for the other hand",
    "rotate": "Layout: Selected blank: Turn end for end", "zoom": "View: Zoom to fit", "units": "View: Inches first",
    "metric": "View: Millimeters first", "theme": "View: Dark", "pdf": "File: Export or print",
    "dxf": "Template: Export cutting file", "svg": "Export or print: Outlines", "csv": "Stock: Export stock",
    "inventory": "Go: Stock", "version": "Template: Save revision", "photo": "Template: Trace a picture",
    "scan": "Template: Check a printed sheet", "calibrate": "View: Calibrate screen size", "resize": "Template: Scale",
    "node": "Template: Add control point", "bevel": "Grind: Grind: Bevel", "drill": "Template: Add hole",
    "stop": "Layout: Stop searching", "price": "Orders: Print quote", "cost": "Orders: Shop rates",
    "label": "Make: Print labels for blades and scales", "new": "File: New shop book", "open": "File: Open", "save": "File: Save",
    "print": "File: Export or print", "undo": "Edit: Undo", "redo": "Edit: Redo", "copy": "Template: Duplicate",
    "rename": "Template: Rename", "search": "Edit: Find an action", "help": "Help: Help on this page", "about": "Help: About",
    "settings": "Edit: Settings", "history": "Edit: History", "backup": "File: Restore a backup", "quit": "File: Quit",
    "exit": "File: Quit", "dark": "View: Dark", "font": "View: Text 125%", "inch": "View: Inches first",
    "paper": "Settings: Units and paper: Paper", "printer": "File: Printer", "kerf": "Settings: Saw: Saw kerf",
    "steel": "Go: Look up", "stock": "Go: Stock", "offcut": "Settings: Bars and holes: Min. offcut length",
    "order": "Go: Quote", "customer": "Orders: Print quote", "quote": "Go: Quote", "tax": "Shop rates: Price: Tax",
    "hole": "Template: Add hole", "pin": "Template: Add hole: Add pin", "handle": "Draw: Handle: Handle length",
    "guard": "Draw: Guard, bolster, liner: Guard thickness", "tang": "Draw: Tang: Tang form",
    "thickness": "Draw: Blade: Bar thickness", "angle": "Grind: Grind: Edge angle", "hardness": "Make: Results of heat treatment",
    "batch": "Go: Make", "timer": "Go: Make", "sheath": "Template: Print sheath pattern",
    "laser": "Template: Export cutting file",
    "scale": "Template: Scale", "tags": "Template: Tags", "revision": "Template: Save revision", "weight": "Go: Grind",
}  # fmt: skip


def test_seventy_six_ordinary_words_find_the_right_action(window):
    assert len(WORDS) == 76
    known = entries(window)
    shown = {word: [entry.words for entry in found(known, word)[:FIRST]] for word in WORDS}
    wrong = {word: shown[word] for word, right in WORDS.items() if not any(each.startswith(right) for each in shown[word])}
    assert not wrong


MORE = {  # typed by someone who had not seen the program
    "hard copy": "File: Export or print", "take back": "Edit: Undo", "old version": "File: Restore a backup",
    "new laptop": "File: Save as", "throw away": "Template: Delete", "waterjet": "Template: Export cutting file",
    "leftovers": "Settings: Bars and holes: Use up offcuts first", "running low": "Go: Stock", "rust": "Go: Look up",
    "cutting list": "Export or print: Table of saw cuts", "phone number": "Shop rates: Quote: Phone, email",
    "clients": "Go: Quote", "how heavy": "Go: Grind", "grinding wheel": "Settings: Tools: Contact wheels",
    "rivets": "Draw: Handle: Fastener material", "diary": "Go: Quote", "to do": "Go: Make", "excel": "Stock: Export stock",
    "print the template sheet": "Template: Print template sheet", "arrange holes": "Draw: Holes",
}  # fmt: skip


def test_so_do_phrases_of_a_stranger(window):
    known = entries(window)
    shown = {words: [entry.words for entry in found(known, words)[:4]] for words in MORE}
    assert not {words: shown[words] for words, right in MORE.items() if not any(e.startswith(right) for e in shown[words])}


def test_words_for_what_is_not_in_the_menus_are_of_things_that_exist():
    assert other_words.EXPORTS.keys() == EXPORTS.keys()
    assert other_words.SETTINGS.keys() <= BY_KEY.keys()
    assert other_words.RATES.keys() <= {each.key for each in RATES if hasattr(each, "key")}
    assert other_words.PARAMETERS.keys() <= {parameter.path for parameter in PARAMETERS}


def opened(qtbot, window, typed):
    finder = Finder(window, window.workspace.look)
    finder.show()
    qtbot.keyClicks(finder.field, typed)
    return finder


def shown_by(finder):
    return [finder.list.item(row).text() for row in range(finder.list.count())]


def test_what_is_spelled_wrong_is_said_with_what_is_near(qtbot, window):
    finder = opened(qtbot, window, "exprot")
    assert finder.nothing.isVisibleTo(finder)
    assert finder.nothing.text() == "Nothing found for “exprot”. Found for “export”:"
    assert shown_by(finder)[0].startswith("File: Export or print")


def test_where_nothing_has_all_of_the_words_what_has_most_of_them_comes_first(qtbot, window):
    finder = opened(qtbot, window, "cutting file for grandmother")
    assert finder.nothing.text() == "Nothing has all of “cutting file for grandmother”. Found for some of these words:"
    assert shown_by(finder)[0].startswith("Template: Export cutting file")


def test_a_folded_group_is_opened(qtbot, window):
    qtbot.keyClick(opened(qtbot, window, "arrange holes").field, Qt.Key.Key_Return)
    assert window.page_name() == "draw"
    assert window.draw.panel.holes.head.open


def test_what_is_nothing_like_any_word_is_said(qtbot, window):
    finder = opened(qtbot, window, "qwertz")
    assert finder.nothing.text() == "Nothing found for “qwertz”. Try another word."
    assert not shown_by(finder)
    qtbot.keyClick(finder.field, Qt.Key.Key_Return)
    assert finder.isVisible()


def test_what_cannot_be_done_now_is_listed_but_not_run(qtbot, window):
    finder = opened(qtbot, window, "undo")
    assert shown_by(finder)[0].startswith("Edit: Undo")
    assert not finder.list.item(0).flags() & Qt.ItemFlag.ItemIsEnabled
    qtbot.keyClick(finder.field, Qt.Key.Key_Return)
    assert finder.isVisible()


@pytest.mark.parametrize(("typed", "key"), [("saw kerf", "saw.kerf"), ("belt width", "sheath.belt"), ("hourly", "hour")])
def test_a_field_of_the_settings_or_rates_gets_the_keyboard(qtbot, window, typed, key):
    qtbot.keyClick(opened(qtbot, window, typed).field, Qt.Key.Key_Return)
    field = next(each for kind in (QLineEdit, QComboBox) for each in window.findChildren(kind, key))
    qtbot.waitUntil(lambda: field.hasFocus(), timeout=2000)


@pytest.mark.parametrize(
    ("typed", "path"), [("blade length", "blade.length"), ("tang width", "tang.width"), ("convex bulge", "grind.bulge")]
)
def test_a_number_of_the_template_gets_the_keyboard(qtbot, window, typed, path):
    qtbot.keyClick(opened(qtbot, window, typed).field, Qt.Key.Key_Return)
    assert window.page_name() == ("grind" if path.startswith("grind") else "draw")
    panel = window.grind_page().side if path.startswith("grind") else window.draw.panel
    field = next(row.field for row in panel.findChildren(ParameterRow) if row.parameter.path == path)
    qtbot.waitUntil(lambda: window.focusWidget() is field, timeout=2000)


def test_an_export_opens_on_its_preview(qtbot, window):
    qtbot.keyClick(opened(qtbot, window, "table of holes").field, Qt.Key.Key_Return)
    (dialog,) = (each for each in window.findChildren(ExportDialog) if each.isVisible())
    qtbot.waitUntil(lambda: bool(dialog.files), timeout=20_000)
    assert list(dialog.files) == ["holes.csv"]
    dialog.close()


def test_a_button_of_a_page_is_pressed_there(qtbot, window):
    window.show_page("stock")
    window.show_page("draw")
    qtbot.keyClick(opened(qtbot, window, "show rack").field, Qt.Key.Key_Return)
    assert window.page_name() == "stock"
    assert not window.stock_page().picture_button.isChecked()
