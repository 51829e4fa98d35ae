"""What the window wants written of the work as it is. Imported beside the window: it brings what makes it."""

from workbook.app.as_it_is import AsItIs
from workbook.model.laying import Laid
from workbook.sheets.paper import PrintRun
from workbook.tasks.exports import Wanted
from workbook.tasks.sheets import run_of, today
from workbook.units import HABITS


def run_for(work: AsItIs, paper: str = "") -> PrintRun:
    """A printing of the workbook's sheets, on its usual paper unless another is named."""
    settings = work.document.settings
    usual = settings.paper or HABITS[settings.unit].paper
    return run_of(work.model.job, paper or usual, today(), settings.printer)


def wanted_of(work: AsItIs, laid: Laid | None = None) -> Wanted:
    """What menus and buttons write: of the chosen template, or of a layout; on the usual paper, cut files without their notes."""
    return Wanted(model=work.model, run=run_for(work), keys=(work.chosen,), laid=laid, notes=False)
