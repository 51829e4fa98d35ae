"""Steel in is blanks, clean-up, kerf, slivers and offcuts, by area, for every layout."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.geometry.polygon import of_points
from workbook.nesting.arranging import put
from workbook.nesting.by_hand import by_steps
from workbook.nesting.model import written
from workbook.nesting.offcuts import Least
from workbook.shop.steel_balance import balance_of
from workbook.structs import replace


def parts(found):
    return found.blanks + found.clean_up + found.kerf + found.slivers + found.offcuts


@given(st.floats(0, 4), st.floats(0, 3), st.floats(0, 900), st.floats(10, 40))
def test_every_square_millimetre_is_somewhere(laid_demo, clean_up, kerf, keep, wide):
    saw = replace(laid_demo.nesting, lost_at_end=clean_up + kerf)
    found = balance_of(saw, laid_demo.layout, clean_up, kerf, Least(keep, wide))
    assert parts(found) == pytest.approx(found.bars, rel=1e-9)
    stock = laid_demo.nesting.stock
    assert found.bars == pytest.approx(sum(stock[u.stock].length * stock[u.stock].width for u in laid_demo.layout.bars))
    blanks = sum(of_points(written(laid_demo.nesting, p)).area for u in laid_demo.layout.bars for p in u.pieces)
    assert found.blanks == pytest.approx(blanks, rel=1e-9)
    assert min(found.clean_up, found.kerf, found.slivers, found.offcuts) >= -1e-6


@given(st.data(), st.floats(-30, 30), st.floats(-15, 15))
def test_it_adds_up_for_a_layout_with_clashes_too(laid_demo, data, dx, dy):
    bar = data.draw(st.integers(0, len(laid_demo.layout.bars) - 1))
    piece = by_steps(laid_demo.layout.bars[bar].pieces[0], dx, dy, 0.5)
    layout = put(laid_demo.layout, (bar, 0), piece, bar).layout
    found = balance_of(laid_demo.nesting, layout, 1.6, 0.8, Least(150.0, 19.0))
    assert parts(found) == pytest.approx(found.bars, rel=1e-9)
