"""Fields of the window take what a record may hold, to its limits; what is over is said in plain words and nothing is changed."""

from decimal import Decimal

import pytest
from PySide6.QtCore import Qt

from tests.at_limits import NUMBERS
from tests.filled import leaves
from workbook.app.dialogs import rates, settings
from workbook.app.elements.form import AmountItem, Form, Heading, Item, LengthItem, LengthsItem, NumberItem, TextItem
from workbook.app.elements.items import form_items, item
from workbook.app.look import Look
from workbook.app.pages.grind import side as bench_side
from workbook.app.pages.quote import side as quote_side
from workbook.app.pages.stock import items as stock_items
from workbook.document.actions import rack
from workbook.document.fields import row_of
from workbook.document.records import BarRecord
from workbook.number_in import MOST_MONEY, written
from workbook.shop.charges import Charges
from workbook.shop.job import Bar, Edges, Measured, Saw
from workbook.structs import replace
from workbook.template.tools import Owned

_OF_STOCK = (stock_items.BAR_ITEMS, stock_items.MATERIAL_ITEMS, bench_side._BAR)
SOURCES = (settings.ITEMS, rates.ITEMS, quote_side.ORDER_ITEMS, quote_side.LINE_ITEMS, *_OF_STOCK)
TYPED = (AmountItem, LengthItem, LengthsItem, NumberItem, TextItem)
SAMPLED = [own for source in SOURCES for own in source if isinstance(own, TYPED)]
FAR = ("999999999", "-999999999", "1" * 30)


def limits(own):
    """What may be typed, at least and at most; a share in per cent."""
    by = in_per_cent(own)
    return (0, MOST_MONEY) if isinstance(own, AmountItem) else (own.low * by, own.high * by)


def in_per_cent(own):
    return own.by if isinstance(own, NumberItem) else 1


@pytest.mark.parametrize("part", range(4))
def test_a_field_takes_its_limits_and_nothing_over_them(qtbot, part):
    for own in SAMPLED[part::4]:
        form = Form(Look("light"), [own], "mm")
        qtbot.addWidget(form)
        form.show()
        if isinstance(own, TextItem):
            assert form.field(own.key).maxLength() == own.most <= 2000
            continue
        value = () if isinstance(own, LengthsItem) else Decimal(1) if isinstance(own, AmountItem) else own.low
        form.show_values({own.key: value}, "mm")
        low, high = limits(own)
        for text in (written(low), written(high)):
            taken, _ = typed(qtbot, form, own, text, value)
            got = float(taken[-1][0] if isinstance(taken[-1], tuple) else taken[-1] or 0) if taken else None
            assert got is not None and got * in_per_cent(own) == pytest.approx(float(text)), own.key
        over = max((high - low) / 1000, 1 if getattr(own, "whole", False) else 0.01)
        for text in (written(high + over), *([written(low - over)] if not getattr(own, "zero", "") else []), *FAR):
            taken, words = typed(qtbot, form, own, text, value)
            field = form.field(own.key)
            assert words and (not taken or isinstance(own, LengthItem) or taken[-1] == value), (own.key, text, taken)
            on_the_way = [n for one in taken for n in (one if isinstance(one, tuple) else (one,)) if n is not None]
            by = in_per_cent(own)
            assert all(low - 1e-6 <= by * number <= high + 1e-6 for number in on_the_way), (own.key, text, taken)
            assert "class" not in words[-1] and field.toolTip() in ("", words[-1])


def typed(qtbot, form, own, text, value):
    """What a text typed in a field, and Return, gave: the values taken, and what was said. Then it has its value again."""
    taken, words, field = [], [], form.field(own.key)

    def took(key, value):
        taken.append(value)

    def told(why):
        words.extend([why] if why else [])

    form.entered.connect(took)
    form.trouble.connect(told)
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    said = list(words)
    if isinstance(own, LengthItem):
        wrong = bool(field.property("wrong"))
        words[:] = said[-1:] if wrong else []
    qtbot.keyClick(field, Qt.Key.Key_Return)
    form.entered.disconnect(took)
    form.trouble.disconnect(told)
    field.let_go()
    form.show_values({own.key: value}, "mm")
    return taken, words


