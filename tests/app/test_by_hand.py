"""Lay out by hand: a blank dragged, nudged, turned, put on another bar, moved clear, pinned; marked as cut; all undone."""

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QContextMenuEvent
from PySide6.QtWidgets import QApplication, QMenu

from tests.sentences import words_of
from workbook.document.records import AT_HAND, BarRecord
from workbook.document.shop_records import PieceRecord
from workbook.nesting.arranging import unused_bars
from workbook.nesting.verify import faults
from workbook.shop.serials import serials


def middle_of(page, bar, blank):
    """Where a blank is on the widget."""
    return page.bars.pixel(bar, *page.bars.plans[bar].blanks[blank].middle).toPoint()


def drag(qtbot, page, spot, by, release=True):
    at = middle_of(page, *spot)
    qtbot.mousePress(page.bars, Qt.MouseButton.LeftButton, pos=at)
    for step in (0.5, 1.0):
        qtbot.mouseMove(page.bars, at + QPoint(round(by[0] * step), round(by[1] * step)))
    if release:
        qtbot.mouseRelease(page.bars, Qt.MouseButton.LeftButton, pos=at + QPoint(*by))


def piece(page, spot):
    return page.laid.layout.bars[spot[0]].pieces[spot[1]]


def last_on(page, bar):
    """The blank of a bar that lies nearest to end B."""
    blanks = page.bars.plans[bar].blanks
    return bar, max(range(len(blanks)), key=lambda i: blanks[i].span[1])


def test_a_blank_is_dragged_along_its_bar_as_one_step_and_put_back(qtbot, window, page):
    spot, names = last_on(page, 0), serials(page.laid.nesting, page.laid.layout)
    before, steps = piece(page, spot), len(window.workspace.session.steps)
    drag(qtbot, page, spot, (6, 0))
    moved = piece(page, page.bars.chosen)
    assert moved.x > before.x
    assert (moved.x - before.x) % (25.4 / 64) == pytest.approx(0, abs=1e-3) or moved.x == pytest.approx(before.x, abs=30)
    assert serials(page.laid.nesting, page.laid.layout) == names, "every blank keeps its serial"
    assert len(window.workspace.session.steps) == steps + 1
    assert words_of(window.workspace.session.steps[-1]) == f"{names[spot[0]][spot[1]]} moved"
    assert AT_HAND in window.workspace.session.document.records
    window.workspace.undo()
    assert piece(page, spot) == before
    window.workspace.redo()
    assert piece(page, spot) == moved


def test_a_blank_dragged_on_another_clashes_is_said_and_cannot_be_cut(qtbot, window, page):
    up = piece(page, (0, 1)).y > page.laid.nesting.stock[page.laid.layout.bars[0].stock].width / 2
    drag(qtbot, page, (0, 1), (0, 10 if up else -10))
    assert page.shown.bad
    assert "too near" in page.standing.text()
    assert not page.side.mark_button.isEnabled()
    assert not page.side.print_button.isEnabled()
    assert faults(page.laid.nesting, page.laid.layout)
    page.mark_cut()
    assert not list(window.workspace.session.document.all(PieceRecord))
    page.hand_buttons["clear"].click()
    assert page.bars.chosen not in page.shown.bad


def test_a_drag_is_put_back_by_escape(qtbot, window, page):
    before = page.laid.layout
    drag(qtbot, page, (0, 0), (30, 5), release=False)
    assert page.bars.ghost is not None
    qtbot.keyClick(page.bars, Qt.Key.Key_Escape)
    qtbot.mouseRelease(page.bars, Qt.MouseButton.LeftButton, pos=QPoint(5, 5))
    assert page.bars.ghost is None
    assert page.laid.layout == before
    assert not window.workspace.session.steps


