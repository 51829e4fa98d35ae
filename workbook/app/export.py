"""The exports the window asks for, from its present work. Imported in a thread: it loads the exporters."""

from workbook.app.as_it_is import AsItIs
from workbook.model.laying import Laid
from workbook.model.quoting import OrderWork
from workbook.sheets.paper import PrintRun
from workbook.structs import replace
from workbook.tasks.exports import Wanted
from workbook.tasks.sheets import run_of, today
from workbook.tasks.work import now
from workbook.units import HABITS


def run_for(work: AsItIs, paper: str = "") -> PrintRun:
    """The print run of the workbook's sheets, on the usual paper unless another is named."""
    settings = work.document.settings
    usual = settings.paper or HABITS[settings.unit].paper
    sender = ", ".join(part for part in (settings.shop, settings.address, settings.contact) if part)
    return replace(run_of(work.model.job, paper or usual, today(settings.region), settings.printer), sender=sender)


def wanted_of(work: AsItIs, laid: Laid | None = None, order: OrderWork | None = None, batch: str | None = None) -> Wanted:
    """The export of the menus and buttons: the chosen template, a layout, an order or a batch, on the usual paper, cut files
    without notes.
    """
    asked = Wanted(model=work.model, run=run_for(work), keys=(work.chosen,), laid=laid, notes=False)
    if batch is not None:
        return replace(asked, document=work.document, batch=batch)
    return asked if order is None else replace(asked, document=work.document, order=order, date=now())
