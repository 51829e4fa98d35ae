"""Every export of a job: one table for menus, buttons, the dialog and the commands, so that all write the same bytes.

What may not be made is refused here, in the same words for every caller (`refused.py`).
"""

from collections.abc import Callable, Mapping, Sequence

from msgspec import Struct

from workbook.problems import JobError, Mistake
from workbook.tasks.exports import bars, blades, book, cutting, heat, knives, making, sheath, templates
from workbook.tasks.exports.refused import refuse_bars, refuse_cards, refuse_nothing, refuse_templates
from workbook.tasks.exports.wanted import Files, Wanted
from workbook.tasks.write import file_name
from workbook.texts import _

__all__ = ["EXPORTS", "OF_A_BOOK", "OF_A_JOB", "Export", "Files", "Wanted", "exported", "proposed", "refuse"]


class Export(Struct, frozen=True, kw_only=True):
    """One kind of export: its name, what it shows, and how its files are made."""

    key: str
    words: str
    of: str  # "templates", "bars", "shop", "order", "batch" or "knives"
    file: str  # its name; the template's name replaces the braces
    make: Callable[[Wanted, str], Files]
    refuse: Callable[[Wanted], None]  # raises JobError for what may not be made

    @property
    def kind(self) -> str:
        """The kind of file, such as "pdf"."""
        return self.file.rpartition(".")[2]


def _of_templates(key: str, words: str, file: str, make: Callable[[Wanted, str], Files]) -> Export:
    return Export(key=key, words=words, of="templates", file=file, make=make, refuse=refuse_templates)


def _of_bars(key: str, words: str, file: str, make: Callable[[Wanted, str], Files]) -> Export:
    return Export(key=key, words=words, of="bars", file=file, make=make, refuse=refuse_bars)


def _of_shop(key: str, words: str, file: str, make: Callable[[Wanted, str], Files]) -> Export:
    return Export(key=key, words=words, of="shop", file=file, make=make, refuse=refuse_nothing)


def _of_batch(key: str, words: str, file: str, make: Callable[[Wanted, str], Files], guard: Callable[[Wanted], None]) -> Export:
    return Export(key=key, words=words, of="batch", file=file, make=make, refuse=guard)


def _of_order(key: str, words: str, file: str, make: Callable[[Wanted, str], Files], guard: Callable[[Wanted], None]) -> Export:
    return Export(key=key, words=words, of="order", file=file, make=make, refuse=guard)


def _of_knives(key: str, words: str, file: str, make: Callable[[Wanted, str], Files], guard: Callable[[Wanted], None]) -> Export:
    return Export(key=key, words=words, of="knives", file=file, make=make, refuse=guard)


