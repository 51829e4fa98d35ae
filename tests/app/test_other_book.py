"""The shop's one book: the sample and one's own, and what is brought from other books, by real keys and clicks."""

import pytest
from PySide6.QtCore import QLocale, Qt
from PySide6.QtWidgets import QFileDialog, QMessageBox, QPushButton

from tests.app.waiting import at_rest
from workbook.app import region
from workbook.app.dialogs.other_book import BringDialog
from workbook.app.look import Look
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.document.other_book import items
from workbook.document.records import BarRecord, MaterialRecord, SettingsRecord, TemplateRecord
from workbook.document.shop_records import OrderRecord
from workbook.storage.body import BookBody
from workbook.storage.file import read, written
from workbook.structs import replace
from workbook.tasks.demo import demo_document, demo_job
from workbook.tasks.work import empty_work, work_in


def other(tmp_path, **changes):
    """Another book's file: the demo's shop as someone's own, with some records in the place of its own."""
    document = demo_document()
    settings = replace(document.settings, sample=False, name="Old shop")
    path = tmp_path / "old.shopbook"
    path.write_bytes(written(BookBody(type(document)({**document.records, "settings": settings, **changes}))))
    return path


@pytest.fixture
def look(tmp_path, monkeypatch):
    """How all looks, with the data folder its own."""
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    return Look("light")


@pytest.fixture
def own(qtbot, look):
    """A window on a book of one's own."""
    window = Window(Workspace(empty_work(), look))
    window.show()
    yield window
    at_rest(window)  # a window that qtbot has is closed before this
    window.close()
    window.deleteLater()


def dialog_of(qtbot, window, kind=BringDialog):
    """The dialog that shows what may be brought, or a message."""
    qtbot.waitUntil(lambda: any(d.isVisible() for d in window.findChildren(kind)), timeout=20_000)
    return next(d for d in window.findChildren(kind) if d.isVisible())


def line_of(dialog, group, name):
    """A row of the dialog, chosen as by a click."""
    tree = dialog.tree
    heads = [tree.topLevelItem(n) for n in range(tree.topLevelItemCount())]
    (head,) = [head for head in heads if head.text(0) == group]
    (line,) = [head.child(n) for n in range(head.childCount()) if head.child(n).text(0) == name]
    tree.clearSelection()
    tree.scrollToItem(line)
    line.setSelected(True)
    return line


def pressed(qtbot, dialog, name):
    """Presses a button of the dialog."""
    qtbot.mouseClick(dialog.findChild(QPushButton, name), Qt.MouseButton.LeftButton)


def test_the_sample_says_so_and_ones_own_book_begins_empty(qtbot, look, monkeypatch):
    monkeypatch.setattr(region, "usual_unit", lambda: "mm")
    monkeypatch.setattr(region, "usual_currency", lambda: "EUR")
    window = Window(Workspace(work_in(demo_document()), look))
    qtbot.addWidget(window)
    window.show()
    button = window.header.own_button
    assert button.isVisible() and "(sample)" in window.windowTitle()
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not window.workspace.session.document.settings.sample)
    at_rest(window)
    document = window.workspace.session.document
    assert (document.settings.unit, document.settings.currency) == ("mm", "EUR")
    assert [type(record) for record in document.records.values()] == [SettingsRecord, TemplateRecord]
    assert not button.isVisible() and "sample" not in window.windowTitle()
    assert not window.workspace.session.done
    window.close()


@pytest.mark.parametrize(
    ("name", "unit", "currency"), [("en_US", "in", "USD"), ("de_DE", "mm", "EUR"), ("en_GB", "in", "GBP"), ("C", "mm", "USD")]
)
def test_unit_and_currency_are_those_of_the_country(monkeypatch, name, unit, currency):
    monkeypatch.setattr(QLocale, "system", lambda: QLocale(name))
    assert (region.usual_unit(), region.usual_currency()) == (unit, currency)


def test_a_book_has_the_name_of_its_file_unless_it_has_one_of_its_own(qtbot, own, tmp_path, monkeypatch):
    def save(name):
        monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *rest: (str(tmp_path / name), ""))
        own.filing.save_as()
        qtbot.waitUntil(lambda: own.workspace.session.path == tmp_path / name)
        at_rest(own)
        return own.workspace.session.document.settings.name

    assert save("River forge.shopbook") == "River forge"
    assert save("Second.shopbook") == "Second"
    own.workspace.change_settings("name", "Mine", name="Mine")
    assert save("Third.shopbook") == "Mine"
    assert read(tmp_path / "Second.shopbook").body.document.settings.name == "Second"


