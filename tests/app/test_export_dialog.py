"""Write or print: the very file drawn back, saved, dragged out, printed at true size; files checked; prints known again."""

import gc
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtPrintSupport import QPrinter, QPrintPreviewDialog, QPrintPreviewWidget
from PySide6.QtWidgets import QFileDialog, QInputDialog, QMessageBox

from tests.app.waiting import at_rest
from tests.counts import some, tries
from tests.formats.bad_drawings import fresh
from tests.named import key_of
from workbook.app.dialogs.export import SETS, ExportDialog
from workbook.app.dialogs.preflight import PreflightDialog, judge_file
from workbook.app.kept import export_choices
from workbook.app.paper import prepare, print_pages
from workbook.app.proof import page_sizes, proofs
from workbook.sheets.printer import Printer
from workbook.sheets.template_sheet import PART_WORDS, PARTS
from workbook.tasks.exports import EXPORTS, exported
from workbook.tasks.prints import recognised
from workbook.template.mark import shape_mark
from workbook.template.service import Service


@pytest.fixture
def dialog(window, qtbot):
    made = ExportDialog(window)
    made.show()
    qtbot.waitUntil(lambda: bool(made.files), timeout=20000)
    return made


def choose(qtbot, dialog, key, value):
    """Another choice, by the keys of its field; waits until the file is made."""
    field = dialog.form.field(key)
    before = dialog.number
    field.setFocus()
    field.setCurrentIndex(field.findData(value))
    field.activated.emit(field.currentIndex())
    qtbot.waitUntil(lambda: dialog.number > before, timeout=20000)
    number = dialog.number
    qtbot.waitUntil(lambda: bool(dialog.files) or bool(dialog.trouble.text()), timeout=20000)
    assert dialog.number == number


def test_it_opens_on_the_chosen_templates_sheets(dialog):
    assert list(dialog.files) == ["petty.pdf"]
    assert dialog._words.text() == "petty.pdf, page 1 of 3"
    assert not dialog.view._image.isNull()
    assert dialog.save.isEnabled()


def test_pages_are_turned(qtbot, dialog):
    qtbot.mouseClick(dialog.on, Qt.MouseButton.LeftButton)
    assert dialog._words.text() == "petty.pdf, page 2 of 3"
    qtbot.mouseClick(dialog.back, Qt.MouseButton.LeftButton)
    assert not dialog.back.isEnabled()


def test_fewer_parts_are_fewer_pages(qtbot, dialog):
    for part in ("left", "fold", "scales"):
        dialog.form.field(f"part.{part}").click()
    qtbot.waitUntil(lambda: dialog._words.text().endswith("of 2"), timeout=20000)
    assert export_choices()["part.scales"] is False


def test_a_set_ticks_its_sheets_and_another_choice_of_sheets_is_no_set(qtbot, dialog):
    for name, parts in SETS.items():
        choose(qtbot, dialog, "set", name)
        assert dialog.wanted().parts == tuple(part for part in PART_WORDS if part in parts)
    choose(qtbot, dialog, "set", "master")
    dialog.form.field("part.fold").click()
    assert dialog.form.field("set").currentData() == "own"
    assert dialog.wanted().parts == ("master", "fold")


@pytest.mark.parametrize(("task", "parts"), [("all", PARTS), ("bench", ("right", "fold", "scales", "card"))])
def test_opened_for_a_task_it_ticks_its_sheets_and_remembers_others(qtbot, window, task, parts):
    """For this task only."""
    for other in ("bench", "all"):
        window.show_export("sheets", other)
        (opened,) = (each for each in window.findChildren(ExportDialog) if each.isVisible())
        if other == task:
            assert opened.wanted().parts == parts
            opened.form.field("part.fold").click()
        else:
            assert opened.wanted().parts == tuple(part for part in PART_WORDS if part in SETS[other])
    window.show_export("sheets", task)
    (opened,) = (each for each in window.findChildren(ExportDialog) if each.isVisible())
    assert opened.wanted().parts == tuple(part for part in parts if part != "fold")
    qtbot.waitUntil(lambda: bool(opened.files), timeout=20_000)
    assert opened._words.text().startswith("petty.pdf, page 1 of ")
    opened.close()


def test_a_print_button_means_what_it_says_whatever_was_printed_last(qtbot, window, dialog):
    choose(qtbot, dialog, "which", "all")
    dialog.form.field("mirrored").click()
    dialog.form.field("cut_line").click()
    dialog.close()
    window.show_export("sheets", "bench")
    (opened,) = (each for each in window.findChildren(ExportDialog) if each.isVisible())
    wanted = opened.wanted()
    assert wanted.keys == (window.workspace.chosen,)
    assert not wanted.run.mirrored
    assert not wanted.run.cut_line
    opened.close()


