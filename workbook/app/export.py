"""What the window writes: sheets and cutting files of what it shows. Imported when first asked for: it brings the writers."""

from collections.abc import Sequence

from workbook.app.workspace import Workspace
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


def run_for(workspace: Workspace, paper: str = "") -> Run:
    """A printing of the workbook's sheets, on its usual paper unless another is named."""
    settings = workspace.session.document.settings
    return run_of(workspace.loaded.job, paper or _paper(settings), today(), settings.printer)


def template_sheet(workspace: Workspace) -> bytes:
    """The chosen template's sheets."""
    settings = workspace.session.document.settings
    run = run_for(workspace)
    return pdf.pdf(sheet_pages(workspace.loaded, run, workspace.blank), workspace.chosen, settings.printer)


def bench_card(workspace: Workspace) -> bytes:
    """The chosen template's bench card."""
    settings = workspace.session.document.settings
    run = run_for(workspace)
    return pdf.pdf(card_pages(workspace.loaded, run, workspace.chosen), f"{workspace.chosen}: bench card", settings.printer)


def contact_sheet(workspace: Workspace) -> bytes:
    """All templates of the shelf, to one scale."""
    run = run_for(workspace)
    return pdf.pdf(shelf_pages(run, list(workspace.loaded.shapes.values())), f"{workspace.loaded.job.name}: shelf")


def template_dxf(workspace: Workspace) -> bytes:
    """The chosen template's cutting file."""
    return cut_dxf(workspace.blank, workspace.loaded.job.service).encode()


def quote_sheet(workspace: Workspace, work: OrderWork) -> bytes:
    """An order's quote."""
    document = workspace.session.document
    pages = quote_pdf_pages(document, work, run_for(workspace), now())
    return pdf.pdf(pages, f"Quote {work.order.number}")


def needs_table(needs: Sequence[Need]) -> bytes:
    """What open orders need."""
    return csv_text(need_rows(needs)).encode()


def bar_sheets(workspace: Workspace, laid: Laid) -> bytes:
    """Scribing sheets and tiled bars of a layout."""
    settings = workspace.session.document.settings
    return bars_pdf(laid, _paper(settings), today(), printer=settings.printer)


def bars_file(laid: Laid) -> bytes:
    """All bars of a layout in one drawing."""
    return bars_dxf(laid).encode()
