"""Numbers typed in every field of the window, whatever the system's language: read the same, or asked about; never guessed."""

import re
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import QLocale, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractSpinBox

import workbook
from tests.counts import FULL
from tests.named import key_of
from workbook.app.dialogs.rates import Rates
from workbook.app.dialogs.table import show_dialog
from workbook.app.elements.count_field import NumberField
from workbook.app.elements.form import AmountItem, Form, LengthsItem, NumberItem
from workbook.app.elements.group import Group
from workbook.app.elements.length_field import ValueField
from workbook.app.look import Look
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.document.document import Document
from workbook.document.records import BarRecord, MaterialRecord
from workbook.number_in import MOST_MONEY
from workbook.shop.ledger import Reason
from workbook.storage.body import BookBody
from workbook.storage.opening import begin
from workbook.tasks.demo import demo_document
from workbook.template.parameters import Kind

HABITS = ("de_DE", "ar_EG", *(("en_US", "tr_TR", "C") if FULL else ()))
ONE, EITHER, NONE = "one", "either", "none"
TEXTS = {  # what a text can be, in the field's own unit: one number, a decimal or thousands, or none
    "1.5": (ONE, 1.5), "1,5": (ONE, 1.5), "0,125": (ONE, 0.125), "0.125": (ONE, 0.125), "12": (ONE, 12.0), "١": (ONE, 1.0),
    "1.000": (EITHER, 1.0), "1,250": (EITHER, 1.25), "1.250": (EITHER, 1.25), "1e3": (NONE, 0.0), "abc": (NONE, 0.0),
}  # fmt: skip


FEW = ("1.5", "1,5", "1.000", "1,250", "١")
TYPED = {habit: TEXTS if FULL else ("12", "1e3", *FEW) if habit == "de_DE" else FEW for habit in HABITS}


@pytest.fixture(params=HABITS)
def habit(request):
    """A system's language, as Qt sees it."""
    before = QLocale()
    QLocale.setDefault(QLocale(request.param) if request.param != "C" else QLocale.c())
    yield request.param
    QLocale.setDefault(before)


@pytest.fixture
def shop(qtbot, tmp_path, monkeypatch, habit):
    """The window on the demo's shop, millimetres first, with everything that takes numbers open."""
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    space = Workspace(begin(tmp_path / "sessions", BookBody(demo_document())), Look("light"))
    made = Window(space)
    qtbot.addWidget(made)
    made.resize(1440, 900)
    with qtbot.waitExposed(made):
        made.show()
    space.choose_unit("mm")
    return made


def opened(window):
    """Every page and dialog one after another; what a page shows is chosen."""
    for page in ("draw", "grind", "layout", "quote"):
        window.show_page(page)
        for group in window.findChildren(Group):
            group.head.set_open(True)
        if page == "draw":
            window.draw.panel.holes.choose(window.workspace.blank.holes[0].mark)
        yield page
    window.show_page("stock")
    document, stock = window.workspace.session.document, window.stock_page()
    for kind, table in ((BarRecord, stock.bars), (MaterialRecord, stock.materials)):
        table.choose(next(document.all(kind)).id)
        yield kind.__name__
    for name in ("settings", "rates", "scaling", "sizes"):
        show_dialog(window, name)
        yield name


def reading_of(low, high, text, *, whole=False):
    """What a field with such limits is to make of a text: the number, or None where it is to be refused in words."""
    kind, value = TEXTS[text]
    if kind is NONE or (kind is EITHER and low <= value * 1000 <= high) or not low - 1e-6 <= value <= high + 1e-6:
        return None
    return None if whole and value != round(value) else value


