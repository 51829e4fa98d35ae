"""What the window writes: sheets and cutting files of what it shows. Imported when first asked for: it brings the writers."""

from workbook.app.workspace import Workspace
from workbook.formats import pdf
from workbook.tasks.layout import Laid
from workbook.tasks.sheets import bars_dxf, bars_pdf, cut_dxf, run_of, sheet_pages, today


def _paper(unit: str) -> str:
    return "letter" if unit == "in" else "a4"


def template_sheet(workspace: Workspace) -> bytes:
    """The chosen template's sheets."""
    run = run_of(workspace.loaded.job, _paper(workspace.unit), today())
    return pdf.pdf(sheet_pages(workspace.loaded, run, workspace.blank), workspace.chosen)


def template_dxf(workspace: Workspace) -> bytes:
    """The chosen template's cutting file."""
    return cut_dxf(workspace.blank).encode()


def bar_sheets(laid: Laid) -> bytes:
    """Scribing sheets and tiled bars of a layout."""
    return bars_pdf(laid, _paper(laid.loaded.job.unit), today())


def bars_file(laid: Laid) -> bytes:
    """All bars of a layout in one drawing."""
    return bars_dxf(laid).encode()
