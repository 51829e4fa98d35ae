"""Text is kept while it is typed: every field of every page and dialog, at every key, as one step; nothing goes astray."""

from decimal import Decimal

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QApplication, QLineEdit, QMessageBox

from tests.app.test_work import next_start
from tests.counts import some
from workbook.app.dialogs.rates import Rates
from workbook.app.dialogs.settings import SettingsDialog
from workbook.app.elements.length_field import ValueField
from workbook.app.elements.text_field import EntryLine, TextField
from workbook.app.look import Look
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.document.records import BarRecord
from workbook.document.shop_records import Movement, OrderLine, OrderRecord
from workbook.shop.labour import Stage
from workbook.storage.body import BookBody
from workbook.storage.file import written
from workbook.storage.opening import recover
from workbook.tasks.demo import demo_document
from workbook.tasks.work import seen_at, work_in

CONTROL = Qt.KeyboardModifier.ControlModifier
TEXTS = ("Ab cd", "2027-03-01", "guard 25", "95.5", "2", "850", "2 in, 3 in")


@pytest.fixture
def at(qtbot, tmp_path, monkeypatch):
    """Opens the window on some work."""
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    made = []

    def opened(session):
        window = Window(Workspace(session, Look("light")))
        qtbot.addWidget(window)
        made.append(window)
        window.resize(1600, 950)
        with qtbot.waitExposed(window):
            window.show()
        window.activateWindow()
        qtbot.waitUntil(window.isActiveWindow)
        return window

    yield opened
    for window in made:
        window.end_pages()


@pytest.fixture
def shop(at):
    """The window on the demo's shop."""
    return at(work_in(demo_document()))


@pytest.fixture
def note(shop):
    """The note of the first line of the first order, with the keyboard in it."""
    shop.show_page("quote")
    field = shop.quote_page().side.line_form.field("note")
    field.setFocus()
    assert field.hasFocus()
    return field


@pytest.fixture
def slow(monkeypatch):
    """Whoever types takes very long."""
    times = iter(range(0, 10_000_000, 100))
    monkeypatch.setattr("workbook.app.work.time.monotonic", lambda: float(next(times)))


def notes(session):
    return [line.note for line in session.document.all(OrderLine) if line.note]


def on_draw(window):
    window.draw.panel.findChild(object, "group-handle").set_open(True)
    return window.draw


def on_stock(table):
    def chosen(window):
        window.show_page("stock")
        getattr(window.stock_page(), table).selectRow(0)
        return window.stock_page()

    return chosen


def on_quote(window):
    window.show_page("quote")
    window.quote_page().side.line_form.field("way").activated.emit(3)
    return window.quote_page()


def in_dialog(kind):
    def opened(window):
        dialog = kind(window, window.workspace)
        dialog.show()
        dialog.activateWindow()
        QApplication.processEvents()
        assert dialog.isActiveWindow()
        return dialog

    return opened


PLACES = {
    "draw": (on_draw, 2), "bars": (on_stock("bars"), 9), "materials": (on_stock("materials"), 6), "quote": (on_quote, 13),
    "settings": (in_dialog(SettingsDialog), 10), "rates": (in_dialog(Rates), 14),
}  # fmt: skip


def fields_of(place, least):
    """The lines that show, with a text each takes that is another than it has."""
    found = [field for field in place.findChildren(TextField) if field.isVisibleTo(place)]
    assert len(found) >= least, [field.objectName() for field in found]
    return [(field, next((text for text in TEXTS if takes(field, text)), field.objectName())) for field in found]


def takes(field, text):
    try:
        return field._read(text) != field._value and len(text) <= field.maxLength()
    except ValueError:
        return False


def key_in(qtbot, field, text):
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)


@pytest.mark.parametrize("name", some(list(PLACES), 3))
def test_what_is_typed_is_kept_at_every_key_and_is_one_step(qtbot, shop, slow, name):
    find, least = PLACES[name]
    place, session = find(shop), shop.workspace.session
    for field, text in fields_of(place, least):
        document, done = session.document, session.done
        key_in(qtbot, field, text)
        where = f"{field.objectName()}: {text}"
        assert session.document != document, where
        assert field.text() == text, where
        qtbot.keyClick(field, Qt.Key.Key_Return)
        kept = session.document
        assert session.done == done + 1, where
        assert session.document == kept, where
        shop.workspace.undo()
        assert session.document == document, where
        assert not takes(field, field.text()), where  # and shows it
        shop.workspace.redo()


@pytest.mark.parametrize("name", some(list(PLACES), 2))
def test_an_entry_that_is_given_up_leaves_no_step(qtbot, shop, name):
    find, least = PLACES[name]
    place, session = find(shop), shop.workspace.session
    document, done = session.document, session.done
    for field, text in some(fields_of(place, least), 6):
        before = field.text()
        key_in(qtbot, field, text)
        qtbot.keyClick(field, Qt.Key.Key_Escape)
        assert (field.text(), session.document, session.done) == (before, document, done), field.objectName()