class Typist:
    """Types in one field and says what it took: a number, or None and words."""

    def __init__(self, field, emitted, trouble):
        self.field, self.taken, self.words = field, [], []
        self._signals = ((emitted, self._took), (trouble, self._told))
        for signal, slot in self._signals:
            signal.connect(slot)

    def _took(self, *values):
        self.taken.append(values)

    def _told(self, why):
        self.words.append(why)

    def types(self, text):
        self.taken.clear()
        self.words.clear()
        self.field.setFocus()
        self.field.selectAll()
        for letter in text:  # a key of any keyboard
            QTest.sendKeyEvent(QTest.KeyAction.Click, self.field, Qt.Key.Key_unknown, letter, Qt.KeyboardModifier.NoModifier)
        return self

    def leaves(self):
        for signal, slot in self._signals:
            signal.disconnect(slot)


def check_value_field(texts, field):
    """A length, share or angle: it is taken with each letter that makes sense."""
    (low, high), typist = field._limits, Typist(field, field.entered, field.trouble)
    by = 100 if field._kind is Kind.SHARE else 1
    for text in texts:
        field.setModified(False)
        wanted = reading_of(low * by, high * by, text)
        if wanted is not None and 0 < wanted < field.least:  # nothing stands for no value, and a value has a least
            wanted = None
        wrong = bool(typist.types(text).field.property("wrong"))
        if field.refuse(0.0 if wanted is None else wanted) and wanted is not None:
            continue  # it is refused beside what else is there
        assert wrong is (wanted is None), f"{field.objectName()} {low:g}..{high:g} “{text}”: {typist.words}"
        if wanted is None:
            assert field.toolTip() and "class" not in field.toolTip()
        else:
            assert typist.taken[-1][0] == pytest.approx(wanted / by)
        QTest.keyClick(field, Qt.Key.Key_Escape)
    typist.leaves()


def check_line(texts, form, item):
    """An amount, number or lengths: it is taken with each letter that makes sense; what makes none at its end goes back."""
    line = form.field(item.key)
    by = item.by if isinstance(item, NumberItem) else 1  # a share is typed in per cent
    low, high = (0, MOST_MONEY) if isinstance(item, AmountItem) else (item.low * by, item.high * by)
    whole, typist = isinstance(item, NumberItem) and item.whole, Typist(line, form.entered, form.trouble)
    for text in texts:
        wanted = reading_of(low, high, text, whole=whole)
        line.let_go()
        before = line._value
        typist.types(text)
        if isinstance(item, LengthsItem) and "," in text:
            continue  # such a comma may part two lengths: see the test of it
        QTest.keyClick(line, Qt.Key.Key_Return)
        if wanted is None:
            assert not typist.taken or typist.taken[-1][1] == before, f"{item.key} “{text}” was taken as {typist.taken}"
            assert any(word.startswith(item.words) for word in typist.words)
        else:
            assert typist.taken, f"{item.key} “{text}”: {typist.words}"
            got = typist.taken[-1][1]
            got = by * float((got[0] if isinstance(item, LengthsItem) else got) or 0)  # None where 0 is no value
            assert got == pytest.approx(wanted)
        QTest.keyClick(line, Qt.Key.Key_Escape)
    typist.leaves()


def check_count(texts, field):
    """A count by arrows or typed."""
    (low, high), whole = field._limits, field._whole
    told = []
    field.trouble.connect(told.append)
    for text in texts:
        field.setFocus()
        field.selectAll()
        for letter in text:
            QTest.sendKeyEvent(QTest.KeyAction.Click, field, Qt.Key.Key_unknown, letter, Qt.KeyboardModifier.NoModifier)
        wanted = reading_of(low, high, text, whole=whole)
        assert bool(field.why_not) is (wanted is None), f"{field.objectName()} “{text}”"
        if wanted is None:
            assert told[-1] == field.why_not == field.toolTip()
        else:
            assert field.number == Decimal(str(wanted))
        field.show_number(0)
    field.trouble.disconnect(told.append)


def taken_as_it_is(session):
    """An edit that leaves everything as it was: pages see another document, and so that it was not refused."""
    session.document = Document(session.document.records)


