"""Fields and rows of the page Stock."""

from workbook.app.elements.items import form_items
from workbook.document.document import Document
from workbook.document.records import BarRecord
from workbook.document.shop_records import OrderRecord
from workbook.region import Region
from workbook.shop.job import Bar, PricePer
from workbook.shop.ledger import REASON_WORDS, Entry
from workbook.shop.materials import MATERIAL_WORDS, Material
from workbook.shop.money import NOTHING, Money, priced
from workbook.texts import _
from workbook.units import Unit, built, reading, show

BAR_ITEMS = form_items(Bar)
MATERIAL_ITEMS = form_items(Material)
BAR_HEADS = (_("Bar"), _("Size"), _("Measured"), _("On the rack"), _("Reserved for"), _("Price"), _("Can reorder"))
MATERIAL_HEADS = (_("Material"), _("Kind"), _("On hand"), _("Unit"), _("Unit price"), "")
LEDGER_HEADS = (_("Date"), _("Entry"), _("By"), _("On hand"), "")


def bar_row(document: Document, record: BarRecord, unit: Unit) -> tuple[str, ...]:
    """The cells of a bar in the table."""
    bar = record.bar
    sizes = " × ".join(built(show(v, unit)) for v in (bar.thickness, bar.width, bar.length))
    readings = (bar.measured.least, bar.measured.width, bar.measured.length)
    measured = " × ".join(reading(v, unit) if v else "-" for v in readings) if bar.measured.anything else ""
    return bar.steel, f"{sizes} {unit}", measured, _have(bar), spoken(document, record), _price(document, bar), _sale(record)


def _have(bar: Bar) -> str:
    return _("{have} offcut", have=bar.have) if bar.offcut and bar.have else str(bar.have) if bar.have else "-"


def _price(document: Document, bar: Bar) -> str:
    if bar.price == NOTHING:
        return "-"
    price = priced(bar.price, document.settings.money)
    return price if bar.per is PricePer.BAR else _("{price} / {per}", price=price, per=bar.per)


def _sale(record: BarRecord) -> str:
    return _("excluded") if record.aside else _("yes") if record.bar.buy else "-"


def spoken(document: Document, record: BarRecord) -> str:
    """The orders for which some of these bars are kept: "2 for order 3"."""
    parts = []
    for each in record.spoken:
        order = document.records.get(each.order)
        parts += (
            [_("{count} for order {number}", count=each.count, number=order.number)] if isinstance(order, OrderRecord) else []
        )
    return ", ".join(parts)


def material_row(material: Material, money: Money) -> tuple[str, ...]:
    """The cells of a material in the table."""
    price = priced(material.price, money) if material.price != NOTHING else "-"
    short = _("below {low:g}: reorder", low=material.low) if material.short else ""
    return material.name, MATERIAL_WORDS[material.kind], f"{material.have:g}", material.per, price, short


def entry_row(entry: Entry, then: str, local: Region) -> tuple[str, ...]:
    """The cells of a ledger entry, with the count after it."""
    return local.short_day(entry.at) or "-", REASON_WORDS[entry.why], f"{entry.by:+f}", then, entry.note