def test_the_chosen_blank_is_moved_by_keys(qtbot, window, page):
    page.bars.setFocus()
    qtbot.keyClick(page.bars, Qt.Key.Key_Right)
    spot = page.bars.chosen
    before = piece(page, spot)
    qtbot.keyClick(page.bars, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    assert piece(page, spot).x == pytest.approx(before.x + 25.4 / 64, abs=1e-3)
    qtbot.keyClick(page.bars, Qt.Key.Key_R)
    assert piece(page, spot).angle != before.angle
    qtbot.keyClick(page.bars, Qt.Key.Key_F)
    assert piece(page, spot).mirrored is not before.mirrored
    for _ in range(3):
        window.workspace.undo()
    assert piece(page, spot) == before


def test_a_blank_goes_to_another_bar_that_suits_it_only(qtbot, window, page):
    by_stock = [use.stock for use in page.laid.layout.bars]
    suits = page.laid.nesting.suits
    pairs = [
        ((b, i), to)
        for b, use in enumerate(page.laid.layout.bars)
        for i, one in enumerate(use.pieces)
        for to in range(len(by_stock))
        if to != b and (one.part, by_stock[to]) in suits and len(use.pieces) > 1
    ]
    spot, to = pairs[0]
    count = len(page.laid.layout.bars[to].pieces)
    page.bars.choose(*spot)
    page.hand.do("down" if to > spot[0] else "up")
    assert len(page.laid.layout.bars[to].pieces) == count + 1
    assert page.bars.chosen[0] == to
    now = [use.stock for use in page.laid.layout.bars]
    other = next(
        (b, 0)
        for b, use in enumerate(page.laid.layout.bars)
        if not any((use.pieces[0].part, stock) in suits for c, stock in enumerate(now) if c != b)
    )
    before = page.laid.layout
    page.bars.choose(*other)
    page.hand.do("down")
    page.hand.do("up")
    assert page.laid.layout == before


def exchangeable(page):
    """Two blanks, each of which may lie on the bar of the other."""
    layout, suits = page.laid.layout, page.laid.nesting.suits
    spots = [(b, i) for b, use in enumerate(layout.bars) for i in range(len(use.pieces))]
    return next(
        (a, b)
        for a in spots
        for b in spots
        if a < b and {(piece(page, a).part, layout.bars[b[0]].stock), (piece(page, b).part, layout.bars[a[0]].stock)} <= suits
    )


def test_two_blanks_are_exchanged_by_click_and_by_keys_and_each_keeps_its_serial(qtbot, window, page):
    first, second = exchangeable(page)
    before, names = page.laid.layout, serials(page.laid.nesting, page.laid.layout)
    page.bars.choose(*first)
    page.hand_buttons["exchange"].click()
    assert page.bars.offered == first
    assert "click another blank" in page.standing.text()
    qtbot.mouseClick(page.bars, Qt.MouseButton.LeftButton, pos=middle_of(page, *second))
    assert page.bars.offered is None
    assert page.bars.chosen == second
    after = serials(page.laid.nesting, page.laid.layout)
    assert (after[second[0]][second[1]], after[first[0]][first[1]]) == (
        names[first[0]][first[1]],
        names[second[0]][second[1]],
    )
    assert words_of(window.workspace.session.steps[-1]).endswith("exchanged")
    window.workspace.undo()
    assert page.laid.layout == before

    page.bars.choose(*first)
    page.bars.setFocus()
    qtbot.keyClick(page.bars, Qt.Key.Key_X)
    page.bars.choose(*second)
    assert "Enter" in page.standing.text(), "it is still said how to end"
    qtbot.keyClick(page.bars, Qt.Key.Key_Return)
    assert serials(page.laid.nesting, page.laid.layout) == after


def test_an_offer_of_exchange_is_ended_by_escape_or_a_click_beside(qtbot, window, page):
    steps = len(window.workspace.session.steps)
    page.bars.choose(0, 0)
    page.bars.setFocus()
    qtbot.keyClick(page.bars, Qt.Key.Key_X)
    qtbot.keyClick(page.bars, Qt.Key.Key_Escape)
    assert page.bars.offered is None
    qtbot.keyClick(page.bars, Qt.Key.Key_X)
    qtbot.mouseClick(page.bars, Qt.MouseButton.LeftButton, pos=QPoint(3, 3))
    assert page.bars.offered is None
    assert len(window.workspace.session.steps) == steps


def test_blanks_of_different_bars_are_not_exchanged(qtbot, window, page):
    layout, suits = page.laid.layout, page.laid.nesting.suits
    spots = [(b, i) for b, use in enumerate(layout.bars) for i in range(len(use.pieces))]
    first, second = next((a, b) for a in spots for b in spots if (piece(page, a).part, layout.bars[b[0]].stock) not in suits)
    page.bars.choose(*first)
    page.hand.do("exchange")
    qtbot.mouseClick(page.bars, Qt.MouseButton.LeftButton, pos=middle_of(page, *second))
    assert "need different bars" in window.status.text()
    assert page.laid.layout == layout


def test_a_blank_is_dragged_to_a_bar_that_was_not_used(qtbot, window, page):
    spot = next((b, 0) for b, use in enumerate(page.laid.layout.bars) if len(use.pieces) > 1)
    bars, high = len(page.laid.layout.bars), page.bars.minimumHeight()
    at = middle_of(page, *spot)
    qtbot.mousePress(page.bars, Qt.MouseButton.LeftButton, pos=at)
    qtbot.mouseMove(page.bars, at + QPoint(0, 8))
    spare = page.bars.spare
    assert spare
    assert page.bars.minimumHeight() > high
    down = round(page.bars.pixel(bars, 0, 0).y() - page.bars.pixel(spot[0], 0, 0).y())
    qtbot.mouseMove(page.bars, at + QPoint(0, down))
    assert page.bars.ghost.bar == bars
    qtbot.mouseRelease(page.bars, Qt.MouseButton.LeftButton, pos=at + QPoint(0, down))
    assert len(page.laid.layout.bars) == bars + 1
    assert page.bars.chosen == (bars, 0)
    assert page.bars.plans[bars].name == spare[0].name
    assert not page.shown.bad
    assert not page.bars.spare
    assert page.bars.minimumHeight() > high
    window.workspace.undo()
    assert len(page.laid.layout.bars) == bars


def test_the_bound_of_a_layout_that_buys_more_is_not_its_own_price_and_falls_back(qtbot, window, page):
    """A blank put on a bar that is bought for it alone: the layout is dearer, and never called the best."""
    before = page.laid.costs
    spot = next((b, 0) for b, use in enumerate(page.laid.layout.bars) if len(use.pieces) > 1)
    job = page.laid.nesting
    page.bars.choose(*spot)
    stock = next(s for s in unused_bars(job, page.laid.layout, piece(page, spot).part) if job.stock[s].source == "buy")
    page.hand.to_unused(stock)
    assert page.laid.costs.bars > before.bars
    assert page.laid.costs.bound < page.laid.costs.bars
    page.hand.do("up")
    assert page.laid.costs.bound <= page.laid.costs.bars


def test_a_right_click_over_an_unused_bar_in_a_drag_opens_nothing_and_one_on_an_offer_ends_it(qtbot, window, page):
    asked = []
    page.bars.menu_wanted.connect(lambda *spot: asked.append(spot))
    drag(qtbot, page, (0, 0), (0, 9), release=False)
    at = page.bars.pixel(len(page.bars.plans), 20.0, 5.0).toPoint()
    QApplication.sendEvent(page.bars, QContextMenuEvent(QContextMenuEvent.Reason.Mouse, at, page.bars.mapToGlobal(at)))
    assert not asked
    qtbot.keyClick(page.bars, Qt.Key.Key_Escape)
    layout = page.laid.layout
    page.bars.choose(0, 0)
    page.hand.do("exchange")
    qtbot.mousePress(page.bars, Qt.MouseButton.RightButton, pos=middle_of(page, 0, 1))
    assert page.bars.offered is None
    assert page.laid.layout == layout


def test_a_drag_over_unused_bars_that_ends_elsewhere_leaves_none(qtbot, page):
    drag(qtbot, page, (0, 0), (0, 9), release=False)
    assert page.bars.spare
    qtbot.keyClick(page.bars, Qt.Key.Key_Escape)
    assert not page.bars.spare
    assert page.bars.painted_part(0).name.startswith("Bar 1")


def test_the_menu_puts_a_blank_on_a_bar_not_used_yet(qtbot, page):
    spot = next((b, 0) for b, use in enumerate(page.laid.layout.bars) if len(use.pieces) > 1)
    bars = len(page.laid.layout.bars)
    page.bars.choose(*spot)
    page.bars.menu_wanted.emit(*spot, QPoint(10, 10))
    menu = page.findChild(QMenu)
    below = next(action.menu() for action in menu.actions() if action.text() == "To a bar not yet used")
    below.actions()[0].trigger()
    menu.close()
    assert len(page.laid.layout.bars) == bars + 1
    assert not page.shown.bad


def test_what_was_moved_is_pinned_and_the_rest_gets_better_round_it(qtbot, window, page):
    spot = last_on(page, 0)
    drag(qtbot, page, spot, (8, 0))
    assert not page.shown.bad
    moved, chosen = piece(page, page.bars.chosen), page.bars.chosen
    qtbot.keyClick(page.bars, Qt.Key.Key_Space)
    assert chosen in page.shown.pinned
    assert page.search.running
    with qtbot.waitSignal(page.search.reported, timeout=30_000):
        pass
    page.search.stop()
    assert moved in [own for use in page.laid.layout.bars for own in use.pieces]
    assert faults(page.laid.nesting, page.laid.layout) == []


def test_one_in_the_way_is_not_pinned(qtbot, window, page):
    drag(qtbot, page, (0, 1), (14, 10))
    steps = len(window.workspace.session.steps)
    page.toggle_pin(*page.bars.chosen)
    assert "in the way" in window.status.text()
    assert len(window.workspace.session.steps) == steps


def test_marked_as_cut_everything_is_booked_and_one_undo_takes_it_back(qtbot, window, page):
    document, layout = window.workspace.session.document, page.laid.layout
    blanks = sum(len(use.pieces) for use in layout.bars)
    page.side.mark_button.click()
    after = window.workspace.session.document
    assert len(list(after.all(PieceRecord))) == blanks
    assert any(r.bar.offcut and r.bar.have for r in after.all(BarRecord))
    assert not window.workspace.model.job.make
    assert page.laid is None
    assert "Nothing to lay out" in page.side.words.text()
    window.workspace.undo()
    assert window.workspace.session.document == document
    assert page.laid.layout == layout


def test_a_layout_by_hand_is_there_again_when_the_window_is_another(qtbot, window, page):
    from workbook.app.pages.layout.page import LayOutPage

    spot = last_on(page, 0)
    drag(qtbot, page, spot, (8, 0))
    layout = page.laid.layout
    again = LayOutPage(window.workspace)
    qtbot.addWidget(again)
    again.entered()
    assert again.laid.layout == layout
    assert serials(again.laid.nesting, again.laid.layout) == serials(page.laid.nesting, page.laid.layout)
    again.search.close()


def test_orders_and_bars_are_ticked_in_and_out(qtbot, window, page):
    widget = page.side.choice.bars
    item = next(widget.item(n) for n in range(widget.count()) if "on hand" in widget.item(n).text())
    name = item.text().split("   ")[0]
    item.setCheckState(Qt.CheckState.Unchecked)
    assert name not in [bar.name for bar in window.workspace.model.job.bars]
    window.workspace.undo()
    assert name in [bar.name for bar in window.workspace.model.job.bars]


def test_the_figures_open_to_how_they_came_about(qtbot, page):
    for name, first in (("bars", "Bars"), ("lost", "Lost"), ("steel", "Steel")):
        figure = page.side.figures[name]
        qtbot.mouseClick(figure.value, Qt.MouseButton.LeftButton)
        assert figure.dialog.tree.texts()[0][0] == first
        figure.dialog.close()


def test_a_place_between_the_bars_is_no_blank(page):
    assert page.bars.at(QPointF(5, 1)) is None or page.bars.at(QPointF(5, 1))[1] == -1


def test_kept_layouts_are_pictured_side_by_side(qtbot, page):
    page.keep()
    drag(qtbot, page, last_on(page, 0), (8, 0))
    page.keep()
    kept = page.side.kept
    pictures = [kept.item(n).icon().pixmap(kept.iconSize()).toImage() for n in range(kept.count())]
    assert len(pictures) == 2
    assert pictures[0] != pictures[1], "they show where the blanks lie"
    assert len({pictures[0].pixelColor(x, y).name() for x in range(0, 120, 3) for y in range(0, 48, 3)}) > 2


def test_a_move_undone_from_another_page_leaves_a_page_that_lays_out_when_it_is_entered(qtbot, window, page):
    drag(qtbot, page, last_on(page, 0), (8, 0))
    window.show_page("draw")
    page.shown._seen.clear()  # as after a restart: nothing is known of what was shown before
    window.workspace.undo()
    window.show_page("layout")
    qtbot.waitUntil(lambda: page.laid is not None, timeout=30_000)
    assert faults(page.laid.nesting, page.laid.layout) == []
