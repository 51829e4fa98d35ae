"""Scales on Make: an order's material leaves the shelf when handles begin, one of our own is chosen; undone, all is back."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QInputDialog

from tests.app.test_make_page import document, page, shop, typed  # noqa: F401
from workbook.document.action import Action
from workbook.document.document import replacing
from workbook.document.making import blades_of
from workbook.document.records import MaterialRecord
from workbook.document.shop_records import OrderLine, PieceRecord
from workbook.structs import replace

GLUE = "Glue the handle"


def have(window, key):
    return document(window).get(key, MaterialRecord).material.have


@pytest.fixture
def blades(qtbot, shop, page):  # noqa: F811
    """Two blades at the glue: one for the order of Petty with linen scales, one of the shop's own."""
    typed(qtbot, page.blade_line, f"2 Petty of 52100 at {GLUE}")
    line = next(each for each in document(shop).all(OrderLine) if each.handle == "linen")
    first, second = blades_of(document(shop), page.batch)
    shop.workspace.making.give(first.id, line.id)
    page.traveller.choose_stage(GLUE)
    return first.id, second.id


def scales(window, blade):
    piece = document(window).get(blade, PieceRecord)
    return piece.handle, piece.scales


def test_glueing_takes_the_orders_scales_and_undo_brings_them_back(qtbot, shop, page, blades):  # noqa: F811
    before, steps = document(shop), shop.workspace.session.done
    page.traveller.setFocus()
    qtbot.keyClicks(page.traveller, "30")
    qtbot.keyClick(page.side.minutes, Qt.Key.Key_Return)
    assert scales(shop, blades[0]) == ("linen", "G-1")
    assert scales(shop, blades[1]) == ("", "")
    assert have(shop, "linen") == before.get("linen", MaterialRecord).material.have - 1
    assert shop.workspace.session.done == steps + 1
    shop.workspace.undo()
    assert document(shop) == before


def test_own_stock_gets_what_is_chosen_once(shop, page, blades, monkeypatch):  # noqa: F811
    offered = []

    def choose(_parent, _title, _words, items, _current, **_more):
        offered.extend(items)
        return next(item for item in items if item.startswith("bog oak")), True

    monkeypatch.setattr(QInputDialog, "getItem", choose)
    row = next(n for n, blade in enumerate(page.traveller.made.blades) if blade.id == blades[1])
    page.traveller.setCurrentIndex(page.traveller.made.index(row, page.traveller.currentIndex().column()))
    assert page.side.scales_button.isVisible()
    page.side.scales_button.click()
    assert offered[:2] == ["stabilized maple scales (5 pair)", "green linen laminate (11 pair)"]
    assert scales(shop, blades[1]) == ("oak", "B-1")
    assert have(shop, "oak") == 1
    assert not page.side.scales_button.isEnabled()
    page.traveller.choose_stage("Sharpen")
    assert not page.side.scales_button.isVisible()


def test_what_the_shelf_lacks_is_said_and_the_work_is_entered_all_the_same(qtbot, shop, page, blades):  # noqa: F811
    linen = document(shop).get("linen", MaterialRecord)
    empty = replace(linen, material=replace(linen.material, have=0.0))
    shop.workspace.do(replacing(document(shop), Action("stock.counted", {"name": "linen", "count": "11", "now": "0"}), [empty]))
    heard = []
    page.hint.connect(heard.append)
    page.traveller.choose_stage(GLUE)
    page.traveller.setFocus()
    qtbot.keyClicks(page.traveller, "3")
    qtbot.keyClick(page.side.minutes, Qt.Key.Key_Return)
    assert heard[-1] == (
        "Glue the handle: 2 blades, 3 min, entered. "
        "Not everything was on hand: green linen laminate: 1 needed, 0 on hand. What was on hand is booked."
    )
    assert scales(shop, blades[0]) == ("linen", "G-1")
    assert have(shop, "linen") == 0
