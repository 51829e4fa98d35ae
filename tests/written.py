"""Files as the table of exports makes them, for tests that read them back."""

from workbook.sheets.printer import Printer
from workbook.tasks.exports import Wanted, book, exported
from workbook.tasks.sheets import run_of

TRUE_PRINTER = Printer()


def bars_pdf(laid, paper, date, printer=TRUE_PRINTER):
    """The bar sheets of a layout."""
    wanted = Wanted(model=laid.model, run=run_of(laid.model.job, paper, date, printer), keys=(), laid=laid)
    return exported(wanted, ["bars"])["bars.pdf"]


def bars_dxf(laid):
    """The drawing with all lines of a layout, as text."""
    wanted = Wanted(model=laid.model, run=run_of(laid.model.job, "a4", ""), keys=(), laid=laid)
    return exported(wanted, ["bars-drawing"])["bars.dxf"].decode()


def templates_pdf(model, paper, date):
    """The sheets of all templates in one file."""
    wanted = Wanted(model=model, run=run_of(model.job, paper, date), keys=tuple(model.shapes), together=True)
    return exported(wanted, ["sheets"])["templates.pdf"]


def stock_table(document):
    """All bars and materials as a table."""
    (content,) = book.stock(document).values()
    return content