@pytest.mark.parametrize("name", some(list(PLACES), 2))
def test_a_workbook_to_look_at_refuses_once_and_in_words(qtbot, at, tmp_path, name):
    file = tmp_path / "shop.shopbook"
    file.write_bytes(written(BookBody(demo_document())))
    window = at(seen_at(file))
    find, least = PLACES[name]
    place = find(window)
    for box in window.findChildren(QMessageBox):
        box.close()
    for field, text in some(fields_of(place, least - 1), 6):  # a price aimed at is not begun here
        before, there = field.text(), len(window.findChildren(QMessageBox))
        key = next(n for n in range(1, len(text) + 1) if takes(field, text[:n]))
        key_in(qtbot, field, text[:key])
        boxes = window.findChildren(QMessageBox)[there:]
        assert ["is open read-only" in box.informativeText() for box in boxes] == [True], field.objectName()
        assert field.text() == before, field.objectName()
        boxes[0].close()
    assert window.workspace.session.document == demo_document()


def test_a_kill_in_the_middle_of_a_word_loses_nothing(qtbot, shop, note):
    qtbot.keyClicks(note, "Sharpened by ha")
    session = shop.workspace.session
    session._database._at.close()  # as the system does it
    session._lock.leave()
    found = recover(session.file)
    assert notes(found) == ["Sharpened by ha"]
    found.undo()
    assert found.document == demo_document()
    found.close()
    shop.workspace.session = work_in(demo_document())  # that one has been ended here


@pytest.mark.parametrize("by", ["quit", "its own button"])
def test_what_is_being_typed_is_there_after_the_window_closes(qtbot, shop, note, by):
    qtbot.keyClicks(note, "With her initials")
    if by == "quit":
        next(action for action in shop.menuBar().findChildren(QAction) if action.text() == "&Quit").trigger()
    else:
        shop.close()
    assert not shop.isVisible()
    session = next_start()
    assert notes(session) == ["With her initials"]
    session.close()


def test_what_is_being_typed_is_there_after_other_work_was_begun(qtbot, shop, note):
    qtbot.keyClicks(note, "With her initials")
    before = shop.workspace.session
    qtbot.keyClick(note, Qt.Key.Key_N, CONTROL)
    qtbot.waitUntil(lambda: shop.workspace.session is not before and not shop.filing._publishing.busy)
    assert not list(shop.workspace.session.document.all(OrderLine))
    session = recover(before.file)
    assert notes(session) == ["With her initials"]
    session.close()


@pytest.mark.parametrize("leave", some(["close", "look", "page", "new"], 2))
@pytest.mark.parametrize(
    ("form", "key", "text"), [("line_form", "options", "guard 25; engraving"), ("order_form", "hand_breadth", "3 1/")]
)
def test_what_makes_no_sense_goes_back_whatever_ends_it(qtbot, shop, leave, form, key, text):
    shop.show_page("quote")
    field, space = getattr(shop.quote_page().side, form).field(key), shop.workspace
    first, before = space.session, space.session.document
    key_in(qtbot, field, text)
    assert field.property("wrong")
    assert first.document != before  # it made sense on the way
    first.close = lambda: None  # to be looked at
    ways = {
        "close": shop.close,
        "new": shop.filing.new,
        "look": lambda: shop.use_look(Look("dark")),
        "page": lambda: shop.show_page("draw"),
    }
    ways[leave]()
    if leave == "new":
        qtbot.waitUntil(lambda: shop.workspace.session is not first)
    assert first.document == before
    assert not first.steps
    del first.close
    if leave in ("close", "new"):
        first.close()


def test_a_number_or_a_cell_that_is_being_typed_counts_when_the_window_closes(qtbot, shop):
    dialog = in_dialog(Rates)(shop)
    table = dialog.outside.table
    session, close = shop.workspace.session, shop.workspace.session.close
    dialog.outside.changed.emit((dialog.outside._new(),))
    table.setCurrentCell(0, 1)
    table.setFocus()
    qtbot.keyClick(table, Qt.Key.Key_F2)
    qtbot.keyClicks(QApplication.focusWidget(), "14.5")
    assert session.document.settings.charges.outside[0].batch == Decimal("14.5")
    session.close = lambda: None
    shop.close()
    assert session.document.settings.charges.outside[0].batch == Decimal("14.5")
    close()


