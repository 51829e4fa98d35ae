"""Makes the README's pictures from the real program: its pages, and the first page of a sheet.

Run with the project's environment: `.venv/bin/python packaging/pictures.py`. Needs no display.
"""

import os
import sys
import tempfile
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ["MAKERS_WORKBOOK_DATA"] = tempfile.mkdtemp()

from PySide6.QtCore import QEventLoop, QTimer
from PySide6.QtWidgets import QApplication

from workbook.app.as_it_is import as_it_is
from workbook.app.dialogs.export import ExportDialog
from workbook.app.export import wanted_of
from workbook.app.look import Look
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.formats.pdf import png
from workbook.tasks.demo import demo_document
from workbook.tasks.exports import exported
from workbook.tasks.exports.book import families
from workbook.tasks.work import work_in

FOLDER = Path(__file__).parent / "pictures"


def main() -> int:
    """Writes every picture into packaging/pictures."""
    FOLDER.mkdir(exist_ok=True)
    application = QApplication(["pictures"])
    application.setStyle("Fusion")
    _window("light")
    _window("dark")
    (FOLDER / "families.png").write_bytes(families(40))
    return 0


def _window(theme: str) -> None:
    """Every page in one theme; with the light one also the sheets."""
    window = Window(Workspace(work_in(demo_document()), Look(theme)))
    window.resize(1440, 900)
    window.show()
    _wait(300)
    window.grab().save(str(FOLDER / f"draw-{theme}.png"))
    window.show_page("grind")
    _wait(600)
    window.grab().save(str(FOLDER / f"grind-{theme}.png"))
    window.show_page("stock")
    window.stock_page().bars.selectRow(0)
    _wait(300)
    window.grab().save(str(FOLDER / f"stock-{theme}.png"))
    window.show_page("quote")
    _wait(5000)
    window.grab().save(str(FOLDER / f"quote-{theme}.png"))
    window.show_page("layout")
    _wait(6000)
    window.bars_page().search.stop()
    _wait(100)
    window.grab().save(str(FOLDER / f"lay-out-{theme}.png"))
    laid = window.bars_page().laid
    if theme == "light" and laid is not None:
        wanted = wanted_of(as_it_is(window.workspace), laid)
        for name, key in (("bench-card", "cards"), ("template-sheet", "sheets"), ("bar-sheet", "bars")):
            (made,) = exported(wanted, [key]).values()
            (FOLDER / f"{name}.png").write_bytes(png(made, 0, 80))
    window.show_page("today")
    window.early.page("today").plans.finish()
    _wait(200)
    window.grab().save(str(FOLDER / f"today-{theme}.png"))
    window.show_page("make")
    page = window.make_page()
    page.choose("winter")
    page.traveller.setCurrentIndex(page.traveller.made.index(1, page.traveller.currentIndex().column()))
    _wait(300)
    window.grab().save(str(FOLDER / f"make-{theme}.png"))
    window.show_page("lookup")
    window.look_up_page().look_up("O1")
    _wait(300)
    window.grab().save(str(FOLDER / f"look-up-{theme}.png"))
    if theme == "light":
        window.show_page("draw")
        dialog = ExportDialog(window)
        dialog.show()
        _wait(3000)
        dialog.grab().save(str(FOLDER / "write-or-print.png"))
        dialog.close()
    window.close()


def _wait(milliseconds: int) -> None:
    loop = QEventLoop()
    QTimer.singleShot(milliseconds, loop.quit)
    loop.exec()


if __name__ == "__main__":
    sys.exit(main())
