"""What a workbook holds: one frozen record for each thing a maker would call one. Every record has an id that never changes."""

from decimal import Decimal
from typing import Literal

from msgspec import Struct, field

from workbook.document.shop_records import CustomerRecord, Movement, OrderLine, OrderRecord, PictureRecord, PieceRecord, Spoken
from workbook.sheets.printer import Printer
from workbook.shop.charges import Charges
from workbook.shop.job import Bar, PricePer, Rules, Saw
from workbook.shop.materials import Material
from workbook.shop.money import NOTHING
from workbook.template.drawn import DrawnTemplate
from workbook.template.model import Template
from workbook.template.service import Service
from workbook.template.tools import Owned
from workbook.units import HABITS, INCH, Unit

SETTINGS_ID, TOOLS_ID = "settings", "tools"
AT_HAND = "layout at hand"  # the id of the layout that is being worked on by hand
GroundFrom = Literal["likeliest", "bar", "cut", "nominal"]
PaperName = Literal["", "letter", "legal", "tabloid", "a4", "a3", "roll"]  # "": as the unit has it


class TemplateRecord(Struct, frozen=True, kw_only=True):
    """A template on the shelf, of one kind or the other; its place there decides the order."""

    id: str
    place: float
    family: Template | None = None
    drawn: DrawnTemplate | None = None
    tags: tuple[str, ...] = ()  # the maker's own words, to find it by
    ground_from: GroundFrom = "likeliest"  # what its blades are made of: "bar" the bar, "cut" that bar as it was when blanks were
    bar: str = ""  # a bar's id
    minutes: float = 0.0  # that one knife of it takes, without set-up; 0: by its sizes

    @property
    def template(self) -> Template | DrawnTemplate:
        """Whichever it is."""
        found = self.family or self.drawn
        assert found is not None
        return found


class Revision(Struct, frozen=True, kw_only=True):
    """A template as it was when it was last printed, cut or laid out: an old print can be told from today's by its number."""

    id: str
    of: str  # the template's id
    number: int
    made: str  # ISO date and time
    why: str  # "template sheet", "cut file", "bar sheets"
    note: str = ""  # the maker's own words
    family: Template | None = None
    drawn: DrawnTemplate | None = None


class BarRecord(Struct, frozen=True, kw_only=True):
    """A kind of bar on the rack or for sale."""

    id: str
    place: float
    bar: Bar
    spoken: tuple[Spoken, ...] = ()
    aside: bool = False  # it is not laid out on


class MaterialRecord(Struct, frozen=True, kw_only=True):
    """A material besides steel."""

    id: str
    place: float
    material: Material


class KeptPiece(Struct, frozen=True, kw_only=True):
    """A blank of a kept layout: of which template and revision, where its O lies on the bar (mm), how it is turned (radians)."""

    of: str  # the template's id
    revision: int
    serial: str
    x: float
    y: float
    angle: float
    mirrored: bool
    pinned: bool = False


class KeptBar(Struct, frozen=True, kw_only=True):
    """A bar of a kept layout."""

    bar: str  # the bar's id
    pieces: tuple[KeptPiece, ...]


class LayoutRecord(Struct, frozen=True, kw_only=True):
    """A layout the maker wants to come back to, with what it cost then."""

    id: str
    place: float
    name: str
    made: str  # ISO date and time
    steel: Decimal  # its steel's cost, in the workbook's currency
    lost: float  # share of its bars
    bars: tuple[KeptBar, ...]
    cut: str = ""  # ISO date and time at which it was marked as cut


class ToolsRecord(Struct, frozen=True, kw_only=True):
    """The maker's tools."""

    id: str = TOOLS_ID
    owned: Owned = field(default_factory=Owned)


class Steps(Struct, frozen=True, kw_only=True):
    """What one press of an arrow key changes a length by, mm, in either unit."""

    inch: float = INCH / 64
    mm: float = 0.5

    def of(self, unit: Unit) -> float:
        """The step in a unit."""
        return self.mm if HABITS[unit].metric else self.inch


class Prices(Struct, frozen=True, kw_only=True):
    """What a bar bought usually costs besides its price; new bars begin with it."""

    per: PricePer = PricePer.BAR
    shipping: Decimal = NOTHING
    cut_charge: Decimal = NOTHING


class SettingsRecord(Struct, frozen=True, kw_only=True):
    """The workbook's name and the maker's habits: units, paper, steps, saw, rules, usual prices."""

    id: str = SETTINGS_ID
    name: str = "Untitled workbook"
    unit: Unit = "in"
    currency: str = "USD"
    saw: Saw = field(default_factory=Saw)
    rules: Rules = field(default_factory=Rules)
    paper: PaperName = ""
    printer: Printer = field(default_factory=Printer)
    printers: tuple[Printer, ...] = ()  # others, by name
    service: Service = field(default_factory=Service)
    services: tuple[Service, ...] = ()
    steps: Steps = field(default_factory=Steps)
    prices: Prices = field(default_factory=Prices)
    charges: Charges = field(default_factory=Charges)
    shop: str = ""  # the shop's own name, as its quotes say it
    address: str = ""


OfShop = CustomerRecord | OrderRecord | OrderLine | Movement | PieceRecord | PictureRecord
Record = TemplateRecord | Revision | BarRecord | MaterialRecord | LayoutRecord | ToolsRecord | SettingsRecord | OfShop
KINDS: dict[str, type[Record]] = {
    "template": TemplateRecord,
    "revision": Revision,
    "bar": BarRecord,
    "material": MaterialRecord,
    "order line": OrderLine,
    "customer": CustomerRecord,
    "order": OrderRecord,
    "movement": Movement,
    "piece": PieceRecord,
    "picture": PictureRecord,
    "layout": LayoutRecord,
    "tools": ToolsRecord,
    "settings": SettingsRecord,
}


def kind_of(record: Record) -> str:
    """The word a record's kind is stored under."""
    return next(kind for kind, made in KINDS.items() if type(record) is made)
