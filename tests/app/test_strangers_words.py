"""Names of books, templates, bars and files come from strangers: tags in them are shown, not obeyed."""

import pytest
from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QDialog, QInputDialog, QLabel, QListWidget, QMenu, QMessageBox, QTableView, QWidget

from workbook.app.dialogs.table import show_dialog
from workbook.app.look import Look
from workbook.app.plain import plain
from workbook.app.refusal import refused
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.document.document import Document
from workbook.document.records import BarRecord, SettingsRecord, TemplateRecord
from workbook.document.shop_records import CustomerRecord, OrderLine
from workbook.storage.body import BookBody
from workbook.storage.file import written
from workbook.storage.trouble import StorageTrouble
from workbook.structs import replace
from workbook.tasks.demo import demo_document
from workbook.tasks.work import remember, work_in

TAGS = '<a href="http://example.org"><b>Free</b></a><img src="x.png">'


def hostile():
    """The demo's shop with tags in every name."""
    made = {}
    for id_, record in demo_document().records.items():
        match record:
            case TemplateRecord():
                template = record.template
                record = replace(record, family=replace(template, name=f"{TAGS}{template.name}")) if record.family else record
            case BarRecord():
                record = replace(record, bar=replace(record.bar, name=f"{TAGS}{record.bar.name}", heat=TAGS))
            case CustomerRecord():
                record = replace(record, name=f"{TAGS}{record.name}")
            case OrderLine():
                record = replace(record, note=TAGS)
            case SettingsRecord():
                record = replace(record, name=TAGS)
        made[id_] = record
    return Document(made)


@pytest.fixture
def window(qtbot, tmp_path, monkeypatch):
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    made = Window(Workspace(work_in(hostile()), Look("light")))
    qtbot.addWidget(made)
    with qtbot.waitExposed(made):
        made.show()
    yield made
    made.end_pages()


def obeyed(root):
    """What Qt would take tags in for its own."""
    labels = [label for label in root.findChildren(QLabel) if label.textFormat() is not Qt.TextFormat.PlainText]
    found = [f"{label.objectName()}: {label.text()}" for label in labels if label.text()]
    tips = [widget.toolTip() for widget in root.findChildren(QWidget)]
    assert not any(menu.toolTipsVisible() for menu in root.findChildren(QMenu))  # else their actions' would be seen
    for table in root.findChildren(QTableView):
        model = table.model()
        cells = (model.index(r, c) for r in range(model.rowCount()) for c in range(model.columnCount()))
        tips += [str(cell.data(Qt.ItemDataRole.ToolTipRole) or "") for cell in cells]
    for rows in root.findChildren(QListWidget):
        tips += [rows.item(n).toolTip() for n in range(rows.count())]
    return found + [tip for tip in tips if "<b>" in tip or "<img" in tip or "<a " in tip]


def test_no_page_obeys_them(qtbot, window):
    for page in ("draw", "grind", "stock", "quote", "layout", "lookup"):
        window.show_page(page)
        if page == "stock":
            window.stock_page().bars.selectRow(0)
        for group in window.findChildren(QObject):
            if group.objectName().startswith("group-"):
                group.set_open(True)
        qtbot.wait(50)
        assert obeyed(window) == []
    assert window.header.findChildren(QLabel)[0].text() == TAGS


def test_no_dialog_and_no_menu_obeys_them(window, tmp_path):
    (tmp_path / f"{TAGS.replace('/', '')}.shopbook").write_bytes(written(BookBody(hostile())))
    for file in tmp_path.glob("*.shopbook"):
        remember(file)
    for menu in window.menuBar().actions():
        menu.menu().aboutToShow.emit()
    for name in ("history", "settings", "rates", "finder", "scaling", "sizes", "export", "help"):
        show_dialog(window, name)
    assert len(window.findChildren(QDialog)) >= 8
    assert obeyed(window) == []


def test_no_message_obeys_them(window):
    window.say_storage(TAGS, StorageTrouble(TAGS, TAGS))
    window.workspace.undo()
    (box,) = window.findChildren(QMessageBox)
    shown = [label.text() for label in box.findChildren(QLabel) if label.text()]
    assert shown == [TAGS, f"{TAGS} {TAGS}"]
    assert obeyed(box) == []


def test_no_question_obeys_them(window, monkeypatch):
    asked = []

    def ask(parent, title, words, *rest, **named):
        asked.append(words)
        return "", False

    monkeypatch.setattr(QInputDialog, "getText", ask)
    for action in window.menuBar().findChildren(QAction):
        if action.text() in ("Ta&gs…", "Sa&ve revision…"):
            action.trigger()
    assert len(asked) == 2
    assert all("&lt;b&gt;Free" in words for words in asked)


def test_what_keeps_the_window_from_opening_is_said_letter_by_letter(monkeypatch, qapp):
    shown = []
    monkeypatch.setattr(QMessageBox, "exec", lambda box: shown.append((box.textFormat(), box.text())))
    assert refused(TAGS) == 1
    assert shown == [(Qt.TextFormat.PlainText, TAGS)]


def test_plain_words_stay_as_they_are():
    assert plain("5 mm & more") == "5 mm & more"
    assert plain("a <b> & c") == '<p style="white-space: pre-wrap">a &lt;b&gt; &amp; c</p>'
