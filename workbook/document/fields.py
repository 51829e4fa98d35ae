"""The allowed values of every field of every record, and the kinds of record its ids may point to.

The record that an id points to may be gone: pieces cut of a template and layouts kept of a bar stay when the template or bar is
removed, and every reader skips missing records.

The rows of the structs within records are in those structs' packages; here are the records' own.
"""

from typing import Any

from workbook.document import money_fields as of_money
from workbook.document.making_records import BatchRecord, EntryRecord, LoadRecord, RecipeRecord
from workbook.document.records import (
    BarRecord,
    FamilyRecord,
    KeptBar,
    KeptPiece,
    LayoutRecord,
    MaterialRecord,
    Prices,
    Revision,
    SettingsRecord,
    Steps,
    TemplateRecord,
    ToolsRecord,
)
from workbook.document.shop_records import CustomerRecord, Movement, OrderLine, OrderRecord, PictureRecord, PieceRecord, Spoken
from workbook.fields import (
    CELSIUS,
    NOTE,
    SUM,
    Field,
    Kind,
    Table,
    choice,
    count,
    length,
    money,
    number,
    part,
    parts,
    share,
    switch,
    text,
)
from workbook.heat import fields as of_heat
from workbook.making import fields as of_making
from workbook.making.fields import MOST_BLADES
from workbook.region import REGIONS
from workbook.sheath import fields as of_sheaths
from workbook.sheets.printer import Printer
from workbook.shop import fields as of_shop
from workbook.shop.fields import DEPOSIT, MOST_BLANKS, MOST_COUNTED, MOST_ORDERED, ON_QUOTE, PER_WORDS, TAX
from workbook.shop.orders import STATUS_WORDS
from workbook.template import fields as of_templates
from workbook.texts import _
from workbook.units import HABITS, INCH

_ID = 100  # characters
_AS_USUAL = _("shop default")
PAPER_WORDS = (
    ("", _("match units")),
    ("letter", _("letter")),
    ("a4", "A4"),
    ("legal", _("legal")),
    ("tabloid", _("tabloid, 11 × 17 in")),
    ("a3", "A3"),
    ("roll", _("roll")),
)
_UNITS = tuple((unit, own.names) for unit, own in HABITS.items())
_INCHES = tuple((INCH * part, words) for part, words in (
    (1 / 64, "1/64 in"), (1 / 32, "1/32 in"), (1 / 16, "1/16 in"), (0.001, "0.001 in"), (0.005, "0.005 in"), (0.010, "0.010 in"),
))  # fmt: skip
_MILLIMETRES = tuple((mm, f"{mm:g} mm") for mm in (0.1, 0.25, 0.5, 1.0))
_STATUSES = tuple(STATUS_WORDS.items())
_PICTURED = ("template", "revision", "bar", "material", "layout", "customer", "order", "order line", "piece", "batch")


def _id() -> Field:
    return Field(key="id", kind=Kind.ID, letters=_ID, empty=False, added=True)


def _place() -> Field:
    return number("place", -1e9, 1e9)


def _to(key: str, *kinds: str, **more: Any) -> Field:
    return Field(key=key, kind=Kind.REFERENCE, letters=_ID, of=kinds, **more)


def _time(key: str, kind: Kind = Kind.MOMENT, **more: Any) -> Field:
    return Field(key=key, kind=kind, **more)


def _revision(*, added: bool = False) -> Field:
    return count("revision", 0, 10**6, added=added)


