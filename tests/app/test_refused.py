"""What a check stops is not printed or cut by a menu either: it says what the dialog says, before it asks for a file."""

import pytest
from PySide6.QtWidgets import QFileDialog

from tests.app.test_outline import drawing
from tests.app.waiting import at_rest
from workbook.app.dialogs.export import ExportDialog
from workbook.document.records import Revision
from workbook.problems import JobError
from workbook.structs import replace
from workbook.tasks.exports import Wanted, exported
from workbook.template.model import TangForm


@pytest.fixture
def said(window, monkeypatch):
    """What is said; whoever asks for a file fails."""

    def asked(*given):
        raise AssertionError("no file is asked for")

    monkeypatch.setattr(QFileDialog, "getSaveFileName", asked)
    words = []
    monkeypatch.setattr(window, "say_trouble", lambda title, trouble: words.append((title, trouble.lines())))
    return words


def refused(wanted, key):
    with pytest.raises(JobError) as trouble:
        exported(wanted, [key])
    return trouble.value.lines()


@pytest.mark.parametrize(
    ("save", "key"), [("print_template", "sheets"), ("print_bench_set", "sheets"), ("save_cut_file", "cutting")]
)
def test_a_template_that_is_stopped(window, said, save, key):
    from workbook.app.as_it_is import as_it_is
    from workbook.app.export import run_for

    space = window.workspace
    space.edit("tang.form", TangForm.HIDDEN)
    space.edit("tang.length", 200.0)
    getattr(window.printing, save)()
    at_rest(window)
    same = refused(Wanted(model=space.model, run=run_for(as_it_is(space)), keys=(space.chosen,)), key)
    assert any("The tang is longer" in line for line in same)
    assert [lines for _, lines in said] == [same]
    assert not list(space.session.document.all(Revision))


def test_a_drawing_has_a_bench_set_without_a_bench_card(qtbot, window, said, tmp_path):
    window.filing.open_file(drawing(tmp_path / "old pattern.dxf", 4))
    at_rest(window)
    assert window.workspace.name == "old pattern"
    window.printing.print_bench_set()
    (dialog,) = window.findChildren(ExportDialog)
    qtbot.waitUntil(lambda: bool(dialog.files), timeout=20_000)
    assert list(dialog.files) == ["old-pattern.pdf"]
    assert not said


@pytest.mark.parametrize(("save", "key"), [("print_bars", "bars"), ("draw_bars", "bars-drawing"), ("cut_bars", "bars-cut")])
def test_bars_whose_blanks_clash(qtbot, window, said, save, key):
    from workbook.app.as_it_is import as_it_is
    from workbook.app.export import run_for

    window.show_page("layout")
    page = window.bars_page()
    qtbot.waitUntil(lambda: page.laid is not None, timeout=60_000)
    page.search.stop()
    use = page.laid.layout.bars[0]
    on = replace(use, pieces=(use.pieces[0], replace(use.pieces[1], x=use.pieces[0].x, y=use.pieces[0].y), *use.pieces[2:]))
    clash = replace(page.laid, layout=replace(page.laid.layout, bars=(on, *page.laid.layout.bars[1:])))
    page.shown.laid = clash
    steps = len(window.workspace.session.steps)
    getattr(window.printing, save)()
    at_rest(window)
    space = window.workspace
    same = refused(Wanted(model=space.model, run=run_for(as_it_is(space)), keys=(), laid=clash), key)
    assert "are too close. Move them apart first." in same[0]
    assert [lines for _, lines in said] == [same]
    assert len(space.session.steps) == steps
    page.search.close()
