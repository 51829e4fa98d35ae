"""Printing at true size: the pages of a PDF, dot by dot, through the system's printers, with a preview."""

from collections.abc import Sequence

from PySide6.QtCore import QMarginsF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QPageLayout, QPageSize, QPaintEngine, QPainter
from PySide6.QtPrintSupport import QPrinter, QPrintPreviewDialog
from PySide6.QtWidgets import QWidget

from workbook.app.proof import page_image, page_sizes

_MOST_DOTS = 600.0  # an inch: finer lines no paper shows
_PREVIEW_DOTS = 110.0  # on a screen


def preview_and_print(parent: QWidget, documents: Sequence[bytes]) -> QPrintPreviewDialog:
    """The preview, from which is printed. It is shown, and its owner is the parent."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    prepare(printer, documents)
    dialog = QPrintPreviewDialog(printer, parent)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    # the dialog does not own its printer: it lives as long as this is connected
    dialog.paintRequested.connect(lambda to, printer=printer: print_pages(to, documents))
    dialog.open()
    return dialog


def prepare(printer: QPrinter, documents: Sequence[bytes]) -> None:
    """The paper of the first page, without margins: what a printer cannot reach is kept free on the sheets themselves."""
    printer.setFullPage(True)
    _lay(printer, page_sizes(documents[0])[0])


def _lay(printer: QPrinter, size: tuple[float, float]) -> None:
    wide = size[0] > size[1]
    upright = QSizeF(min(size), max(size))
    turned = QPageLayout.Orientation.Landscape if wide else QPageLayout.Orientation.Portrait
    paper = QPageSize(upright, QPageSize.Unit.Millimeter, "", QPageSize.SizeMatchPolicy.FuzzyMatch)
    printer.setPageLayout(QPageLayout(paper, turned, QMarginsF(0, 0, 0, 0)))


def print_pages(printer: QPrinter, documents: Sequence[bytes]) -> None:
    """Every page, a millimetre drawn as a millimetre printed."""
    previewed = printer.paintEngine().type() is QPaintEngine.Type.Picture
    painter = QPainter(printer)
    dots = float(printer.resolution())
    fine = min(dots, _PREVIEW_DOTS if previewed else _MOST_DOTS)
    last: tuple[float, float] | None = None
    for content in documents:
        for number, size in enumerate(page_sizes(content)):
            if last is not None:
                if size != last and not previewed:
                    _lay(printer, size)
                printer.newPage()
            last = size
            image = page_image(content, number, fine)
            where = QRectF(QPointF(0, 0), QSizeF(*(side / 25.4 * dots for side in size)))
            painter.drawImage(where, image)
    painter.end()
