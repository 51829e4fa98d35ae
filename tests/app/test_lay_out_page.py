"""Lay out: the search in its worker, its buttons, its words."""

from dataclasses import replace

import pytest

from workbook.nesting.bounds import least_lost
from workbook.nesting.verify import faults
from workbook.tasks.load import shaped


@pytest.fixture
def page(qtbot, window):
    window.show_page("layout")
    made = window.bars_page()
    qtbot.waitUntil(lambda: made.laid is not None, timeout=30_000)
    yield made
    made.search.close()


def test_the_first_layout_that_shows_is_sound(page):
    assert faults(page.laid.nesting, page.laid.layout) == []
    assert page.print_button.isEnabled()
    assert page._figures["bars"][0].text() == str(len(page.laid.layout.bars))


def test_the_words_speak_of_the_layout_shown(page):
    least = least_lost(page.laid.nesting, page.laid.layout)
    assert least > 0
    assert f"{least:.0%}" in page._words.text()
    assert f"{page.laid.costs.bound}" in page._words.text()


def test_stop_stops_and_search_on_begins_again(qtbot, page):
    if page.search.running:
        with qtbot.waitSignal(page.search.stopped):
            page.stop_button.click()
    assert not page.search.running
    assert page.again_button.isVisibleTo(page)
    page.again_button.click()
    assert page.search.running
    with qtbot.waitSignal(page.search.reported, timeout=30_000):
        pass


def test_an_edited_template_is_laid_out_anew_when_the_page_is_entered(qtbot, window, page):
    before = page.laid
    window.show_page("draw")
    window.workspace.edit("blade.length", 120.0)
    window.show_page("layout")
    qtbot.waitUntil(lambda: page.laid is not None and page.laid is not before, timeout=30_000)
    petty = next(part for part in page.laid.nesting.parts if part.name == "Petty")
    assert petty.outline[:, 0].max() == pytest.approx(120.0, abs=0.01)


def test_a_blank_that_fits_no_bar_is_said_in_words(qtbot, window):
    job = window.workspace.loaded.job
    narrow = tuple(replace(bar, width=20.0, measured=type(bar.measured)()) for bar in job.bars)
    window.workspace.open_job(shaped(replace(job, bars=narrow)))
    window.show_page("layout")
    words = window.bars_page()._left_out.text()
    assert "too narrow" in words
    assert not window.bars_page().print_button.isEnabled()


def test_a_dead_worker_is_reported_and_replaced(qtbot, page):
    page.search.stop()
    page.again_button.click()
    with qtbot.waitSignal(page.search.failed, timeout=30_000):
        page.search._process.kill()
    assert "unexpectedly" in page._words.text()
    page.again_button.setVisible(True)
    page.again_button.click()
    with qtbot.waitSignal(page.search.reported, timeout=30_000):
        pass


def test_bar_sheets_and_cut_file_are_written_where_asked(qtbot, window, page, tmp_path, monkeypatch):
    monkeypatch.setattr("workbook.app.window.QFileDialog.getSaveFileName", lambda *a: (str(tmp_path / "bars.pdf"), ""))
    opened = []
    monkeypatch.setattr("workbook.app.window.QDesktopServices.openUrl", opened.append)
    page.print_button.click()
    assert (tmp_path / "bars.pdf").read_bytes().startswith(b"%PDF")
    assert len(opened) == 1
    monkeypatch.setattr("workbook.app.window.QFileDialog.getSaveFileName", lambda *a: (str(tmp_path / "bars.dxf"), ""))
    page.cut_button.click()
    assert "LWPOLYLINE" in (tmp_path / "bars.dxf").read_text()


def test_a_template_sheet_and_its_cut_file_are_written(window, tmp_path, monkeypatch):
    monkeypatch.setattr("workbook.app.window.QFileDialog.getSaveFileName", lambda *a: (str(tmp_path / "petty.pdf"), ""))
    monkeypatch.setattr("workbook.app.window.QDesktopServices.openUrl", lambda url: True)
    window.draw.print_button.click()
    assert (tmp_path / "petty.pdf").read_bytes().startswith(b"%PDF")
    monkeypatch.setattr("workbook.app.window.QFileDialog.getSaveFileName", lambda *a: (str(tmp_path / "petty.dxf"), ""))
    window.draw.cut_button.click()
    assert "CIRCLE" in (tmp_path / "petty.dxf").read_text()


def test_a_folder_that_cannot_be_written_gives_a_message_and_no_file(window, tmp_path, monkeypatch):
    in_the_way = tmp_path / "file"
    in_the_way.write_text("x")
    monkeypatch.setattr("workbook.app.window.QFileDialog.getSaveFileName", lambda *a: (str(in_the_way / "petty.dxf"), ""))
    said = []
    monkeypatch.setattr(window, "say_trouble", lambda title, trouble: said.append((title, trouble.lines())))
    window.draw.cut_button.click()
    assert "could not be written" in said[0][0]
    assert in_the_way.read_text() == "x"
