"""Opens every page, dialog and sheet in whatever language the program is told, on a screen of 1366 x 768, and prints as JSON what
it opened and what is cut off there. `python -m tests.app.pseudo_window 1.0,1.5 FOLDER`: with letters of these sizes; pictures of
all go to the folder.
"""

import json
import os
import re
import sys
import tempfile
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("MAKERS_WORKBOOK_DATA", tempfile.mkdtemp())

import pypdfium2
from PySide6.QtWidgets import QAbstractButton, QApplication, QComboBox, QDialog, QLabel, QWidget

from tests.app.test_dialogs import NAMES as DIALOGS
from tests.at_ease import serve_at_ease
from tests.clock import settled, until
from workbook.app import search
from workbook.app.as_it_is import as_it_is
from workbook.app.collecting import Collecting
from workbook.app.dialogs.table import show_dialog
from workbook.app.export import wanted_of
from workbook.app.look import Look
from workbook.app.pages.table import NAMES as PAGES
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.later import load
from workbook.tasks import worker
from workbook.tasks.demo import demo_document
from workbook.tasks.exports import EXPORTS, exported
from workbook.tasks.work import work_in

SCREEN = (1366, 768)
ROOM = (1350, 720)  # of it, beside the frame of the window and the system's bar
TOO_LARGE = "larger than the screen: {} x {}"
_SLACK = 2  # points of a text beyond its place that nobody sees


def words(widget):
    """What a widget says, where it says it in one piece."""
    return widget.currentText() if isinstance(widget, QComboBox) else widget.text()


def is_cut(widget):
    """Whether a label or button says more than it has room for."""
    if isinstance(widget, QLabel) and widget.wordWrap():
        return widget.heightForWidth(widget.width()) > widget.height() + _SLACK
    wanted, there = widget.sizeHint(), widget.size()
    return wanted.width() > there.width() + _SLACK or wanted.height() > there.height() + _SLACK


def texts_in(top):
    """What stands in a window or dialog, and its title."""
    yield top.windowTitle()
    for widget in top.findChildren(QWidget):
        if isinstance(widget, QLabel | QAbstractButton) and widget.isVisible() and words(widget):
            yield words(widget)


def cut_in(top):
    """The words that are cut off in a window or dialog, and itself where it is larger than the screen."""
    wide, high = top.minimumSizeHint().toTuple()
    if wide > SCREEN[0] or high > SCREEN[1]:
        yield TOO_LARGE.format(wide, high)
    for widget in top.findChildren(QWidget):
        if isinstance(widget, QLabel | QAbstractButton | QComboBox) and widget.isVisible() and words(widget) and is_cut(widget):
            yield words(widget)


def page_cuts(content):
    """Words beyond the edge of a page of a PDF."""
    for number, page in enumerate(pypdfium2.PdfDocument(content), 1):
        wide, high = page.get_size()
        text = page.get_textpage()
        for index in range(text.count_rects()):
            left, bottom, right, top = text.get_rect(index)
            words = text.get_text_bounded(left, bottom, right, top)
            if (left < 0 or bottom < 0 or right > wide or top > high) and re.search(r"[^\W\d_]{3}", words):
                yield f"page {number}: {words}"  # numbers on a bar go on with it on the next page


class Seen:
    """Everything that was opened, and what is cut off in it."""

    def __init__(self, folder):
        self.folder, self.found = folder, {}

    def add(self, name, cut, texts=(), picture=None):
        """Takes down one thing, with the texts that stand in it."""
        self.found[name] = {"cut": sorted(set(cut)), "texts": sorted(set(texts))}
        if self.folder is not None and picture is not None:
            picture.save(str(self.folder / f"{name}.png"))


def look_at_windows(seen, letters):
    """Every page and dialog with letters of one size. Returns what the sheets are made of."""
    window = Window(Workspace(work_in(demo_document()), Look("light", letters)))
    window.resize(*ROOM)
    window.show()
    for page in PAGES:
        window.show_page(page)
        settled(0.05)
        if page == "layout":
            until(lambda: window.bars_page().laid is not None, 60)
            window.bars_page().search.stop()
            settled(0.1)
        seen.add(f"{page} {letters:.0%}", cut_in(window), texts_in(window), window.grab())
    for name in DIALOGS:
        before = set(window.findChildren(QDialog))
        show_dialog(window, name)
        (dialog,) = set(window.findChildren(QDialog)) - before
        settled(0.05)
        if name == "export":
            until(lambda dialog=dialog: bool(dialog.files), 60)  # its preview is made beside the window
        seen.add(f"{name} {letters:.0%}", cut_in(dialog), texts_in(dialog), dialog.grab())
        dialog.close()
    wanted = wanted_of(as_it_is(window.workspace), window.bars_page().laid, window.quote_page().work)
    window.close()
    return wanted


def look_at_sheets(seen, wanted):
    """Every file that is written of a job."""
    for key in EXPORTS:
        for name, content in exported(wanted, [key]).items():
            seen.add(f"{key}: {name}", page_cuts(content) if name.endswith(".pdf") else ())


def main(sizes, folder=""):
    """Opens all of it with letters of each size."""
    application = QApplication(["pseudo"])
    application.setStyle("Fusion")
    Collecting(application)  # as in the program: what belongs to Qt must not end in another thread
    load()
    search.cores, worker.serve = lambda: 1, serve_at_ease  # the blanks are laid out soon enough
    seen = Seen(Path(folder) if folder else None)
    wanted = None
    for letters in sizes.split(","):
        wanted = look_at_windows(seen, float(letters))
    look_at_sheets(seen, wanted)
    print(json.dumps(seen.found))


if __name__ == "__main__":
    main(*sys.argv[1:])