_CARDS = "{}-bench-card.pdf"
_ALL = (
    _of_templates("sheets", _("Template sheets"), "{}.pdf", templates.sheets),
    Export(key="cards", words=_("Bench cards"), of="templates", file=_CARDS, make=templates.cards, refuse=refuse_cards),
    _of_templates("cutting", _("Cutting files and notes"), "{}.dxf", cutting.cutting),
    _of_templates("svg", _("Outlines as SVG"), "{}.svg", cutting.outlines),
    _of_templates("sheath", _("Sheath patterns"), "{}-sheath.dxf", sheath.drawings),
    _of_templates("sheath-svg", _("Sheath patterns as SVG"), "{}-sheath.svg", sheath.outlines),
    _of_templates("pictures", _("Pictures to share"), "{}.png", templates.pictures),
    _of_templates("holes", _("Table of holes"), "holes.csv", templates.holes),
    _of_bars("bars", _("Bar sheets"), "bars.pdf", bars.bar_sheets),
    _of_bars("bars-drawing", _("Drawing with all lines"), "bars.dxf", bars.bars_drawing),
    _of_bars("bars-cut", _("Cutting file of the bars"), "bars-to-cut.dxf", cutting.bars_cut),
    _of_bars("ordinates", _("Table of ordinates"), "ordinates.csv", bars.ordinates),
    _of_bars("cuts", _("Table of saw cuts"), "cuts.csv", bars.cuts),
    _of_bars("costs", _("Table of costs"), "costs.csv", bars.costs),
    _of_bars("buy", _("Buying list"), "buy.csv", bars.buy),
    _of_bars("labels", _("Labels for blanks"), "labels.pdf", bars.labels),
    _of_bars("stencil", _("Stencil of numbers"), "stencil.svg", bars.stencils),
    _of_bars("layout", _("Layout file"), "layout.json", bars.layout_file),
    _of_shop("shelf", _("Contact sheet"), "shelf.pdf", templates.shelf),
    _of_order("quote", _("Quote"), "{}.pdf", book.quote, book.refuse_quote),
    _of_order("invoice", _("Invoice"), "invoice-{}.pdf", book.invoice, book.refuse_invoice),
    _of_order("receipt", _("Receipt"), "receipt-{}.pdf", book.receipt, book.refuse_receipt),
    _of_order("packing", _("Packing slip"), "packing-{}.pdf", book.packing, book.refuse_packing),
    _of_batch("traveller", _("Traveler"), "traveller-{}.pdf", making.traveller, making.refuse_batch),
    _of_batch("heat", _("Heat-treatment sheets"), "heat-{}.pdf", heat.heat_sheets, heat.refuse_heat),
    _of_batch("outgoing", _("Sheet to send with blades"), "to-send-{}.pdf", making.outgoing, making.refuse_outgoing),
    _of_batch("scales", _("Scale sheets by serial"), "scales-{}.pdf", blades.scales_by_serial, blades.refuse_scales),
    _of_batch("blade-labels", _("Labels for blades and scales"), "labels-{}.pdf", blades.blade_labels, making.refuse_batch),
    _of_batch("tags", _("Tags for blades and scales"), "tags-{}.pdf", blades.blade_tags, making.refuse_batch),
    _of_knives("care", _("Care cards"), "care-{}.pdf", knives.care, knives.refuse_knives),
    _of_knives("history", _("Knife histories for owners"), "history-{}.pdf", knives.history, knives.refuse_knives),
    _of_knives("sale-receipt", _("Receipts of knives sold"), "sale-{}.pdf", knives.sale_receipt, knives.refuse_unsold),
    _of_shop("printer", _("Printer test page"), "printer-test.pdf", templates.printer_test),
)
EXPORTS: Mapping[str, Export] = {export.key: export for export in _ALL}
OF_A_JOB = tuple(export.key for export in _ALL if export.of not in ("order", "batch", "knives"))  # which a job has not
OF_A_BOOK = tuple(export.key for export in _ALL if export.of in ("order", "batch", "knives") and export.key != "quote")


def refuse(wanted: Wanted, keys: Sequence[str]) -> None:
    """Raise JobError for what may not be made."""
    for guard in dict.fromkeys(EXPORTS[key].refuse for key in keys):
        guard(wanted)


def proposed(wanted: Wanted, key: str) -> str:
    """The name of the first file of an export, before it is made."""
    if EXPORTS[key].of == "order" and wanted.order is not None:
        return EXPORTS[key].file.format(book.quote_name(wanted.order) if key == "quote" else book.order_file(wanted))
    if EXPORTS[key].of == "knives":
        return EXPORTS[key].file.format(knives.knives_name(wanted))
    if EXPORTS[key].of == "batch":
        return EXPORTS[key].file.format(making.batch_name(wanted))
    first = wanted.model.shapes[wanted.keys[0]].name if wanted.keys else ""
    return EXPORTS[key].file.format(file_name(first, set()))


def exported(wanted: Wanted, keys: Sequence[str]) -> Files:
    """The files of some exports, by name; where two share a name, the later is prefixed with the key of its export.

    Raises JobError for what may not be made, or if there is no file.
    """
    refuse(wanted, keys)
    files: Files = {}
    for key in keys:
        export = EXPORTS[key]
        for name, content in export.make(wanted, export.file).items():
            if not content:  # a template without such a sheet
                continue
            files[name if name not in files else f"{key}-{name}"] = content
    if not files:
        raise JobError([Mistake(place=_("export"), what=_("none of the selected templates has it."))])
    return files