def test_a_name_that_follows_the_file_costs_no_step_and_no_redo(qtbot, own, tmp_path, monkeypatch):
    def save(name):
        monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *rest: (str(tmp_path / name), ""))
        own.filing.save_as()
        at_rest(own)

    space = own.workspace
    space.edit("blade.length", 120.0)
    save("One.shopbook")
    assert (len(space.session.steps), space.session.document.settings.name) == (1, "One")
    space.undo()  # the maker's last work, not the name alone
    assert space.chosen_template.blade.length != 120.0
    save("Two.shopbook")
    assert len(space.session.steps) == 1  # it can be done again
    space.redo()
    assert space.chosen_template.blade.length == 120.0


def test_another_book_comes_in_whole_and_is_taken_out_by_one_undo(qtbot, own, tmp_path):
    before = own.workspace.session.document
    own.bringing.bring_from_book(other(tmp_path))
    dialog = dialog_of(qtbot, own)
    assert dialog.windowTitle() == "Import from Old shop"
    pressed(qtbot, dialog, "bring-in")
    qtbot.waitUntil(lambda: own.workspace.session.done == 1)
    at_rest(own)
    after, theirs = own.workspace.session.document, demo_document()
    for kind in (BarRecord, MaterialRecord, OrderRecord):
        assert len(list(after.all(kind))) == len(list(theirs.all(kind)))
    assert after.settings == before.settings  # rates are kept unless they are taken
    own.bringing.bring_from_book(tmp_path / "old.shopbook")  # once more: only its saw is another
    dialog = dialog_of(qtbot, own)
    assert [item.key for item in items(after, read(tmp_path / "old.shopbook").body.document) if not item.same] == [
        "settings settings shop"
    ]
    assert dialog.bring_button.text() == "Import 0 items" and not dialog.bring_button.isEnabled()
    dialog.reject()
    own.workspace.undo()
    assert own.workspace.session.document.records == before.records


def test_the_maker_says_whose_count_is_true(qtbot, own, tmp_path):
    own.bringing.bring_from_book(other(tmp_path))
    pressed(qtbot, dialog_of(qtbot, own), "bring-in")
    qtbot.waitUntil(lambda: own.workspace.session.done == 1)
    bar = next(own.workspace.session.document.all(BarRecord))
    own.bringing.bring_from_book(other(tmp_path, **{bar.id: replace(bar, bar=replace(bar.bar, have=bar.bar.have + 2))}))
    dialog = dialog_of(qtbot, own)
    line = line_of(dialog, "Bars", bar.bar.name)
    assert line.text(3) == "keep mine"
    assert [line.text(1)[:1], line.text(2)[:1]] == [str(bar.bar.have), str(bar.bar.have + 2)]
    pressed(qtbot, dialog, "choose-take")
    assert line.text(3) == "use the other's"
    assert dialog.bring_button.text() == "Import 1 item"
    pressed(qtbot, dialog, "bring-in")
    qtbot.waitUntil(lambda: own.workspace.session.done == 2)
    after = own.workspace.session.document
    assert after.get(bar.id, BarRecord).bar.have == bar.bar.have + 2
    assert [each.bar.name for each in after.all(BarRecord)].count(bar.bar.name) == 1


def test_a_group_is_left_by_one_press(qtbot, own, tmp_path):
    own.bringing.bring_from_book(other(tmp_path))
    dialog = dialog_of(qtbot, own)
    for head in (dialog.tree.topLevelItem(n) for n in range(dialog.tree.topLevelItemCount())):
        if head.text(0) != "Templates":
            head.setSelected(True)
    pressed(qtbot, dialog, "choose-keep")
    pressed(qtbot, dialog, "bring-in")
    qtbot.waitUntil(lambda: own.workspace.session.done == 1)
    after = own.workspace.session.document
    assert {record.template.name for record in after.all(TemplateRecord)} >= {"Petty", "Paring", "Santoku type"}
    assert not list(after.all(BarRecord)) and not list(after.all(OrderRecord))


def test_a_job_file_gives_its_templates_and_bars(qtbot, own, tmp_path, demo_file):
    own.bringing.bring_from_book(demo_file)
    pressed(qtbot, dialog_of(qtbot, own), "bring-in")
    qtbot.waitUntil(lambda: own.workspace.session.done == 1)
    assert len(list(own.workspace.session.document.all(BarRecord))) == len(demo_job().job.bars)


def test_a_file_that_is_no_book_is_refused_in_words(qtbot, own, tmp_path):
    path = tmp_path / "torn.shopbook"
    path.write_bytes(b"nothing of a book")
    own.bringing.bring_from_book(path)
    box = dialog_of(qtbot, own, QMessageBox)
    assert "torn.shopbook" in box.text() and "cannot be imported" in box.text()
    box.close()
    assert not own.workspace.session.done
