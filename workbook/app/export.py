"""What the window writes: sheets and cutting files of the work as it is. Imported beside the window: it brings the writers."""

from collections.abc import Sequence

from workbook.app.as_it_is import AsItIs
from workbook.document.records import SettingsRecord
from workbook.formats import pdf
from workbook.formats.csv_out import csv_text
from workbook.sheets.paper import Run
from workbook.sheets.shelf_sheet import shelf_pages
from workbook.tasks.buying import Need, need_rows
from workbook.tasks.cutting import cut_dxf
from workbook.tasks.layout import Laid
from workbook.tasks.quote_out import quote_pdf_pages
from workbook.tasks.quoting import OrderWork
from workbook.tasks.sheets import bars_dxf, bars_pdf, card_pages, run_of, sheet_pages, today
from workbook.tasks.work import now


def _paper(settings: SettingsRecord) -> str:
    return settings.paper or ("letter" if settings.unit == "in" else "a4")


def run_for(work: AsItIs, paper: str = "") -> Run:
    """A printing of the workbook's sheets, on its usual paper unless another is named."""
    settings = work.document.settings
    return run_of(work.loaded.job, paper or _paper(settings), today(), settings.printer)


def template_sheet(work: AsItIs) -> bytes:
    """The chosen template's sheets."""
    settings = work.document.settings
    run = run_for(work)
    pages = sheet_pages(work.loaded, run, work.chosen, (work.loaded.in_hand(work.chosen),))
    return pdf.pdf(pages, work.chosen, settings.printer)


def bench_card(work: AsItIs) -> bytes:
    """The chosen template's bench card."""
    settings = work.document.settings
    run = run_for(work)
    pages = card_pages(work.loaded, run, work.chosen, (work.loaded.in_hand(work.chosen),))
    return pdf.pdf(pages, f"{work.chosen}: bench card", settings.printer)


def contact_sheet(work: AsItIs) -> bytes:
    """All templates of the shelf, to one scale."""
    run = run_for(work)
    return pdf.pdf(shelf_pages(run, list(work.loaded.shapes.values())), f"{work.loaded.job.name}: shelf")


def template_dxf(work: AsItIs) -> bytes:
    """The chosen template's cutting file."""
    return cut_dxf(work.blank, work.loaded.job.service).encode()


def quote_sheet(work: AsItIs, order: OrderWork) -> bytes:
    """An order's quote."""
    pages = quote_pdf_pages(work.document, order, run_for(work), now())
    return pdf.pdf(pages, f"Quote {order.order.number}")


def needs_table(needs: Sequence[Need]) -> bytes:
    """What open orders need."""
    return csv_text(need_rows(needs)).encode()


def bar_sheets(work: AsItIs, laid: Laid) -> bytes:
    """Scribing sheets and tiled bars of a layout."""
    settings = work.document.settings
    return bars_pdf(laid, _paper(settings), today(), printer=settings.printer)


def bars_file(laid: Laid) -> bytes:
    """All bars of a layout in one drawing."""
    return bars_dxf(laid).encode()
