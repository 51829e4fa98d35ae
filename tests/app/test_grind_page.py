"""Grind: the section by mouse and keys, the bar's readings, what if, bevels, lightening holes; every change an edit."""

from math import radians, tan

import numpy as np
import pypdfium2
import pytest
from PySide6.QtCore import QPoint, Qt

from tests.app.waiting import saved_in_preview
from tests.named import key_of, template_of
from workbook.app.canvas.shading import Light, brightness
from workbook.document.actions import rack
from workbook.document.records import BarRecord
from workbook.grind.stations import State
from workbook.shop.job import Measured
from workbook.structs import replace
from workbook.template.model import Bevel, Held
from workbook.units import INCH, reading


@pytest.fixture
def page(window, qtbot):
    window.show_page("grind")
    found = window.grind_page()
    qtbot.waitUntil(lambda: found.board._picture is not None)
    return found


def typed(qtbot, field, text):
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)


def opened(page, name):
    page.side.groups[name].head.set_open(True)
    return page.side.groups[name]


def big(page):
    return [value.text() for holder, value, _ in page.side.card.big if not holder.isHidden()]


def measured(window):
    return next(r.bar.measured for r in window.workspace.session.document.all(BarRecord) if r.bar.measured.anything)


def test_the_card_says_what_to_set_for_the_bar_as_measured(page):
    """(0.0775 - 0.020) / 2 = 0.02875; arithmetic."""
    assert big(page)[:2] == ["0.0288 in", "0.020 in"]
    assert page.side.card.readings.texts()[0][0].startswith("1⁄8")


def test_three_readings_of_the_bar_change_everything_and_can_be_undone(qtbot, window, page):
    typed(qtbot, page.side.bar_form.field("middle"), "0.0760")
    typed(qtbot, page.side.bar_form.field("far"), "0.0770")
    assert measured(window).middle == pytest.approx(0.0760 * INCH)
    assert big(page)[0] == "0.028 in"  # the least counts
    assert "differ by" in page.side.bar_words.text()
    window.workspace.undo()
    window.workspace.undo()
    assert measured(window).middle is None
    assert big(page)[0] == "0.0288 in"


def test_an_emptied_field_takes_a_reading_back(qtbot, window, page):
    field = page.side.bar_form.field("far")
    assert field.text() == ""
    typed(qtbot, field, "0.0770")
    assert measured(window).far == pytest.approx(0.0770 * INCH)
    field.setFocus()
    field.selectAll()
    qtbot.keyClick(field, Qt.Key.Key_Delete)
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert measured(window).far is None
    assert field.text() == ""


def test_a_reading_that_cannot_be_of_this_bar_is_refused_in_words(qtbot, window, page):
    field = page.side.bar_form.field("far")
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, "0.77")
    assert "That reading is not possible on this bar" in page._trouble.text()
    qtbot.keyClick(field, Qt.Key.Key_Escape)
    assert measured(window).far is None
    assert not page._trouble.isVisibleTo(page)


def test_a_bow_is_kept(qtbot, window, page):
    typed(qtbot, page.side.bar_form.field("bow"), "0.030")
    assert measured(window).bow == pytest.approx(0.030 * INCH)


def test_the_section_goes_with_the_mouse_and_the_arrow_keys(qtbot, page):
    board = page.board
    lay, k = board._layout, board._k()
    start = board.scene.at
    to = start - 30
    x, y = round((lay.side.x + to * lay.scale) * k), 60
    qtbot.mousePress(board, Qt.MouseButton.LeftButton, pos=QPoint(round((lay.side.x + start * lay.scale) * k), y))
    qtbot.mouseMove(board, QPoint(x, y))
    qtbot.mouseRelease(board, Qt.MouseButton.LeftButton, pos=QPoint(x, y))
    assert board.scene.at == pytest.approx(to, abs=0.5)
    before = board.scene.at
    qtbot.keyClick(board, Qt.Key.Key_Right)
    assert board.scene.at == pytest.approx(before + INCH / 64)
    qtbot.keyClick(board, Qt.Key.Key_Left, Qt.KeyboardModifier.ShiftModifier)
    assert board.scene.at == pytest.approx(before - 7 * INCH / 64)
    assert [s.state for s in board.sections] == list(State)
    assert all(s.x == board.scene.at for s in board.sections)
    qtbot.keyClick(board, Qt.Key.Key_Home)
    assert board.scene.at == pytest.approx(8.0)
    qtbot.keyClick(board, Qt.Key.Key_End)
    assert board.scene.at == pytest.approx(139.7 - 0.5)


def test_the_section_stays_where_it_was_put_on_each_template(qtbot, window, page):
    qtbot.keyClick(page.board, Qt.Key.Key_Home)
    there = page.board.scene.at
    window.workspace.choose(key_of(window.workspace, "Santoku type"))
    assert page.board.scene.at != there
    window.workspace.choose(key_of(window.workspace, "Petty"))
    assert page.board.scene.at == there


