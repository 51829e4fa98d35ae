"""Uses each binary part of the packed program once: `makers-workbook -m self_test`. Tells each, and ends with 1 when one fails.

With "painted" it is the start of the window until then, for measuring; with "crash" something fails once it is painted.
"""

import sys
import tempfile
import traceback
from collections.abc import Callable, Sequence
from pathlib import Path

JOB = "harbour-kitchen-run.toml"


def main(arguments: Sequence[str]) -> int:
    """The exit code."""
    if arguments in (["painted"], ["crash"]):
        return _started(crash=arguments == ["crash"])
    with tempfile.TemporaryDirectory() as name:
        failed = [part for part, used in PARTS.items() if not _works(part, used, Path(name))]
    return 1 if failed else 0


def _works(part: str, used: Callable[[Path], str], folder: Path) -> bool:
    try:
        print(f"{part}: {used(folder)}", flush=True)
    except Exception:  # noqa: BLE001  # each part is tried, whatever is wrong with another
        print(f"{part}: FAILED\n{traceback.format_exc()}", flush=True)
        return False
    return True


def _search(folder: Path) -> str:
    import json

    from workbook.__main__ import commands
    from workbook.tasks import compiling

    compiling.compile_missing()
    assert compiling.ready(), "nothing was compiled"
    for words in (
        ["demo", str(folder / "demo")],
        ["lay-out", str(folder / "demo" / JOB), "--out", str(folder), "--seconds", "3"],
    ):
        code = commands.main([*words, "--quiet"])
        assert code == 0, f"{words[0]} ended with {code}"
    search = json.loads((folder / "layout.json").read_text(encoding="utf-8"))["search"]
    assert search == "compiled", f"the search was {search}"
    return search


def _polygons(_folder: Path) -> str:
    import shapely

    area = shapely.Point(0, 0).buffer(1).area
    assert abs(area - 3.14) < 0.01, area
    return f"GEOS {shapely.geos_version_string}"


def _programmes(_folder: Path) -> str:
    import highspy

    solver = highspy.Highs()
    solver.silent()
    x = solver.addVariable(lb=0, ub=4)
    solver.maximize(2 * x)
    assert solver.getObjectiveValue() == 8
    return solver.version()


def _drawings(folder: Path) -> str:
    import ezdxf

    document = ezdxf.readfile(folder / "bars.dxf")
    faults = document.audit().errors
    assert not faults, faults
    return f"{len(document.modelspace())} entities"


def _sheets(folder: Path) -> str:
    import pypdfium2

    from workbook.__main__ import commands

    code = commands.main(["templates", str(folder / "demo" / JOB), "--out", str(folder), "--quiet"])
    assert code == 0, f"templates ended with {code}"

    page = pypdfium2.PdfDocument(folder / "bars.pdf")[0].render()
    assert page.to_numpy().min() < 128, "the page is empty"
    return f"{page.width} x {page.height} dots"


def _pictures(folder: Path) -> str:
    from PIL import Image

    for kind in ("JPEG", "PNG", "TIFF", "BMP", "WEBP"):
        Image.new("RGB", (8, 8), "navy").save(folder / f"picture.{kind}", kind)
        Image.open(folder / f"picture.{kind}").load()
    return "five kinds"


def _curves(_folder: Path) -> str:
    from fontTools.pens.recordingPen import RecordingPen
    from fontTools.svgLib.path import parse_path

    pen = RecordingPen()
    parse_path("M0 0C1 1 2 1 3 0Z", pen)
    return f"{len(pen.value)} strokes"


def _book(_folder: Path) -> str:
    import sqlite3

    return sqlite3.connect(":memory:").execute("SELECT sqlite_version()").fetchone()[0]


def _window(folder: Path) -> str:
    from PySide6.QtGui import QIcon
    from PySide6.QtPrintSupport import QPrinter
    from PySide6.QtWidgets import QApplication, QStyleFactory

    from workbook.app.paper import print_pages
    from workbook.paths import resource

    application = QApplication.instance() or QApplication(["self-test"])
    icon = QIcon(str(resource("program", "makers-workbook.svg"))).pixmap(32, 32).toImage()
    assert icon.pixelColor(16, 3).blue() > 100, "the icon is empty"
    assert "Fusion" in list(QStyleFactory.keys())
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(folder / "printed.pdf"))
    print_pages(printer, [(folder / "bars.pdf").read_bytes()])
    assert (folder / "printed.pdf").stat().st_size > 1000, "nothing was printed"
    return f"{application.platformName()}, icon and printing"


def _licences(_folder: Path) -> str:
    from workbook.tasks.notices import notices

    found = notices()
    lacking = [notice.name for notice in found if not notice.text]
    assert not lacking, f"no text of {', '.join(lacking)}"
    assert {"python", "pyinstaller-bootloader", "numpy", "shapely"} <= {notice.name for notice in found}
    return f"{len(found)} texts"


PARTS = {
    "compiled search": _search, "polygons": _polygons, "linear programmes": _programmes, "drawings": _drawings, "sheets": _sheets,
    "pictures": _pictures, "curves": _curves, "shop book": _book, "window": _window, "licences": _licences,
}  # fmt: skip


def _started(*, crash: bool) -> int:
    """The window; its first picture painted, it ends or fails."""
    import os
    from itertools import count

    from workbook.__main__ import main as start
    from workbook.app.faster_start import start_faster

    start_faster()
    from PySide6.QtCore import QTimer

    from workbook.app.canvas.board import Board

    paint, times = Board.paintEvent, count()

    def fail() -> None:
        raise RuntimeError("planted by the self-test")

    def painted(board: Board, event: object) -> None:
        paint(board, event)  # type: ignore[arg-type]
        if next(times) == 0:
            QTimer.singleShot(0, fail if crash else lambda: os._exit(0))

    Board.paintEvent = painted  # type: ignore[method-assign,assignment]
    sys.argv = ["makers-workbook"]
    return start()