OWN: dict[type, Table] = {
    TemplateRecord: (
        _id(), _place(), part("family", none=_("drawn")), part("drawn", none=_("of a family")),
        text("tags", entries=100),
        choice("ground_from"), _to("bar", "bar"),
        number("minutes", 0, 100_000, zero=_("by its size"), label=_("Minutes each"),
            meaning=_("for one knife of it, without set-up")),
        _to("own_family", "family", since=11), text("next_time", NOTE, since=15, label=_("Next time")),
    ),
    FamilyRecord: (_id(), _place(), part("template", since=11)),
    Revision: (
        _id(), _to("of", "template", added=True), count("number", 1, 10**6, added=True),
        _time("made", added=True), text("why", added=True), text("note", NOTE),
        part("family", none=_("drawn"), added=True),
        part("drawn", none=_("of a family"), added=True),
    ),
    BarRecord: (_id(), _place(), part("bar"), parts("spoken", 1000), switch("aside")),
    Spoken: (_to("order", "order"), count("count", 1, MOST_COUNTED)),
    MaterialRecord: (_id(), _place(), part("material")),
    KeptPiece: (
        _to("of", "template"), _revision(), text("serial"), length("x", -20_000, 20_000),
        length("y", -20_000, 20_000), number("angle", -100, 100), switch("mirrored"), switch("pinned"),
    ),
    KeptBar: (_to("bar", "bar"), parts("pieces", MOST_BLANKS)),
    LayoutRecord: (
        _id(), _place(), text("name"), _time("made"), money("steel", SUM, low=-SUM), number("lost", -1, 1),
        parts("bars", MOST_BLANKS), _time("cut"),
    ),
    ToolsRecord: (_id(), part("owned")),
    Steps: (
        length("inch", 0.001, 100, options=_INCHES, label=_("Arrow-key step, inches")),
        length("mm", 0.001, 100, options=_MILLIMETRES, label=_("Arrow-key step, mm")),
    ),
    Prices: (
        choice("per", options=PER_WORDS, label=_("Price per")), money("shipping", label=_("Shipping per bar")),
        money("cut_charge", label=_("Cut charge per bar")),
    ),
    Printer: (
        text("name", label=_("Name"), filled=True),
        number("x", 90, 110, unit="mm", label=_("Test line across (100 mm)")),
        number("y", 90, 110, unit="mm", label=_("Test line up the page (100 mm)")),
        length("margin", 0, 15, label=_("Unprintable margin")),
        length("roll", 150, 2000, label=_("Roll paper width")),
    ),
    SettingsRecord: (
        _id(), text("name", label=_("Shop book name"), filled=True),
        choice("unit", options=_UNITS, label=_("Units first")),
        text("currency", 20, label=_("Currency, e.g. USD"), filled=True),
        choice("region", words=tuple(REGIONS), options=tuple((code, region.name) for code, region in REGIONS.items()), since=14,
               label=_("Dates and amounts as in"), meaning=_("region whose way dates and amounts of money are written in")),
        part("saw"), part("rules"), choice("paper", options=PAPER_WORDS, label=_("Paper")), part("printer"),
        parts("printers", 200), part("service"), parts("services", 200),
        part("sheath", since=12), part("bath", since=12), part("steps"), part("prices"), part("charges"),
        part("hours", since=15),
        number("shop_heat", -20, 50, unit=CELSIUS, label=_("Shop temperature"), meaning=_("glue cures by it"), since=15),
        number("glue_least", -20, 50, unit=CELSIUS, label=_("Coldest for glue"), since=15,
               meaning=_("no curing time is told for a colder shop: see the sheet of the glue")),
        text("shop", head=ON_QUOTE, label=_("Shop name")), text("address", NOTE, head=ON_QUOTE, label=_("Address")),
        text("contact", NOTE, head=ON_QUOTE, label=_("Phone, email"), since=11),
        switch("follows_file", since=10), switch("sample", since=10),
    ),
    CustomerRecord: (
        _id(), _place(), text("name", label=_("Name"), filled=True), text("contact", NOTE, label=_("Contact")),
        length("hand_breadth", 0, 150, zero=_("unknown"), label=_("Hand width")), text("notes", NOTE),
    ),
    OrderRecord: (
        _id(), _place(), count("number", 1, 10**9), _to("customer", "customer", label=_("For")),
        choice("status", options=_STATUSES, label=_("Status")),
        _time("taken", Kind.DATE), _time("wanted", Kind.DATE, label=_("Due date")), _time("quoted", Kind.DATE),
        money("discount", label=_("Discount")), money("delivery", label=_("Shipping")),
        share("tax", *TAX, none=_AS_USUAL, label=_("Tax")), share("deposit", *DEPOSIT, none=_AS_USUAL, label=_("Deposit")),
        text("notes", NOTE, label=_("Quote note")), switch("laying", label=_("Include in layout")),
        text("batch", label=_("Batch"), meaning=_("orders with the same batch name are made together")),
    ),
    OrderLine: (
        _id(), _place(), _to("of", "template", empty=False, label=_("Template")), text("steel", label=_("Steel")),
        count("quantity", 1, MOST_ORDERED, label=_("Quantity")),
        _to("order", "order"), _to("handle", "material", label=_("Handle")),
        _to("sheath", "material", label=_("Sheath"), since=12,
            meaning=_("sheath material: one of that kind in stock. How it is drawn is under Settings")),
        parts("options", 50),
        part("pricing", none=_AS_USUAL),
        count("starts", 0, 2 * MOST_ORDERED, none=_("by yield"), zero=_("by yield"), label=_("Blanks started")),
        money("agreed", SUM, none=_("not quoted yet")), _revision(), text("note", NOTE, label=_("Quote note")),
    ),
    Movement: (
        _id(), number("place", -1e9, 1e9, added=True), _to("of", "bar", "material", added=True),
        _time("at", added=True), choice("why", added=True), money("by", low=-1_000_000, added=True),
        text("note", NOTE, added=True),
    ),
    PieceRecord: (
        _id(), number("place", -1e9, 1e9, added=True), text("serial", added=True), _to("of", "template", added=True),
        text("name", added=True), _revision(added=True), text("steel", added=True), text("bar", added=True),
        text("heat", added=True), _to("line", "order line"), money("cost", SUM, low=-SUM, added=True),
        _time("at", added=True), _to("of_bar", "bar", added=True), length("thickness", 0, 60, added=True),
        length("width", 0, 2500, added=True), part("measured", added=True),
        _to("batch", "batch", since=12), text("first", since=12, added=True), _to("handle", "material", since=12),
        text("scales", since=12, label=_("Scales"), meaning=_("the mark on its pair of scales")),
        money("price", SUM, none=_("no price"), since=15, label=_("Price")), text("kept_at", since=15, label=_("Location")),
    ),
    BatchRecord: (
        _id(), _place(), count("number", 1, 10**9, added=True, since=12), text("name", label=_("Name"), since=12),
        _time("begun", Kind.DATE, since=12, added=True), parts("stages", 100, since=12),
        text("note", NOTE, label=_("Note"), since=12),
    ),
    LoadRecord: (
        _id(), _place(), count("number", 1, 10**9, added=True, since=12), _time("date", Kind.DATE, since=12),
        text("steel", since=12), _to("pieces", "piece", entries=MOST_BLADES, since=12), part("load", since=12),
    ),
    RecipeRecord: (_id(), _place(), text("steel", filled=True, since=13), part("recipe", since=13)),
    EntryRecord: (
        _id(), number("place", -1e9, 1e9, added=True), _to("batch", "batch", added=True, since=12),
        _time("at", added=True, since=12), part("entry", added=True, since=12),
    ),
    PictureRecord: (
        _id(), _place(), _to("of", *_PICTURED), text("picture", 100, empty=False), text("words", NOTE), _time("at"),
    ),
}  # fmt: skip
OWN |= of_money.FIELDS
FIELDS: dict[type, Table] = {
    **of_templates.FIELDS,
    **of_shop.FIELDS,
    **of_sheaths.FIELDS,
    **of_making.FIELDS,
    **of_heat.FIELDS,
    **OWN,
}


def row_of(kind: type, key: str) -> Field:
    """The row of a field of a struct. KeyError when there is none."""
    return next((row for row in FIELDS[kind] if row.key == key), None) or _none(kind, key)


def _none(kind: type, key: str) -> Field:
    raise KeyError(f"{kind.__name__}.{key}")