def test_the_lamp_moves_with_the_mouse_and_the_picture_with_it(qtbot, page):
    board = page.board
    lay, k, before = board._layout, board._k(), board._picture
    middle = QPoint(round((lay.shaded.x + 20 * lay.scale) * k), round(-lay.shaded.y * k) - 5)
    light = board.light
    qtbot.mouseClick(board, Qt.MouseButton.LeftButton, pos=middle)
    assert board.light != light
    assert board._picture is not before
    turned = board.light.round
    qtbot.keyClick(board, Qt.Key.Key_BracketLeft)
    assert board.light.round == pytest.approx((turned + 12) % 360)


def test_another_bevel_is_an_edit(qtbot, window, page):
    window.workspace.edit("grind.height", 18.0)
    page.bevels.button(1).click()
    assert template_of(window.workspace, "Petty").grind.bevel is Bevel.HOLLOW
    assert "Wheel contact, above the edge" in [row[0] for row in page.side.rest.texts()]
    window.workspace.undo()
    assert template_of(window.workspace, "Petty").grind.bevel is Bevel.FLAT
    assert page.bevels.checkedId() == 0


def test_a_single_bevel_has_one_line_to_scribe(window, page):
    window.workspace.edit("grind.bevel", Bevel.SINGLE)
    words = [w.text() for holder, _, w in page.side.card.big if not holder.isHidden()]
    assert words == ["Scribe one line, from the back", "Bevel, on its one face"]


def test_what_is_held_along_the_blade_is_a_button(page, window):
    page._held.click()
    assert template_of(window.workspace, "Petty").grind.held is Held.ANGLE
    assert page._held.text() == "Constant angle"


def test_what_if_works_out_the_fourth_and_is_used_only_when_asked(qtbot, window, page):
    opened(page, "whatif")
    form = page.side.what_if.form
    template = template_of(window.workspace, "Petty")
    typed(qtbot, form.field("height"), "0.75")
    bevel = page.side.what_if._bevel
    assert bevel.height == pytest.approx(0.75 * INCH)
    assert tan(bevel.angle) == pytest.approx((bevel.thickness - bevel.edge) / (2 * bevel.height))
    assert template_of(window.workspace, "Petty") == template
    page.side.what_if.use_button.click()
    grind = template_of(window.workspace, "Petty").grind
    rise = (0.0775 - 2 * 0.004 - 0.008) * INCH
    assert grind.height == pytest.approx(rise / (2 * tan(bevel.angle)), rel=1e-3)
    window.workspace.undo()
    assert template_of(window.workspace, "Petty") == template


@pytest.mark.parametrize(
    ("key", "text", "words"),
    [
        ("height", "3", "reach past the spine"),
        ("thickness", "0.1", "under “Bar in hand”"),
        ("edge", "0.005", "out of its range"),
    ],
)
def test_what_if_says_why_it_cannot_be_used(qtbot, window, page, key, text, words):
    opened(page, "whatif")
    template = template_of(window.workspace, "Petty")
    typed(qtbot, page.side.what_if.form.field(key), text)
    page.side.what_if.use_button.click()
    assert words in page.side.what_if.wrong.text()
    assert template_of(window.workspace, "Petty") == template
    window.workspace.choose(key_of(window.workspace, "Santoku type"))
    assert page.side.what_if.wrong.text() == ""


def test_what_if_says_when_no_bevel_has_the_numbers(qtbot, page):
    opened(page, "whatif")
    typed(qtbot, page.side.what_if.form.field("edge"), "0.2")
    assert "no bevel has these numbers" in page.side.what_if.wrong.text().lower()
    typed(qtbot, page.side.what_if.form.field("edge"), "0.02")
    assert not page.side.what_if.wrong.isVisibleTo(page)


def test_what_would_change_it_is_weighed_when_it_is_looked_at(qtbot, page):
    opened(page, "changes")
    qtbot.waitUntil(lambda: len(page.side.changes.texts()) > 3)
    assert "each scale 1 mm thinner" in [row[0] for row in page.side.changes.texts()]
    assert any(row[0] == "without B1" for row in page.side.changes.texts())


def test_lightening_holes_are_looked_for_and_undone(qtbot, window, page):
    opened(page, "changes")
    template = template_of(window.workspace, "Petty")
    typed(qtbot, page.side._wanted, "-1.54")
    page.side.suggest.click()
    qtbot.waitUntil(lambda: template_of(window.workspace, "Petty") != template, timeout=20_000)
    assert len(template_of(window.workspace, "Petty").holes) > 3
    assert page.side.suggest.text() == "Find lightening holes"
    window.workspace.undo()
    assert template_of(window.workspace, "Petty") == template


def test_a_balance_no_hole_can_bring_is_said(qtbot, window, page):
    opened(page, "changes")
    typed(qtbot, page.side._wanted, "-4")
    page.side.suggest.click()
    qtbot.waitUntil(lambda: "No lightening hole" in page.side._suggested.text(), timeout=20_000)