def test_what_a_form_shows_is_of_the_rows():
    assert item(Bar, "thickness") == LengthItem("thickness", "Thickness", "nominal", low=0.2, high=60.0)
    assert item(Bar, "slant").zero == "square" and not item(Bar, "slant").absent
    assert item(Measured, "measured.bow").absent
    assert item(Charges, "overhead").by == 100 and item(Charges, "overhead").words.endswith(", %")
    assert item(Bar, "edges").options[0] == (Edges.MILL, "as rolled")
    with pytest.raises(TypeError):
        item(Bar, "measured")
    with pytest.raises(KeyError):
        item(Bar, "colour")
    assert all(isinstance(own, Item) for own in SAMPLED) and len(SAMPLED) > 80 and NUMBERS


def test_a_form_has_every_field_with_a_name_under_its_heading_and_those_of_its_parts():
    items = form_items(Bar, "bar.")
    bar = Bar(name="O1", steel="O1", thickness=3.0, width=40.0, length=900.0)
    keys = [own.key for own in items if isinstance(own, Item)]
    assert sorted(keys) == sorted(f"bar.{key}" for key, _ in leaves(bar))
    heads = [own.words for own in items if isinstance(own, Heading)]
    assert heads == ["Caliper readings", "Stock", "Supplier and location"]


def test_an_empty_field_says_what_nothing_stands_for_and_a_row_what_it_does(qtbot):
    items = [item(Measured, "bow"), item(Owned, "angle_step"), item(Saw, "kerf")]
    form = Form(Look("light"), items, "mm")
    qtbot.addWidget(form)
    form.show_values({"bow": None, "angle_step": 0.0, "kerf": 0.0}, "mm")
    assert [form.field(key).text() for key in form.keys] == ["", "", "0.0"]
    assert [form.field(key).placeholderText() for key in form.keys] == ["not read", "any", ""]
    assert form.row_of("bow").toolTip() == row_of(Measured, "bow").meaning != ""
    assert form.row_of("kerf").toolTip() == ""


def test_nothing_may_be_typed_where_the_least_number_is_more_and_what_lies_between_is_refused(qtbot):
    least = NumberItem("hardness", "Hardness", low=20, high=70, zero="not read", absent=True)
    form = Form(Look("light"), [least], "mm")
    qtbot.addWidget(form)
    form.show()
    form.show_values({"hardness": 60.0}, "mm")
    assert typed(qtbot, form, least, "0", 60.0)[0] == [None]
    assert typed(qtbot, form, least, "58.5", 60.0)[0][-1] == 58.5
    taken, words = typed(qtbot, form, least, "12", 60.0)
    assert "from 20 to 70" in words[-1]
    assert not taken or taken[-1] == 60.0


def test_an_edit_beyond_the_limits_is_refused_in_a_plain_message_and_leaves_no_step(window, monkeypatch):
    said = []
    monkeypatch.setattr("workbook.app.window.message", lambda window, title, text, cures: said.append(f"{title}: {text}"))
    space = window.workspace
    record = next(r for r in space.session.document.all(BarRecord) if r.bar.have)
    absurd = replace(record.bar, have=10**9)
    assert not space.do(rack.change_bar(space.session.document, record.id, absurd, space.stamp()))
    assert space.session.document.get(record.id, BarRecord) == record
    assert not space.session.steps
    (line, entry) = said[0].removesuffix(" Nothing was changed.").split("\n")
    assert (
        line == f"The change could not be saved: bar “{record.bar.name}”, bar.have: 1e+09 is out of range. Allowed: 0 to 100000."
    )
    assert entry.endswith("by: 1e+09 is out of range. Allowed: -1000000 to 1000000.")
