"""Print PDF pages at true size, as images, through the system's printers, with a preview."""

from collections.abc import Sequence

from PySide6.QtCore import QMarginsF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QPageLayout, QPageSize, QPaintEngine, QPainter
from PySide6.QtPrintSupport import QPrinter, QPrintPreviewDialog
from PySide6.QtWidgets import QWidget

from workbook.app.proof import page_image, page_sizes

_MOST_DOTS = 600.0  # per inch: paper shows no finer lines
_PREVIEW_DOTS = 110.0  # per inch, on a screen


def preview_and_print(parent: QWidget, documents: Sequence[bytes]) -> QPrintPreviewDialog:
    """Show the preview, which prints. Return the dialog; the parent owns it."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    prepare(printer, documents)
    dialog = QPrintPreviewDialog(printer, parent)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    # the dialog does not own its printer: this connection keeps it alive
    dialog.paintRequested.connect(lambda to, printer=printer: print_pages(to, documents))
    dialog.open()
    return dialog


def prepare(printer: QPrinter, documents: Sequence[bytes]) -> None:
    """Set the paper of the first page, without margins: the sheets themselves keep the printer's margins free."""
    printer.setFullPage(True)
    _lay(printer, page_sizes(documents[0])[0])


def _lay(printer: QPrinter, size: tuple[float, float]) -> None:
    wide = size[0] > size[1]
    upright = QSizeF(min(size), max(size))
    turned = QPageLayout.Orientation.Landscape if wide else QPageLayout.Orientation.Portrait
    paper = QPageSize(upright, QPageSize.Unit.Millimeter, "", QPageSize.SizeMatchPolicy.FuzzyMatch)
    printer.setPageLayout(QPageLayout(paper, turned, QMarginsF(0, 0, 0, 0)))


def print_pages(printer: QPrinter, documents: Sequence[bytes]) -> None:
    """Print every page so that a millimetre drawn is a millimetre printed."""
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
            rect = QRectF(QPointF(0, 0), QSizeF(*(side / 25.4 * dots for side in size)))
            painter.drawImage(rect, image)
    painter.end()