def test_a_count_that_is_typed_is_booked_once(qtbot, shop, slow):
    page = on_stock("bars")(shop)
    bar = page._record
    before = list(shop.workspace.session.document.all(Movement))
    field = page.bar_form.field("have")
    key_in(qtbot, field, "125")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    now = shop.workspace.session.document
    (entry,) = [own for own in now.all(Movement) if own not in before]
    assert (entry.of, entry.by) == (bar.id, 125 - bar.bar.have)
    assert now.get(bar.id, BarRecord).bar.have == 125
    assert shop.workspace.session.done == 1
    key_in(qtbot, field, "12")  # and another entry is another booking
    assert [own.by for own in shop.workspace.session.document.all(Movement)][-2:] == [entry.by, -113]


def test_a_cell_of_the_rates_is_kept_key_by_key_and_escape_puts_it_back(qtbot, shop):
    dialog, space = in_dialog(Rates)(shop), shop.workspace
    before, table = space.session.document, dialog.stages.table
    stage: Stage = before.settings.charges.stages[0]

    def name():
        return space.session.document.settings.charges.stages[0].name

    def opened():
        QApplication.processEvents()  # Return is done a moment later
        table.setCurrentCell(0, 0)
        table.setFocus()
        qtbot.keyClick(table, Qt.Key.Key_F2)
        line = QApplication.focusWidget()
        assert isinstance(line, QLineEdit)
        line.selectAll()
        return line

    line = opened()
    for so_far in ("P", "Pr", "Pro", "Prof"):
        qtbot.keyClicks(line, so_far[-1])
        assert (name(), line.text()) == (so_far, so_far)
    assert space.session.done == 1
    qtbot.keyClick(line, Qt.Key.Key_Escape)
    assert (name(), space.session.done) == (stage.name, 0)
    line = opened()
    qtbot.keyClicks(line, "Profile")
    qtbot.keyClick(line, Qt.Key.Key_Return)
    assert (name(), table.item(0, 0).text(), space.session.done) == ("Profile", "Profile", 1)
    line = opened()
    qtbot.keyClick(line, Qt.Key.Key_Delete)
    assert "type a name" in dialog.wrong.text()
    qtbot.keyClick(line, Qt.Key.Key_Return)
    QApplication.processEvents()
    assert (name(), table.item(0, 0).text(), space.session.done) == ("Profile", "Profile", 1)


def test_what_is_typed_is_not_taken_along_to_another_order(qtbot, shop):
    shop.show_page("quote")
    page, session = shop.quote_page(), shop.workspace.session
    field = page.side.order_form.field("wanted")
    first = page.order
    key_in(qtbot, field, "2027-03-1x")
    assert field.property("wrong")
    other = next(order for order in session.document.all(OrderRecord) if order.id != first)
    page.choose(other.id)
    assert (field.text(), bool(field.property("wrong"))) == (other.wanted, False)
    field.clearFocus()
    assert session.document.get(other.id, OrderRecord) == other


def test_an_undo_ends_an_entry_and_undo_by_its_key_is_of_the_text_while_it_is_typed(qtbot, shop, note):
    session = shop.workspace.session
    qtbot.keyClicks(note, "Blue")
    qtbot.keyClick(note, Qt.Key.Key_Z, CONTROL)
    assert (note.text(), session.done) == ("", 0)
    qtbot.keyClicks(note, "Red")
    shop.workspace.undo()
    assert (note.text(), note.isModified(), session.document) == ("", False, demo_document())
    note.clearFocus()
    assert session.done == 0
    shop.workspace.redo()
    assert note.text() == "Red"
    note.setFocus()
    qtbot.keyClick(note, Qt.Key.Key_Z, CONTROL)
    assert session.document == demo_document()


LINES = (("stock", "bar-line"), ("stock", "material-line"), ("quote", "order-line"))


@pytest.mark.parametrize(("page", "name"), some(LINES, 2))
def test_a_line_that_was_not_added_yet_stands_there_again_after_a_look_and_a_new_start(qtbot, at, page, name):
    def line(window):
        window.show_page(page)
        return window.findChild(QLineEdit, name)

    window = at(work_in(demo_document()))
    window.workspace.change_settings("name", "name", name="Mine")  # else nothing of it would be kept
    qtbot.keyClicks(line(window), "6 Petty of 521")
    window.use_look(Look("dark"))
    assert line(window).text() == "6 Petty of 521"
    window.close()
    again = at(next_start())
    assert line(again).text() == "6 Petty of 521"
    again.close()
    other = at(work_in(demo_document()))
    assert line(other).text() == ""


SEARCHED = {"find", "shelf-search", "look-up"}  # only looks for something


def test_every_line_is_of_a_kind_that_keeps_what_is_typed(shop):
    shop.look_up_page()
    for find, _ in PLACES.values():
        find(shop)
    shop.grind_page()
    lines = [line for line in shop.findChildren(QLineEdit) if line.objectName() and not line.objectName().startswith("qt_")]
    others = {line.objectName() for line in lines if not isinstance(line, TextField | ValueField | EntryLine)}
    assert others <= SEARCHED
    assert {name for _, name in LINES} <= {line.objectName() for line in lines}