def test_bars_are_printed_to_scribe_from_or_at_true_size_or_both(qtbot, window, page):
    """By the pages of each: together no more than alone, as they share pages."""
    window.show_export("bars")
    (opened,) = (each for each in window.findChildren(ExportDialog) if each.isVisible())
    qtbot.waitUntil(lambda: bool(opened.files), timeout=20_000)
    pages = {}
    for part in ("both", "scribing", "true"):
        choose(qtbot, opened, "bars", part)
        words = [page.get_textpage().get_text_bounded() for page in pypdfium2.PdfDocument(opened.files["bars.pdf"])]
        pages[part] = len(words)
        assert ("Not true size" in " ".join(words)) is (part != "true")
        assert ("true size, part 1" in " ".join(words)) is (part != "scribing")
    assert max(pages["scribing"], pages["true"]) < pages["both"] <= pages["scribing"] + pages["true"]
    opened.close()


def test_what_is_shown_is_what_is_saved(qtbot, dialog, tmp_path, monkeypatch):
    target = tmp_path / "mine.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *a: (str(target), ""))
    qtbot.mouseClick(dialog.save, Qt.MouseButton.LeftButton)
    at_rest(dialog._window)
    assert target.read_bytes() == dialog.files["petty.pdf"]
    space = dialog._window.workspace
    assert [r.why for r in space.revisions()][-1:] == ["Template sheets"]


def test_several_files_go_into_a_folder(qtbot, dialog, tmp_path, monkeypatch):
    choose(qtbot, dialog, "what", "cutting")
    qtbot.waitUntil(lambda: "petty.dxf" in dialog.files, timeout=20000)
    folder = tmp_path / "cutting"
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *a: str(folder))
    qtbot.mouseClick(dialog.save, Qt.MouseButton.LeftButton)
    at_rest(dialog._window)
    assert {p.name for p in folder.iterdir()} == {"petty.dxf", "notes.pdf"}
    assert not dialog.print_button.isVisible()


def test_the_note_to_a_service_says_whom_it_is_from(qtbot, window, dialog):
    """As quotes do: the shop, its address, how it is reached."""
    shop = {"shop": "Harbour Knives", "address": "3 Quay Street", "contact": "555 0134, bench@harbour.example"}
    for key, value in shop.items():
        window.workspace.change_settings(key, value, **{key: value})
    choose(qtbot, dialog, "what", "cutting")
    (page,) = pypdfium2.PdfDocument(dialog.files["notes.pdf"])
    words = " ".join(page.get_textpage().get_text_bounded().split())
    assert "From: Harbour Knives, 3 Quay Street, 555 0134, bench@harbour.example" in words


def test_what_cannot_be_written_is_said_and_nothing_is(qtbot, dialog, tmp_path, monkeypatch):
    target = tmp_path / "a file" / "mine.pdf"
    (tmp_path / "a file").write_text("no folder")
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *a: (str(target), ""))
    qtbot.mouseClick(dialog.save, Qt.MouseButton.LeftButton)
    at_rest(dialog._window)
    assert "cannot be written" in dialog.trouble.text()


def test_the_file_can_be_dragged_out(dialog):
    data = dialog.drag.as_files()
    (url,) = data.urls()
    assert Path(url.toLocalFile()).read_bytes() == dialog.files["petty.pdf"]


def test_bars_want_a_layout_first(qtbot, dialog):
    choose(qtbot, dialog, "what", "bars")
    qtbot.waitUntil(lambda: "Lay the blanks out first" in dialog.trouble.text(), timeout=20000)
    assert not dialog.save.isEnabled()


def test_the_choice_is_remembered(qtbot, window, dialog):
    choose(qtbot, dialog, "what", "svg")
    choose(qtbot, dialog, "which", "all")
    qtbot.waitUntil(lambda: len(dialog.files) == 3, timeout=20000)
    dialog.close()
    again = ExportDialog(window)
    again.show()
    qtbot.waitUntil(lambda: len(again.files) == 3, timeout=20000)
    assert all(name.endswith(".svg") for name in again.files)


