"""The history in words: in the unit of the moment, and of everything that the forms can change."""

import pytest
from PySide6.QtGui import QAction

from tests.sentences import words_of
from workbook.app.dialogs import rates, settings
from workbook.app.dialogs.history import History
from workbook.app.elements.form import AmountItem, ChoiceItem, Item, LengthItem, LengthsItem, NumberItem, SwitchItem
from workbook.app.pages.quote.side import _OF_CUSTOMER, LINE_ITEMS, ORDER_ITEMS
from workbook.document.action import Action, plain
from workbook.document.action_words import WORDS, in_words
from workbook.document.words.telling import UNTOLD


def undo_action(window):
    return window.menuBar().findChild(QAction, "undo")


def test_the_history_is_told_in_the_unit_of_the_moment(qtbot, window):
    space, said = window.workspace, []
    space.said.connect(said.append)
    history = History(window, space)
    qtbot.addWidget(history)
    space.edit("blade.length", 130.0)
    assert history.list.item(1).text().endswith("Petty: Blade length 5 1/8 in")
    assert undo_action(window).text() == "&Undo: Petty: Blade length 5 1/8 in"
    millimetres = next(a for a in window.menuBar().findChildren(QAction) if a.text() == "Millimeters first")
    millimetres.trigger()
    assert history.list.item(1).text().endswith("Petty: Blade length 130.0 mm")
    assert history.list.item(2).text().endswith("Units first: millimeters")
    space.edit("blade.height", 30.0)
    assert undo_action(window).text() == "&Undo: Petty: Blade – Height at heel 30.0 mm"
    assert "30.0 mm" in window.header._undo.toolTip()
    space.undo()
    assert said[-1] == "Undone: Petty: Blade – Height at heel 30.0 mm."
    space.undo()
    assert said[-1] == "Undone: Units first: millimeters."
    assert history.list.item(3).text().endswith("Petty: Blade – Height at heel 1 3/16 in")
    assert undo_action(window).text() == "&Undo: Petty: Blade length 5 1/8 in"


def test_a_workbook_that_is_only_looked_at_tells_its_history_in_the_unit_chosen(qtbot, window, tmp_path):
    space = window.workspace
    space.edit("blade.length", 130.0)
    space.session.save_as(tmp_path / "shop.shopbook")
    from workbook.tasks.work import seen_at

    window.work_on(seen_at(tmp_path / "shop.shopbook"))
    history = History(window, space)
    qtbot.addWidget(history)
    space.choose_unit("mm")
    assert history.list.item(1).text().endswith("Petty: Blade length 130.0 mm")


SAMPLES = {LengthItem: [12.7], LengthsItem: [(25.4, 50.8), ()], SwitchItem: [True, False], AmountItem: ["3.50"]}


def values_of(item):
    """What an item of a form can be."""
    if isinstance(item, ChoiceItem):
        return [value for value, _ in item.options]
    if isinstance(item, NumberItem):
        return [3] if item.whole else [3, 2.5]
    return [*SAMPLES.get(type(item), ["a text", ""]), *([None] if getattr(item, "absent", False) else [])]


def items(every):
    return [item for item in every if isinstance(item, Item)]


@pytest.mark.parametrize("item", items(settings.ITEMS), ids=lambda item: item.key)
def test_every_setting_is_told_whatever_it_is_set_to(item):
    for value in values_of(item):
        fields = {} if value is None else {"value": plain(value)}
        told = in_words(Action(f"settings.{item.key}", fields), "in")
        assert f"settings.{item.key}" in WORDS
        assert UNTOLD not in told, told


def test_every_rate_and_every_field_of_an_order_and_its_lines_is_told():
    of_rates = {item.key for item in items(rates.ITEMS)} | {"stages", "outside"}
    wanted = {f"settings.charges.{key}" for key in of_rates - set(rates.OF_SHOP)} | {f"settings.{key}" for key in rates.OF_SHOP}
    wanted |= {f"order.{item.key}" for item in items(ORDER_ITEMS) if item.key not in (*_OF_CUSTOMER, "laying")}
    wanted |= {f"line.{item.key}" for item in items(LINE_ITEMS) if item.key != "minutes"} | {"template.minutes"}
    wanted |= {f"hole.{key}" for key in ("purpose", "size", "behind", "above")}
    assert wanted <= WORDS.keys()
    of_forms = ("settings.charges.", "order.", "line.")
    others = {"order.added", "order.removed", "order.laid", "order.not_laid", "order.quoted"}
    others |= {"line.added", "line.removed", "line.more"}
    assert {id_ for id_ in WORDS if id_.startswith(of_forms)} - others <= wanted, "words of what no form has"


def test_what_is_typed_as_a_rate_is_told_with_its_number(qtbot, window):
    dialog = rates.Rates(window, window.workspace)
    qtbot.addWidget(dialog)
    for key, text, words in (
        ("hour", "30", "Rates – Hourly rate: 30"),
        ("tax", "7", "Rates – Tax: 7%"),
        ("shop", "Tide Row", "Shop name: Tide Row"),
    ):
        field = dialog.form.field(key)
        field.selectAll()
        qtbot.keyClicks(field, text)
        field.editingFinished.emit()
        assert words_of(window.workspace.session.steps[-1]) == words