def number_lines(window):
    for form in window.findChildren(Form):
        yield from ((form, item) for item in form._items.values() if isinstance(item, AmountItem | NumberItem | LengthsItem))


def test_every_field_reads_numbers_the_same_in_every_language(shop, habit, monkeypatch):
    monkeypatch.setattr(Workspace, "do", lambda self, edit, same_step=False: True)  # what is typed is not to change what is there
    monkeypatch.setattr(Workspace, "merge_edit", lambda self, what, edit: taken_as_it_is(self.session))
    monkeypatch.setattr(Workspace, "merge_count", lambda self, what, make: taken_as_it_is(self.session))
    monkeypatch.setattr("workbook.app.pages.draw.hole_group.mark_after", lambda blank, mark, **changes: mark)  # none is moved
    done, every = set(), 1 if FULL else 3 if habit == "de_DE" else 9  # for every change one in three or nine, not the same ones
    for _ in opened(shop):
        fields = [(field.objectName(), check_value_field, field) for field in shop.findChildren(ValueField)]
        fields += [(item.key, check_line, form, item) for form, item in number_lines(shop)]
        fields += [(field.objectName(), check_count, field) for field in shop.findChildren(NumberField)]
        for name, check, *field in fields:
            if field[0].isVisible() and (name, check, field[0]) not in done:
                done.add((name, check, field[0]))
                if (len(done) + HABITS.index(habit)) % every == 0:
                    check(TYPED[habit], *field)
        assert all(isinstance(box, NumberField) for box in shop.findChildren(QAbstractSpinBox)), "others go by the language"
    assert len(done) > 100


def press(qtbot, field, text):
    field.setFocus()
    field.selectAll()
    qtbot.keyClick(field, Qt.Key.Key_Delete)
    qtbot.keyClicks(field, text)


def test_a_count_of_bars_that_is_no_whole_number_is_not_booked(qtbot, shop):
    shop.show_page("stock")
    page, document = shop.stock_page(), shop.workspace.session.document
    bar = next(record for record in document.all(BarRecord) if record.bar.have)
    page.bars.choose(bar.id)
    press(qtbot, page.side.count, "90")
    page.side.buttons[Reason.BOUGHT].click()
    for text in ("1,5", "1.5", "1.000", "1,000", "1e3", ""):
        press(qtbot, page.side.count, text)
        page.side.buttons[Reason.USED].click()
        qtbot.mouseClick(page.side.buttons[Reason.SCRAPPED], Qt.MouseButton.LeftButton)
        assert shop.workspace.session.document.get(bar.id, BarRecord).bar.have == bar.bar.have + 90, text
        assert page.wrong.isVisible() and page.wrong.text().startswith("Quantity: ")
        assert page.side.count.text() == text, "it stays, to be mended"


def test_a_count_of_a_material_takes_either_mark(qtbot, shop):
    shop.show_page("stock")
    page, document = shop.stock_page(), shop.workspace.session.document
    material = next(record for record in document.all(MaterialRecord) if record.material.have > 4)
    page.materials.choose(material.id)
    for text, left in (("1,5", 1.5), ("1.5", 3.0)):
        press(qtbot, page.side.count, text)
        page.side.buttons[Reason.USED].click()
        assert shop.workspace.session.document.get(material.id, MaterialRecord).material.have == material.material.have - left