@pytest.mark.parametrize("key", some([key for key, export in EXPORTS.items() if export.of not in ("bars", "order")], 2))
def test_everything_of_templates_and_shop_can_be_drawn_back(dialog, key):
    drawn = list(proofs(exported(dialog.wanted(), [key])))
    assert drawn
    for proof in drawn:
        grey = np.frombuffer(proof.image.convertToFormat(proof.image.Format.Format_Grayscale8).constBits(), np.uint8)
        assert grey.min() < 120 < grey.max()  # something is drawn on paper


def test_printing_is_true_to_size(dialog, tmp_path):
    """Printed to a PDF by Qt, read by another library: the page's size, and the check bar of 4 in."""
    file, dots = tmp_path / "printed.pdf", tries(300, 600)  # an inch
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(file))
    printer.setResolution(dots)
    content = dialog.files["petty.pdf"]
    prepare(printer, [content])
    print_pages(printer, [content])
    assert len(page_sizes(file.read_bytes())) == len(page_sizes(content)) == 3
    for size, wanted in zip(page_sizes(file.read_bytes()), page_sizes(content), strict=True):
        assert size == pytest.approx(wanted, abs=0.2)  # Qt's pages are whole points
    pictures = []
    for document in (content, file.read_bytes()):
        opened = pypdfium2.PdfDocument(document)
        pictures.append(255 - opened[0].render(scale=dots / 72, grayscale=True).to_numpy().squeeze())
        opened.close()
    (rows, columns) = (min(p.shape[i] for p in pictures) for i in (0, 1))
    drawn, printed = (p[:rows, :columns] for p in pictures)
    for axis in (0, 1):
        first, second = (np.flatnonzero(p.max(axis=axis) > 110) for p in (drawn, printed))
        assert abs((first[-1] - first[0]) - (second[-1] - second[0])) <= dots / 300  # 0.085 mm over the whole drawing


def test_the_systems_preview_shows_every_page(qtbot, dialog):
    """Its printer must outlive the click that opened it."""
    qtbot.mouseClick(dialog.print_button, Qt.MouseButton.LeftButton)
    preview = dialog.findChild(QPrintPreviewDialog)
    view = preview.findChild(QPrintPreviewWidget)
    qtbot.waitUntil(lambda: view.pageCount() == 3, timeout=20000)
    gc.collect()
    view.updatePreview()
    qtbot.wait(200)
    assert view.pageCount() == 3
    picture = preview.grab().toImage().convertToFormat(QImage.Format.Format_Grayscale8)
    grey = np.frombuffer(picture.constBits(), np.uint8)
    assert grey.min() < 120 < grey.max()
    preview.close()


def judged(window, file):
    """The dialog that comes of looking a file through; None when none does."""
    there = set(window.findChildren(PreflightDialog))
    judge_file(window, file)
    at_rest(window)
    at_rest(window)  # it was asked again, with a unit
    return next(iter(set(window.findChildren(PreflightDialog)) - there), None)


def test_a_cutting_file_is_checked_and_mended(qtbot, window, tmp_path, monkeypatch):
    document = fresh()
    document.modelspace().add_circle((30, 20), 3.0)
    document.saveas(tmp_path / "theirs.dxf")
    dialog = judged(window, tmp_path / "theirs.dxf")
    assert "1 curve drawn twice" in dialog.report.text()
    target = tmp_path / "mended.dxf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *a: (str(target), ""))
    qtbot.mouseClick(dialog.mend, Qt.MouseButton.LeftButton)
    at_rest(window)
    (again,) = (one for one in window.findChildren(PreflightDialog) if one.isVisible())
    assert again.trouble.text().startswith("Repaired: ")
    assert "No problems found." in again.report.text()
    assert not again.mend.isEnabled()


def test_a_cutting_file_without_a_unit_asks_for_it(window, tmp_path, monkeypatch):
    document = fresh()
    document.header["$INSUNITS"] = 0
    document.saveas(tmp_path / "theirs.dxf")
    monkeypatch.setattr(QInputDialog, "getItem", lambda *a: ("mm", True))
    assert "as you say" in judged(window, tmp_path / "theirs.dxf").report.text()
    monkeypatch.setattr(QInputDialog, "getItem", lambda *a: ("mm", False))
    assert judged(window, tmp_path / "theirs.dxf") is None


def test_a_file_that_is_no_drawing_is_said(window, tmp_path):
    (tmp_path / "no.dxf").write_text("nothing")
    assert judged(window, tmp_path / "no.dxf") is None
    (box,) = window.findChildren(QMessageBox)
    assert box.text() == "The file could not be checked"