def test_a_grind_that_stops_cannot_be_printed(window, page):
    window.workspace.edit("grind.height", 8.0)
    window.workspace.edit("grind.edge_angle", 5.0)
    assert not page.print_button.isEnabled()
    window.workspace.undo()
    window.workspace.undo()
    assert page.print_button.isEnabled()


def test_the_page_shows_what_was_done_elsewhere_when_it_is_shown(window, page):
    window.show_page("draw")
    window.workspace.edit("grind.edge_before_hardening", 0.030 * INCH)
    window.show_page("grind")
    assert big(page)[1] == "0.030 in"


def test_the_unit_may_be_mm(window, page):
    window.workspace.choose_unit("mm")
    assert big(page)[:2] == ["0.73 mm", "0.51 mm"]


def test_the_states_may_lie_over_each_other(page):
    page._over.click()
    assert page.board.scene.over


def test_the_bench_set_is_previewed_and_written_whole(qtbot, window, page, tmp_path, monkeypatch):
    """Its last page is the bench card."""
    target = tmp_path / "bench.pdf"
    monkeypatch.setattr("workbook.app.asking.QFileDialog.getSaveFileName", lambda *a: (str(target), ""))
    page.print_button.click()
    dialog = saved_in_preview(qtbot, window)
    assert target.read_bytes() == dialog.files["petty.pdf"]
    opened_ = pypdfium2.PdfDocument(target.read_bytes())
    words = [one.get_textpage().get_text_bounded() for one in opened_]
    opened_.close()
    assert "Bench card" in words[-1]
    assert "Right face, true size" in " ".join(words)
    assert "Master template" not in " ".join(words)
    assert window.workspace.revisions()[-1].why == "Template sheets"


def test_a_face_lit_from_the_spine_is_brighter_where_it_leans_to_it():
    """Lambert: what leans towards the lamp is lighter than what lies flat, and that than what leans away."""
    y, x = np.mgrid[0:40, 0:60].astype(np.float32) * np.float32(0.2)
    light = Light(round=90.0, above=40.0)
    towards, flat, away = (brightness((k * y).astype(np.float32), 0.2, light).mean() for k in (-0.03, 0.0, 0.03))
    assert towards > flat > away
    turned = brightness((0.03 * x).astype(np.float32), 0.2, replace(light, round=0.0)).mean()
    assert turned < flat
    assert Light().towards[2] == pytest.approx(np.sin(radians(Light().above)))


def test_a_search_for_holes_ends_when_another_template_is_chosen(qtbot, window, page):
    opened(page, "changes")
    typed(qtbot, page.side._wanted, "-1.54")
    before = {name: template_of(window.workspace, name) for name in ("Petty", "Santoku type")}
    page.side.suggest.click()
    window.show_page("draw")
    window.workspace.choose(key_of(window.workspace, "Santoku type"))
    assert page.side._search is None
    qtbot.wait(50)
    assert {name: template_of(window.workspace, name) for name in before} == before


def with_bars(window):
    """Another bar on the rack that the Petty can be made of: 0.3 mm thicker than its own, read at two places."""
    document = window.workspace.session.document
    own = next(record for record in document.all(BarRecord) if record.bar.have)
    nominal = window.workspace.blank.thickness
    thick = replace(
        own.bar, name="Thick", thickness=nominal + 0.3, buy=False, measured=Measured(thickness=nominal + 0.28, far=nominal + 0.25)
    )
    window.workspace.do(rack.add_bar(document, thick, "thick", window.workspace.stamp()))
    return nominal


def choose_in(box, word):
    index = next(n for n in range(box.count()) if word in box.itemText(n) and not box.itemText(n).startswith("Most likely"))
    box.setCurrentIndex(index)
    box.activated.emit(index)


def test_the_bar_chosen_counts_everywhere_and_is_remembered(window, page):
    """Scribe by hand: (nominal + 0.25 - edge) / 2, from the least reading; 0.25 over what the template asks for is said."""
    nominal, space = with_bars(window), window.workspace
    box = page.side.bars.box
    assert "measured" in box.currentText()
    choose_in(box, "Thick")
    assert "Thick" in box.currentText()
    edge = space.chosen_template.grind.edge_before_hardening
    assert big(page)[0].startswith(reading((nominal + 0.25 - edge) / 2, space.unit))
    assert f"{reading(0.25, space.unit)} {space.unit} more to grind" in page.side.bar_words.text()
    assert "Thick" in window.draw.panel.bars.box.currentText()
    assert space.bar == pytest.approx(nominal + 0.25)
    space.undo()
    assert box.currentText().startswith("Most likely")
    assert not page.side.bar_words.text()


def test_a_bar_is_chosen_on_draw_too_and_nominal_is_a_choice(window, page):
    nominal, space = with_bars(window), window.workspace
    window.show_page("draw")
    choose_in(window.draw.panel.bars.box, "nominal")
    assert space.bar == nominal
    window.show_page("grind")
    assert "nominal" in page.side.bars.box.currentText()
    assert "nominal thickness" in page.side.bar_words.text()
    assert page.side.bar_form.isHidden()
