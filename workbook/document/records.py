"""The records of a workbook: one frozen record for each thing a maker would name. Every record has an id that never changes."""

from decimal import Decimal
from typing import Literal

from msgspec import Struct, field

from workbook.document.making_records import BatchRecord, EntryRecord, LoadRecord, RecipeRecord
from workbook.document.money_records import AfterRecord, DeliveryRecord, ExpenseRecord, InvoiceRecord, PaymentRecord, SaleRecord
from workbook.document.shop_records import CustomerRecord, Movement, OrderLine, OrderRecord, PictureRecord, PieceRecord, Spoken
from workbook.heat.load import Bath
from workbook.region import USUAL, Region, region_of
from workbook.sheath.rules import SheathRules
from workbook.sheets.printer import Printer
from workbook.shop.charges import Charges
from workbook.shop.hours import ShopHours
from workbook.shop.job import Bar, PricePer, Rules, Saw
from workbook.shop.materials import Material
from workbook.shop.money import NOTHING, Money
from workbook.template.drawn import DrawnTemplate
from workbook.template.model import Template
from workbook.template.service import Service
from workbook.template.tools import Owned
from workbook.texts import _
from workbook.units import HABITS, INCH, Unit

SETTINGS_ID, TOOLS_ID = "settings", "tools"
AT_HAND = "layout at hand"  # the id of the layout that is being edited by hand
GroundFrom = Literal["likeliest", "bar", "cut", "nominal"]
PaperName = Literal["", "letter", "legal", "tabloid", "a4", "a3", "roll"]  # "": the usual paper for the unit


class TemplateRecord(Struct, frozen=True, kw_only=True):
    """A template on the shelf, of a family or drawn; `place` gives its order there."""

    id: str
    place: float
    family: Template | None = None
    drawn: DrawnTemplate | None = None
    tags: tuple[str, ...] = ()  # the maker's own words, to find it by
    ground_from: GroundFrom = "likeliest"  # what its blades are made of: "bar" the bar, "cut" that bar as it was when cut
    bar: str = ""  # a bar's id
    minutes: float = 0.0  # for one knife, without set-up; 0: estimated from its sizes
    own_family: str = ""  # the id of the maker's own family it belongs to; "": a shipped one, or none
    next_time: str = ""  # what to do otherwise when it is made again

    @property
    def template(self) -> Template | DrawnTemplate:
        """The template, of either kind."""
        template = self.family or self.drawn
        assert template is not None
        return template


class FamilyRecord(Struct, frozen=True, kw_only=True):
    """A family of the maker's own: a form that new templates begin from."""

    id: str
    place: float
    template: Template


class Revision(Struct, frozen=True, kw_only=True):
    """A template as it was when last printed, cut or laid out, so that its number tells an old print from a current one."""

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
    aside: bool = False  # nothing is laid out on it


class MaterialRecord(Struct, frozen=True, kw_only=True):
    """A material besides steel."""

    id: str
    place: float
    material: Material


class KeptPiece(Struct, frozen=True, kw_only=True):
    """A blank of a kept layout: its template and revision, the place of its O on the bar (mm), and its rotation (radians)."""

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
    """A layout the maker wants to return to, with its cost at the time."""

    id: str
    place: float
    name: str
    made: str  # ISO date and time
    steel: Decimal  # the cost of its steel, in the workbook's currency
    lost: float  # as a share of its bars
    bars: tuple[KeptBar, ...]
    cut: str = ""  # ISO date and time at which it was marked as cut


class ToolsRecord(Struct, frozen=True, kw_only=True):
    """The maker's tools."""

    id: str = TOOLS_ID
    owned: Owned = field(default_factory=Owned)


class Steps(Struct, frozen=True, kw_only=True):
    """The change of a length, in mm, by one press of an arrow key, for either unit."""

    inch: float = INCH / 64
    mm: float = 0.5

    def of(self, unit: Unit) -> float:
        """The step in a unit."""
        return self.mm if HABITS[unit].metric else self.inch


class Prices(Struct, frozen=True, kw_only=True):
    """The usual costs of buying a bar besides its price; new bars start with them."""

    per: PricePer = PricePer.BAR
    shipping: Decimal = NOTHING
    cut_charge: Decimal = NOTHING


class SettingsRecord(Struct, frozen=True, kw_only=True):
    """The workbook's name and the maker's habits: units, paper, steps, saw, rules, usual prices."""

    id: str = SETTINGS_ID
    name: str = _("Untitled shop book")
    unit: Unit = "in"
    currency: str = "USD"
    region: str = USUAL  # whose way dates and amounts are written in
    saw: Saw = field(default_factory=Saw)
    rules: Rules = field(default_factory=Rules)
    paper: PaperName = ""
    printer: Printer = field(default_factory=Printer)
    printers: tuple[Printer, ...] = ()  # others, by name
    service: Service = field(default_factory=Service)
    services: tuple[Service, ...] = ()
    sheath: SheathRules = field(default_factory=SheathRules)
    bath: Bath = field(default_factory=Bath)
    steps: Steps = field(default_factory=Steps)
    prices: Prices = field(default_factory=Prices)
    charges: Charges = field(default_factory=Charges)
    hours: ShopHours = field(default_factory=ShopHours)
    shop_heat: float = 20.0  # degrees C in the shop: glue cures by it
    glue_least: float = 13.0  # degrees C under which no glue cures as its sheet says: common practice, no source
    shop: str = ""  # the shop's own name, as printed on quotes
    address: str = ""
    contact: str = ""  # its phone, e-mail, site, as printed on quotes
    follows_file: bool = False  # the name is that of the file, until the maker gives another
    sample: bool = False  # it is the shop that is shown to try the program on: nothing of it is real

    @property
    def local(self) -> Region:
        """How dates are written."""
        return region_of(self.region)

    @property
    def money(self) -> Money:
        """How amounts are written."""
        return Money(self.currency, self.region)


OfShop = (
    CustomerRecord
    | OrderRecord
    | OrderLine
    | Movement
    | PieceRecord
    | PictureRecord
    | BatchRecord
    | EntryRecord
    | LoadRecord
    | RecipeRecord
    | PaymentRecord
    | DeliveryRecord
    | SaleRecord
    | InvoiceRecord
    | ExpenseRecord
    | AfterRecord
)
Record = (
    TemplateRecord | FamilyRecord | Revision | BarRecord | MaterialRecord | LayoutRecord | ToolsRecord | SettingsRecord | OfShop
)
KINDS: dict[str, type[Record]] = {
    "template": TemplateRecord,
    "family": FamilyRecord,
    "revision": Revision,
    "bar": BarRecord,
    "material": MaterialRecord,
    "order line": OrderLine,
    "customer": CustomerRecord,
    "order": OrderRecord,
    "movement": Movement,
    "piece": PieceRecord,
    "picture": PictureRecord,
    "batch": BatchRecord,
    "entry": EntryRecord,
    "load": LoadRecord,
    "recipe": RecipeRecord,
    "payment": PaymentRecord,
    "delivery": DeliveryRecord,
    "sale": SaleRecord,
    "invoice": InvoiceRecord,
    "expense": ExpenseRecord,
    "after": AfterRecord,
    "layout": LayoutRecord,
    "tools": ToolsRecord,
    "settings": SettingsRecord,
}


def kind_of(record: Record) -> str:
    """The word under which a record's kind is stored."""
    return next(kind for kind, record_type in KINDS.items() if type(record) is record_type)