def test_bars_kept_for_an_order_and_blanks_to_make_are_whole(qtbot, shop):
    shop.show_page("stock")
    page = shop.stock_page()
    bar = next(r for r in shop.workspace.session.document.all(BarRecord) if r.bar.have > 1 and not r.spoken)
    page.bars.choose(bar.id)
    press(qtbot, page.side.kept, "1,0")
    qtbot.keyClick(page.side.kept, Qt.Key.Key_Return)
    assert [each.count for each in shop.workspace.session.document.get(bar.id, BarRecord).spoken] == [1]
    press(qtbot, page.side.kept, "1,5")
    page.bar_line.setFocus()
    assert page.side.kept.text() == "1,5" and page.side.kept.property("wrong"), "it stays, to be mended"
    page.side.kept.setFocus()
    qtbot.keyClick(page.side.kept, Qt.Key.Key_Escape)
    assert page.side.kept.text() == "1"
    shop.show_page("layout")
    box = next(iter(shop.bars_page().side.order._rows.values()))
    before = box.number
    press(qtbot, box, "1.000")
    assert "may be 1000 or 1" in shop.status.text()
    qtbot.keyClick(box, Qt.Key.Key_Escape)
    assert box.number == before
    qtbot.keyClick(box, Qt.Key.Key_Up)
    assert next(iter(shop.bars_page().side.order._rows.values())).number == before + 1


LISTS = (
    ("50; 254", (50, 254)), ("50, 254", (50, 254)), ("50,5; 254", (50.5, 254)), ("50,5, 254", None), ("50,254", None),
    ("2,5", None), ("165,0", (165,)), ("1,250", None), ("1 1/2 in,3 in", None), ("1 in, 3 in", (25.4, 76.2)),
)  # fmt: skip


@pytest.mark.parametrize("habit", ["de_DE"], indirect=True)
def test_a_comma_that_may_part_two_lengths_is_asked_about(qtbot, shop):
    show_dialog(shop, "settings")
    form = next(form for form in shop.findChildren(Form) if "tools.wheels" in form.keys)
    line = form.field("tools.wheels")
    for text, lengths in LISTS:
        before = shop.workspace.session.document.tools.owned.wheels
        press(qtbot, line, text)
        assert bool(line.property("wrong")) is (lengths is None), text
        qtbot.keyClick(line, Qt.Key.Key_Return)
        assert shop.workspace.session.document.tools.owned.wheels == (pytest.approx(lengths) if lengths else before)


@pytest.mark.parametrize("habit", ["de_DE"], indirect=True)
def test_rates_in_a_table_are_read_the_same(shop):
    show_dialog(shop, "rates")
    dialog = next(d for d in shop.findChildren(Rates))
    for text, wanted in (("4,5", 4.5), ("5.5", 5.5), ("1.250", 5.5), ("1e3", 5.5), ("12,25", 12.25)):
        dialog.stages.table.item(0, 2).setText(text)
        assert shop.workspace.session.document.settings.charges.stages[0].minutes == wanted
    assert dialog.stages.table.item(0, 2).text() == "12.25"


def test_no_number_is_read_but_by_the_one_reader():
    own = {"number_in.py", "length_in.py", "region.py", "language.py"}  # the last two ask for a unit, a currency, Qt's own texts
    of_qt = r"Q(Double|Int)?(SpinBox|Validator|Locale)\b|getDouble|getInt\b"
    of_python = r"\.replace\(\",\", \"\.\"\)|\b(float|int|Decimal)\((text|words)\b"
    found = {
        f"{file.name}: {match[0]}"
        for folder in ("app", "cli", "shop", "formats", "tasks")
        for file in (Path(workbook.__file__).parent / folder).rglob("*.py")
        for match in [re.search(f"{of_qt}|{of_python}", file.read_text(encoding="utf-8"))]
        if match and file.name not in own
    }
    assert not found


@pytest.mark.parametrize("habit", ["en_US"], indirect=True)
def test_a_count_of_a_template_that_goes_meanwhile_does_no_harm(qtbot, shop):
    shop.show_page("layout")
    page, space = shop.bars_page(), shop.workspace
    page.side.order.show_every_steel(True)
    box = page.side.order.count(key_of(space, "Paring"), "O1")
    press(qtbot, box, "9")
    space.choose(key_of(space, "Paring"))
    space.remove()
    qtbot.keyClick(box, Qt.Key.Key_Return)
    assert ("Paring", "O1") not in page.side.order._rows
    page.search.close()
