"""What is replaced was named in full: the suffix that is added, drawings beside a job, several files in a folder."""

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QApplication, QFileDialog, QLabel, QMessageBox

from tests.app.waiting import at_rest
from workbook.app.asking import ask_where, may_replace
from workbook.app.dialogs.export import ExportDialog
from workbook.formats.dxf_out import dxf
from workbook.geometry.drawing import stroke
from workbook.storage.file import read
from workbook.tasks.outlines import read_outline


@pytest.fixture
def answer(qtbot):
    """Clicks a button of the next question, and tells what it said."""

    def click(word):
        said = []

        def look():
            box = QApplication.activeModalWidget()
            if not isinstance(box, QMessageBox):
                QTimer.singleShot(20, look)
                return
            said.extend([box.text(), *box.informativeText().splitlines()])
            assert all(part.textFormat() is Qt.TextFormat.PlainText for part in box.findChildren(QLabel) if part.text())
            assert box.defaultButton().text().replace("&", "") == "Cancel"
            qtbot.mouseClick(next(b for b in box.buttons() if b.text().replace("&", "") == word), Qt.MouseButton.LeftButton)

        QTimer.singleShot(0, look)
        return said

    return click


@pytest.fixture
def typed(monkeypatch):
    """What is typed into the system's dialogs."""

    def names(file="", folder=""):
        monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *given: (str(file), ""))
        monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *given: str(folder))

    return names


def unasked(monkeypatch):
    monkeypatch.setattr(QMessageBox, "exec", lambda box: pytest.fail("it asked"))


@pytest.mark.parametrize("word", ["Cancel", "Replace"])
def test_save_as_asks_for_the_name_with_its_suffix(window, tmp_path, answer, typed, word):
    (tmp_path / "mine.shopbook").write_bytes(b"another workbook")
    typed(tmp_path / "mine")
    said = answer(word)
    window.filing.save_as()
    at_rest(window)
    assert said == ["Replace mine.shopbook?", f"There already in {tmp_path}:", "mine.shopbook"]
    if word == "Cancel":
        assert (tmp_path / "mine.shopbook").read_bytes() == b"another workbook"
        assert window.workspace.session.path is None
    else:
        assert read(tmp_path / "mine.shopbook").body.document.settings.name == "Harbour kitchen run"


def test_what_the_systems_dialog_has_asked_for_is_not_asked_again(window, tmp_path, typed, monkeypatch):
    unasked(monkeypatch)
    (tmp_path / "mine.shopbook").write_bytes(b"another workbook")
    for name in ("mine.shopbook", "new", "other.SHOPBOOK"):
        typed(tmp_path / name)
        window.filing.save_as()
        at_rest(window)
        assert window.workspace.session.saved
    assert sorted(one.name for one in tmp_path.glob("*.*")) == ["mine.shopbook", "new.shopbook", "other.SHOPBOOK"]


def test_no_name_is_no_file(window, typed):
    typed("")
    assert ask_where(window, "Save", "a.pdf", "PDF (*.pdf)", ".pdf") is None


@pytest.mark.parametrize("save", ["save_cut_file", "save_stock"])
def test_sheets_and_tables_ask_so_too(window, tmp_path, answer, typed, monkeypatch, save):
    for kind in ("pdf", "dxf", "csv"):
        (tmp_path / f"mine.{kind}").write_bytes(b"as it was")
    typed(tmp_path / "mine")
    said = answer("Cancel")
    getattr(window.printing, save)()
    at_rest(window)
    assert said[0].startswith("Replace mine.")
    assert {path.read_bytes() for path in tmp_path.glob("mine*")} == {b"as it was"}


def test_many_files_are_named_as_a_dozen_and_a_number(window, tmp_path, answer):
    said = answer("Cancel")
    assert not may_replace(window, tmp_path, [f"{n}.dxf" for n in range(15)])
    assert said[0] == "Replace 15 files?"
    assert said[2:] == [f"{n}.dxf" for n in range(12)] + ["and 3 more"]


@pytest.fixture
def drawn(window, tmp_path):
    """The maker's own drawing, brought in as a template and lying in a folder."""
    folder = tmp_path / "jobs"
    folder.mkdir()
    drawing = folder / "mine.dxf"
    corners = ((0, 0), (120, 0), (150, 20), (120, 30), (0, 30), (0, 0))
    drawing.write_text(dxf([stroke(corners, layer="OUTLINE")], "mine"))
    window.workspace.add_outline(read_outline(drawing, "mm"), "mine")
    return drawing


@pytest.mark.parametrize("word", ["Cancel", "Replace"])
def test_a_job_file_asks_before_it_replaces_a_drawing_beside_it(window, drawn, answer, typed, word):
    before = drawn.read_bytes()
    typed(drawn.with_name("job.toml"))
    said = answer(word)
    window.printing.save_job()
    assert said == ["Replace mine.dxf?", f"There already in {drawn.parent}:", "mine.dxf"]
    assert (drawn.read_bytes() == before) is (word == "Cancel")
    assert drawn.with_name("job.toml").exists() is (word == "Replace")


def test_the_same_job_again_asks_for_nothing(window, drawn, typed, monkeypatch):
    drawn.unlink()
    typed(drawn.with_name("job.toml"))
    window.printing.save_job()
    unasked(monkeypatch)
    window.printing.save_job()
    assert sorted(one.name for one in drawn.parent.iterdir()) == ["job.toml", "mine.dxf"]


@pytest.mark.parametrize("word", ["Cancel", "Replace"])
def test_several_files_into_a_folder_ask_before_they_replace_any(qtbot, window, tmp_path, answer, typed, word):
    dialog = ExportDialog(window, "cutting")
    qtbot.addWidget(dialog)
    dialog.show()
    qtbot.waitUntil(lambda: "petty.dxf" in dialog.files, timeout=20000)
    (tmp_path / "petty.dxf").write_bytes(b"drawn by hand")
    typed(folder=tmp_path)
    said = answer(word)
    qtbot.mouseClick(dialog.save, Qt.MouseButton.LeftButton)
    at_rest(window)
    assert said == ["Replace petty.dxf?", f"There already in {tmp_path}:", "petty.dxf"]
    assert ((tmp_path / "petty.dxf").read_bytes() == b"drawn by hand") is (word == "Cancel")
    assert (tmp_path / "notes.pdf").exists() is (word == "Replace")
