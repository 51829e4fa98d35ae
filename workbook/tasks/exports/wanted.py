"""A request for exports of a job."""

from collections.abc import Callable, Iterable, Sequence
from functools import cached_property

from msgspec import Struct

from workbook.document.document import Document
from workbook.formats import pdf
from workbook.model.laying import Laid
from workbook.model.model import Model
from workbook.model.quoting import OrderWork
from workbook.sheets.bar import BarPlan
from workbook.sheets.bar_sheet import BAR_PARTS
from workbook.sheets.paper import PrintRun, SheetPage
from workbook.sheets.template_sheet import PARTS
from workbook.shop.in_hand import InHand
from workbook.tasks.sheets import bar_plans, bars_of
from workbook.tasks.write import file_name

Files = dict[str, bytes]


class Wanted(Struct, frozen=True, kw_only=True, dict=True):
    """A request for exports: the templates of a job, its layout, and the print settings."""

    model: Model
    run: PrintRun
    keys: tuple[str, ...]  # of the templates
    laid: Laid | None = None
    parts: tuple[str, ...] = PARTS  # of the template sheets
    bar_parts: tuple[str, ...] = BAR_PARTS  # of the bar sheets
    each: bool = False  # bars: a cutting file each, not one for all
    together: bool = False  # sheets and cards of all templates in one file, not one each
    notes: bool = True  # with the cutting files of templates
    planned: Sequence[BarPlan] | None = None  # the layout's bars, where they are planned already
    document: Document | None = None  # of an order, a batch, a knife
    order: OrderWork | None = None
    date: str = ""  # ISO, of the quote
    batch: str = ""  # the id of a batch; "": the newest
    blades: tuple[str, ...] = ()  # ids of knives; (): those of the order, or of the batch
    every: bool = False  # invoices: also those that were cancelled
    tell: tuple[str, ...] = ()  # what a knife's owner is told

    @property
    def layout(self) -> Laid:
        """The layout, where there must be one."""
        assert self.laid is not None
        return self.laid

    @cached_property
    def plans(self) -> Sequence[BarPlan]:
        """The bars of the layout."""
        return bar_plans(self.layout) if self.planned is None else self.planned

    @property
    def ground(self) -> list[str]:
        """The keys of the parametric templates, which have a grind."""
        return [key for key in self.keys if self.model.shapes[key].template is not None]

    def bars_of(self, key: str) -> tuple[InHand, ...]:
        """The bars that blades of a template are made of."""
        return bars_of(self.model, self.laid, key)


def pages_pdf(run: PrintRun, pages: Iterable[SheetPage], title: str) -> bytes:
    """The pages as a PDF for a printer; empty if there are none."""
    sheets = list(pages)
    return pdf.pdf(sheets, title, run.printer) if sheets else b""


def each(model: Model, keys: Sequence[str], file: str, content: Callable[[str], bytes]) -> Files:
    """A file for each template, whose name replaces the braces in `file`; `content` makes it from the template's key."""
    existing: set[str] = set()
    return {file.format(file_name(model.shapes[key].name, existing)): content(key) for key in keys}