def test_an_old_print_is_known_again(window):
    space = window.workspace
    now = shape_mark(space.blank)
    assert "is Petty as it is now" in recognised(space.session.document, space.model, [now])
    space.keep_revision(key_of(space, "Petty"), "template sheet")
    space.edit("blade.length", 150.0)
    told = recognised(space.session.document, space.model, [now])
    assert "is Petty, revision 1" in told
    assert "Print it again" in told
    assert "is not a template or saved revision" in recognised(space.session.document, space.model, ["222222"])
    assert "six letters" in recognised(space.session.document, space.model, [])


def test_its_code_can_be_pasted(qtbot, window, monkeypatch):
    mark = shape_mark(window.workspace.blank)
    monkeypatch.setattr(QInputDialog, "getText", lambda *a, **k: (f"Petty; revision 1; {mark}; 26 November 2026", True))
    action = next(
        a for menu in window.menuBar().actions() for a in menu.menu().actions() if a.text() == "C&heck a printed sheet…"
    )
    action.trigger()
    box = window.findChild(QMessageBox)
    assert f"{mark} is Petty as it is now" in box.text()
    box.close()


def menu_of(window, words):
    return next(
        a.menu() for top in window.menuBar().actions() for a in top.menu().actions() if words in a.text().replace("&", "")
    )


def test_printers_and_services_are_chosen_by_name(window, monkeypatch):
    space = window.workspace
    for words, name in (("Printer", "plotter"), ("Cutting service", "jet")):
        monkeypatch.setattr(QInputDialog, "getText", lambda *a, name=name, **k: (name, True))
        menu = menu_of(window, words)
        menu.aboutToShow.emit()
        menu.actions()[-1].trigger()
    settings = space.session.document.settings
    assert (settings.printer.name, settings.printers) == ("plotter", (Printer(),))
    assert (settings.service.name, settings.services) == ("jet", (Service(),))
    assert space.model.job.service.name == "jet"
    menu = menu_of(window, "Printer")
    menu.aboutToShow.emit()
    assert [a.text() for a in menu.actions()][:2] == ["unnamed", "plotter"]
    menu.actions()[0].trigger()
    assert space.session.document.settings.printer == Printer()
    space.undo()
    assert space.session.document.settings.printer.name == "plotter"


def test_a_template_that_a_check_stops_is_not_written(qtbot, window, dialog):
    """An edge angle under the bevel's own."""
    window.workspace.edit("grind.edge_angle", 5.0)
    window.workspace.edit("grind.height", 5.0)
    assert any(p.severity == "stop" for p in window.workspace.model.checked(key_of(window.workspace, "Petty")))
    qtbot.waitUntil(lambda: "no edge can be sharpened" in dialog.trouble.text(), timeout=20000)
    assert not dialog.files
    assert not dialog.save.isEnabled()
    window.workspace.undo()
    window.workspace.undo()
    qtbot.waitUntil(lambda: bool(dialog.files), timeout=20000)


def test_what_is_not_wanted_any_more_cannot_be_saved(qtbot, dialog):
    """Between a choice and its file there is nothing to save."""
    dialog._entered("what", "svg")
    assert not dialog.save.isEnabled()
    assert not dialog.files
    qtbot.waitUntil(lambda: "petty.svg" in dialog.files, timeout=20000)
    assert dialog.save.isEnabled()


def test_what_was_made_for_the_choice_before_does_not_come_after_it(qtbot, dialog):
    """It would be printed, or saved, as what was chosen since."""
    found, number = dict(dialog.files), dialog.number
    field = dialog.form.field("what")
    field.setCurrentIndex(field.findData("cards"))
    field.activated.emit(field.currentIndex())
    dialog._made(number, found, [])  # late
    assert not dialog.files
    assert not dialog.print_button.isEnabled()
    qtbot.waitUntil(lambda: bool(dialog.files), timeout=20000)
    assert list(dialog.files) == ["petty-bench-card.pdf"]


def test_a_change_of_the_template_takes_back_what_was_made(qtbot, window, dialog):
    window.workspace.edit("blade.length", 120.0)
    assert not dialog.files
    assert not dialog.save.isEnabled()
    qtbot.waitUntil(lambda: bool(dialog.files), timeout=20000)


def test_before_the_first_file_is_made_there_is_nothing_to_save_or_print(qtbot, window):
    made = ExportDialog(window)
    made.show()
    assert not made.save.isEnabled()
    assert not made.print_button.isEnabled()
    qtbot.waitUntil(lambda: bool(made.files), timeout=20000)
    assert made.save.isEnabled()
