"""What a page shows besides the workbook goes on in another look of the window."""

import pytest

from tests.app.waiting import settled
from workbook.app.elements.group import open_groups
from workbook.document.records import BarRecord
from workbook.document.shop_records import OrderLine
from workbook.structs import replace


@pytest.fixture
def dark(window):
    """Shows the window dark, and light again before a page was looked at."""

    def change():
        settled(0.01)
        for theme in ("dark", "light", "dark"):
            window.use_look(replace(window.workspace.look, theme=theme))

    return change


def test_the_order_and_the_line_chosen_stay_chosen(window, dark):
    for text in ("2 Petty of 52100 for A. Moreno", "3 Paring of O1 for R. Okafor"):
        assert not window.workspace.orders.entered(text, "")[0]
    page = window.quote_page()
    first = next(line for line in window.workspace.session.document.all(OrderLine) if line.order)
    page.orders.choose(first.order)
    assert page.order == first.order
    line = page.line
    dark()
    other = window.quote_page()
    assert other is not page
    assert (other.order, other.line) == (first.order, line)
    assert other.side.line_form.field("quantity").text() == "2"


def test_the_bar_chosen_and_the_buttons_stay(window, dark):
    window.show_page("stock")
    page = window.stock_page()
    bars = list(window.workspace.session.document.all(BarRecord))
    page.bars.choose(bars[2].id)
    page.used_button.setChecked(True)
    page.picture_button.setChecked(False)
    window.show_page("draw")
    dark()
    window.show_page("stock")
    other = window.stock_page()
    assert other is not page
    assert other.side.title.text() == bars[2].bar.name
    assert other.used_button.isChecked() and not other.picture_button.isChecked()


def test_the_section_and_what_is_open_stay(window, dark):
    window.show_page("grind")
    page = window.grind_page()
    page.board.section_moved.emit(61.0)
    page.side.groups["rest"].head.set_open(False)
    page.side.groups["grind"].head.set_open(True)
    opened = open_groups(page.side.groups)
    dark()
    other = window.grind_page()
    assert other is not page
    assert open_groups(other.side.groups) == opened
    window.show_page("grind")
    assert other.board.scene.at == 61.0


def test_grind_shows_its_blade_at_once_in_another_look(window):
    window.show_page("grind")
    window.use_look(replace(window.workspace.look, theme="dark"))
    assert window.grind_page().board.scene is not None
