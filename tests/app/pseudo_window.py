"""Opens every page, dialog and sheet in whatever language the program is told, on a screen of 1366 x 768, and prints as JSON what
it opened and what is cut off there. `python -m tests.app.pseudo_window 1.0,1.5 FOLDER`: with letters of these sizes; pictures of
all go to the folder.
"""

import json
import os
import re
import sys
import tempfile
from functools import partial
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("MAKERS_WORKBOOK_DATA", tempfile.mkdtemp())

import pypdfium2
from PySide6.QtCore import QAbstractListModel, QAbstractTableModel, QModelIndex, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QAbstractButton, QAbstractItemView, QApplication, QComboBox, QDialog, QLabel, QLineEdit, QWidget

from tests.app.fitting import faults
from tests.app.test_dialogs import NAMES as DIALOGS
from tests.at_ease import serve_at_ease
from tests.clock import settled, until
from workbook.app import search
from workbook.app.as_it_is import as_it_is
from workbook.app.collecting import Collecting
from workbook.app.dialogs.help import Help
from workbook.app.dialogs.table import show_dialog
from workbook.app.elements.basics import Lettered
from workbook.app.export import wanted_of
from workbook.app.help_topics import TOPICS
from workbook.app.look import Look
from workbook.app.pages.table import NAMES as PAGES
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.document.actions import accounts, making
from workbook.document.document import Document
from workbook.document.making_records import BatchRecord
from workbook.document.money_records import DeliveryRecord
from workbook.later import load
from workbook.model.accounts import invoice_for
from workbook.shop.labour import StageKind
from workbook.structs import replace
from workbook.tasks import worker
from workbook.tasks.demo import demo_document
from workbook.tasks.exports import EXPORTS, exported
from workbook.tasks.exports.knives import TELL_WORDS
from workbook.tasks.work import work_in

SCREEN = (1366, 768)
ROOM = (1350, 720)  # of it, beside the frame of the window and the system's bar
CODE = (
    "makers-workbook",
    "[[template]]",
    "name =",
    "outline =",
    "units =",
    "[template.",
    "thickness =",
    "52100",
    "curly",
    "6 Petty",
)  # of examples
MOST_ROWS = 40  # of a table that are read
TOO_LARGE = "larger than the screen: {} x {}"


def texts_in(top):
    """Everything that a window or dialog says: labels, buttons, choices, tables, menus, tool tips, names for a screen reader."""
    yield top.windowTitle()
    for action in top.findChildren(QAction):
        yield action.text().replace("&&", "\0").replace("&", "").replace("\0", "&")
    for widget in top.findChildren(QWidget):
        if not widget.isVisible():
            continue
        yield from (widget.toolTip(), widget.accessibleName(), widget.accessibleDescription())
        if isinstance(widget, QLabel | QAbstractButton | Lettered):
            yield widget.text()
        elif isinstance(widget, QComboBox):
            yield from (widget.itemText(number) for number in range(widget.count()))
        elif isinstance(widget, QLineEdit):
            yield widget.placeholderText()
        elif isinstance(widget, QAbstractItemView) and widget.model() is not None:
            yield from cells_of(widget.model())


def cells_of(model, parent=None):
    """The heads and cells of a table, tree or list."""
    parent = parent or QModelIndex()
    columns = 1 if isinstance(model, QAbstractListModel) else model.columnCount(parent)
    for column in range(columns):
        yield str(model.headerData(column, Qt.Orientation.Horizontal) or "")
        for row in range(min(model.rowCount(parent), MOST_ROWS)):
            yield str(model.index(row, column, parent).data() or "")
    for row in range(model.rowCount(parent)):
        child = model.index(row, 0, parent)
        if not isinstance(model, QAbstractListModel | QAbstractTableModel) and model.rowCount(child):
            yield from cells_of(model, child)


def cut_in(top):
    """What is cut off or out of reach in a window or dialog, and itself where it is larger than the screen."""
    wide, high = top.minimumSizeHint().toTuple()
    if wide > SCREEN[0] or high > SCREEN[1]:
        yield TOO_LARGE.format(wide, high)
    yield from faults(top, getattr(top, "status", None))


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


def page_texts(content):
    """What each page of a PDF says, the lines of a text put together as they follow each other."""
    return [" ".join(page.get_textpage().get_text_bounded().split()) for page in pypdfium2.PdfDocument(content)]


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
    look_at_help(seen, window, letters)
    wanted = wanted_of(as_it_is(window.workspace), window.bars_page().laid, window.quote_page().work)
    window.close()
    return wanted


def look_at_help(seen, window, letters):
    """Every page of the help."""
    dialog = Help(window, window.workspace.look, TOPICS[0][0])
    dialog.show()
    for topic, _title in TOPICS:
        dialog.show_topic(topic)
        settled(0.02)
        texts = [block for block in dialog.text.toPlainText().splitlines() if not block.startswith(CODE)]
        seen.add(f"help {topic} {letters:.0%}", cut_in(dialog), texts, dialog.grab())
    dialog.close()


DRILL = 2  # which stage of the sample's that is


def with_account(wanted):
    """The same with an order of which a knife was delivered and an invoice issued, and with all knives that are finished."""
    document, work = wanted.document, wanted.order
    bill = invoice_for(document, work, "bill", "2026-11-26")
    sent = DeliveryRecord(id="sent", place=0.0, order=work.order.id, date="2026-11-27", pieces=("a1",), tracking="ZX 4411")
    for edit in (
        partial(making.give_to, blade="a1", line=work.lines[0].line.id),
        partial(accounts.invoice, record=bill),
        partial(accounts.deliver, delivery=sent),
    ):
        document = document.applied(edit(document))
    batch = document.get("santoku", BatchRecord)  # the newest: its blades go to a service next
    stages = tuple(replace(stage, kind=StageKind.OUTSIDE) if n == DRILL else stage for n, stage in enumerate(batch.stages))
    document = Document({**document.records, batch.id: replace(batch, stages=stages)})
    return replace(wanted, document=document, blades=("a1", "a2", "a3", "a5"), tell=tuple(TELL_WORDS))


def look_at_sheets(seen, wanted):
    """Every file that is written of a job."""
    wanted = with_account(wanted)
    for key in EXPORTS:
        for name, content in exported(wanted, [key]).items():
            is_pdf = name.endswith(".pdf")
            seen.add(f"{key}: {name}", page_cuts(content) if is_pdf else (), page_texts(content) if is_pdf else ())


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
