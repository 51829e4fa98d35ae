"""Fields and rows of the page Stock."""

from workbook.app.widgets.form import AmountItem, ChoiceItem, Heading, Item, LengthItem, NumberItem, SwitchItem, TextItem
from workbook.document.document import Document
from workbook.document.records import BarRecord
from workbook.document.shop_records import OrderRecord
from workbook.shop.job import Bar, Edges, PricePer
from workbook.shop.ledger import Entry
from workbook.shop.materials import Material, MaterialKind
from workbook.shop.money import NOTHING, priced
from workbook.template.parameters import Kind
from workbook.units import Unit, built, reading, show

_EDGES = ((Edges.MILL, "as rolled"), (Edges.SAWN, "sawn"), (Edges.SHEARED, "sheared"))
_PER = ((PricePer.BAR, "one bar"), (PricePer.FOOT, "a foot"), (PricePer.METRE, "a metre"), (PricePer.KILOGRAM, "a kilogram"))
BAR_ITEMS: tuple[Item | Heading, ...] = (
    TextItem("name", "Name"),
    TextItem("steel", "Steel", 30),
    LengthItem("thickness", "Thickness", 0.2, 60.0),
    LengthItem("width", "Width", 3.0, 1500.0),
    LengthItem("length", "Length", 10.0, 10_000.0),
    LengthItem("slant", "End B out of square by", 0.0, 1000.0, none=True),
    ChoiceItem("edges", "Long edges", _EDGES),
    SwitchItem("hot_rolled", "It is hot-rolled"),
    Heading("Calipers read (0: not measured)"),
    LengthItem("measured.thickness", "Thickness at end A", 0.2, 60.0, Kind.READING, none=True),
    LengthItem("measured.middle", "Thickness half-way", 0.2, 60.0, Kind.READING, none=True),
    LengthItem("measured.far", "Thickness at end B", 0.2, 60.0, Kind.READING, none=True),
    LengthItem("measured.bow", "Bow, flat on a plate", 0.0, 50.0, Kind.READING, none=True),
    LengthItem("measured.width", "Width", 3.0, 1500.0, Kind.READING, none=True),
    LengthItem("measured.length", "Length", 10.0, 10_000.0, Kind.READING, none=True),
    Heading("On the rack and for sale"),
    NumberItem("have", "On the rack", 0, 1000, whole=True),
    SwitchItem("offcut", "It is an offcut"),
    SwitchItem("buy", "More can be bought"),
    AmountItem("price", "Price"),
    ChoiceItem("per", "The price is for", _PER),
    AmountItem("shipping", "Carriage for a bar"),
    AmountItem("cut_charge", "Cut charge for a bar"),
    Heading("Where from and where"),
    TextItem("heat", "Heat or batch number", 60, empty=True),
    TextItem("origin", "It came from", 120, empty=True),
    TextItem("kept_at", "It lies", 60, empty=True),
)
MATERIAL_ITEMS: tuple[Item | Heading, ...] = (
    TextItem("name", "Name"),
    ChoiceItem("kind", "Kind", tuple((kind, kind.value) for kind in MaterialKind)),
    TextItem("per", "One of it is a", 20),
    AmountItem("price", "Price for one"),
    NumberItem("have", "There are", 0, 100_000),
    NumberItem("low", "Buy when fewer than", 0, 100_000),
    NumberItem("knife", "A knife takes (0: none, or one)", 0, 1000),
    LengthItem("size", "Diameter, or thickness", 0.0, 200.0, none=True),
    LengthItem("width", "Width", 0.0, 3000.0, none=True),
    LengthItem("length", "Length of one", 0.0, 10_000.0, none=True),
    TextItem("kept_at", "It lies", 60, empty=True),
)
BAR_HEADS = ("Bar", "Size", "Measured", "On the rack", "Kept for", "Price", "For sale")
MATERIAL_HEADS = ("Material", "Kind", "There are", "One is a", "Price for one", "")
LEDGER_HEADS = ("When", "What", "By", "Then", "")


def bar_row(document: Document, record: BarRecord, unit: Unit) -> tuple[str, ...]:
    """A bar as a row of the table."""
    bar = record.bar
    sizes = " × ".join(built(show(v, unit)) for v in (bar.thickness, bar.width, bar.length))
    own = (bar.measured.least, bar.measured.width, bar.measured.length)
    measured = " × ".join(reading(v, unit) if v else "-" for v in own) if bar.measured.anything else ""
    return bar.steel, f"{sizes} {unit}", measured, _have(bar), spoken(document, record), _price(document, bar), _sale(record)


def _have(bar: Bar) -> str:
    return f"{bar.have} offcut" if bar.offcut and bar.have else str(bar.have) if bar.have else "-"


def _price(document: Document, bar: Bar) -> str:
    per = "" if bar.per is PricePer.BAR else f" / {bar.per}"
    return f"{priced(bar.price, document.settings.currency)}{per}" if bar.price != NOTHING else "-"


def _sale(record: BarRecord) -> str:
    return "set aside" if record.aside else "yes" if record.bar.buy else "-"


def spoken(document: Document, record: BarRecord) -> str:
    """The orders that some of a kind of bar are kept for: "2 for order 3"."""
    found = []
    for each in record.spoken:
        order = document.records.get(each.order)
        found += [f"{each.count} for order {order.number}"] if isinstance(order, OrderRecord) else []
    return ", ".join(found)


def material_row(material: Material, currency: str) -> tuple[str, ...]:
    """A material as a row of the table."""
    price = priced(material.price, currency) if material.price != NOTHING else "-"
    short = f"fewer than {material.low:g}: to buy" if material.short else ""
    return material.name, material.kind, f"{material.have:g}", material.per, price, short


def entry_row(entry: Entry, then: str) -> tuple[str, ...]:
    """A line of a ledger, with what lay there then."""
    return entry.at[:10] or "-", str(entry.why), f"{entry.by:+f}", then, entry.note
