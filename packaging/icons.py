"""The program's icons in the forms that each system wants, drawn from `resources/program`."""

import os
import sys
from pathlib import Path

from building import ROOT

DRAWINGS = ROOT / "resources" / "program"
SIZES = (16, 22, 24, 32, 48, 64, 128, 256)


def draw(name: str, size: int, file: Path) -> None:
    """Writes a drawing as a picture of `size` x `size` dots; the file's ending says of what kind."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtGui import QGuiApplication, QImage, QPainter
    from PySide6.QtSvg import QSvgRenderer

    application = QGuiApplication.instance() or QGuiApplication([])
    image = QImage(size, size, QImage.Format.Format_ARGB32)
    image.fill(0)
    painter = QPainter(image)
    QSvgRenderer(str(DRAWINGS / f"{name}.svg")).render(painter)
    painter.end()
    file.parent.mkdir(parents=True, exist_ok=True)
    if not image.save(str(file)):
        raise SystemExit(f"Failed: {file.name} could not be written.")
    del application


def in_program(folder: Path) -> str | None:
    """The file of the icon that a program has inside on Windows and macOS; None on Linux, which has it beside the program."""
    kind = {"win32": ".ico", "darwin": ".icns"}.get(sys.platform)
    return None if kind is None else str(whole(folder, kind))


def whole(folder: Path, kind: str) -> Path:
    """One file with the icon in all sizes, ".ico" or ".icns"."""
    from PIL import Image

    largest = folder / "makers-workbook.png"
    draw("makers-workbook", 1024, largest)
    file = largest.with_suffix(kind)
    sizes = {"sizes": [(size, size) for size in SIZES]} if kind == ".ico" else {}
    with Image.open(largest) as image:
        image.save(file, **sizes)
    return file
