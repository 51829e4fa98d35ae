"""A job: saw, templates, bars and what to make. A job file is read into these records. Lengths in mm, angles in degrees."""

from collections.abc import Iterator
from decimal import Decimal
from enum import StrEnum

from msgspec import Struct, field

from workbook.region import USUAL
from workbook.sheath.rules import SheathRules
from workbook.shop.money import NOTHING, Money
from workbook.structs import replace
from workbook.template.drawn import DrawnTemplate
from workbook.template.hole_places import Across, Along, Datum
from workbook.template.model import Template
from workbook.template.service import Service
from workbook.template.tools import Owned
from workbook.texts import _
from workbook.units import INCH, Unit


class Cutting(StrEnum):
    """How blanks are cut from the bar."""

    LINE = "line"  # the saw follows the line
    STRAIGHT = "straight"  # straight cuts only
    SERVICE = "service"  # jet or laser


class Edges(StrEnum):
    """How a bar's long edges were made."""

    MILL = "mill"  # as rolled
    SAWN = "sawn"
    SHEARED = "sheared"  # drawn down and cracked by the shear


class PricePer(StrEnum):
    """What a bar's price is for."""

    BAR = "bar"
    FOOT = "ft"
    METRE = "m"
    KILOGRAM = "kg"


class Saw(Struct, frozen=True, kw_only=True):
    """What the saw removes and where blanks may lie. Defaults are common practice, no source."""

    kerf: float = INCH / 32
    clean_up: float = INCH / 16
    bar_end: float = INCH / 8
    bar_edge: float | None = None  # None: as clean_up
    sawn_edge: float | None = None  # to a sawn edge; None: as bar_edge
    sheared_edge: float = INCH / 8  # to a sheared edge, if bar_edge is not more
    spine_on_edge: bool = False
    tilt: float = 0.0
    cutting: Cutting = Cutting.LINE
    band: float | None = None  # width of the saw's band
    tightest_radius: float | None = None  # least radius the saw turns; None: by the band's width
    feed: float = 2 * INCH  # how far it cuts in a minute in steel 1/8 in thick

    @property
    def separation(self) -> float:
        """Least distance between two finished outlines, mm: the kerf and twice the clean-up."""
        return self.kerf + 2 * self.clean_up

    @property
    def edge_margin(self) -> float:
        """Least distance from a finished outline to a long edge of the bar, mm."""
        return self.clean_up if self.bar_edge is None else self.bar_edge

    def margin_of(self, edges: Edges) -> float:
        """Least distance from a finished outline to a long edge of a kind, mm."""
        if edges is Edges.SAWN and self.sawn_edge is not None:
            return self.sawn_edge
        return max(self.edge_margin, self.sheared_edge) if edges is Edges.SHEARED else self.edge_margin


LEAST_LENGTH, LEAST_WIDTH = 10.0, 3.0  # mm of a bar
MOST_SLANT = 0.5  # share of a bar's length by which its end may be out of square
LACKS_TOO_MUCH = _("The missing corner leaves nothing of the bar. Is the unit right?")
TOO_SLANTED = _("An end is out of square by over half the bar's length. Is the unit right?")
NOT_OF_THIS_BAR = _("That reading is not possible on this bar. Is the decimal point or the unit right?")


def may_be_read(value: float, nominal: float) -> bool:
    """Whether a reading is plausible for a nominal size: if not, the decimal point slipped or the unit is wrong."""
    return 0.7 < value / nominal < 1.4


class Quench(StrEnum):
    """What a blade is quenched in."""

    BY_STEEL = "by steel"  # from the table of heat treatment
    OIL = "oil"
    WATER = "water"
    AIR = "air"  # still, blown, or between plates


class Measured(Struct, frozen=True, kw_only=True):
    """The caliper readings of a bar, mm; None where not measured."""

    thickness: float | None = None  # the only reading, or that at end A
    middle: float | None = None  # thickness half-way along
    far: float | None = None  # thickness at end B
    bow: float | None = None  # how far the bar is out of straight, flat on a plate
    width: float | None = None
    length: float | None = None

    @property
    def least(self) -> float | None:
        """The thinnest of the readings, mm: a blank has at least this wherever it is cut."""
        return min((t for t in (self.thickness, self.middle, self.far) if t), default=None)

    @property
    def spread(self) -> float:
        """The difference between the thickest and the thinnest reading, mm."""
        readings = [t for t in (self.thickness, self.middle, self.far) if t]
        return max(readings) - min(readings) if readings else 0.0

    @property
    def anything(self) -> bool:
        """Whether anything was measured."""
        return self != Measured()


class Bar(Struct, frozen=True, kw_only=True):
    """A kind of bar: its size, its price, the count on the rack, and whether more can be bought."""

    name: str
    steel: str
    thickness: float
    width: float
    length: float
    price: Decimal = NOTHING  # as quoted, for one `per`
    per: PricePer = PricePer.BAR
    shipping: Decimal = NOTHING  # for one bar bought
    cut_charge: Decimal = NOTHING  # for one bar bought
    have: int = 0
    buy: bool = True
    offcut: bool = False
    edges: Edges = Edges.MILL
    hot_rolled: bool = False  # its faces have a skin that has lost carbon
    measured: Measured = field(default_factory=Measured)
    slant: float = 0.0  # end B is out of square: one long edge is shorter by this
    corner_length: float = 0.0  # of a corner that is missing at end B, along the bar
    corner_width: float = 0.0  # and across it; 0 for either: none is missing
    heat: str = ""  # heat or batch number, as the mill gives it
    origin: str = ""  # where it came from
    kept_at: str = ""  # where it is stored

    @property
    def true_length(self) -> float:
        """The length over which it is of full width, mm: measured where known, else nominal."""
        return (self.measured.length or self.length) - self.slant - (self.corner_length if self.lacks_corner else 0.0)

    @property
    def lacks_corner(self) -> bool:
        """Whether a corner is missing at end B."""
        return self.corner_length > 0.0 and self.corner_width > 0.0

    @property
    def beyond(self) -> tuple[float, float]:
        """How far it goes on beyond its full width, and how wide it is there, mm; width 0 where it is cut off slanting."""
        return (self.corner_length, self.true_width - self.corner_width) if self.lacks_corner else (self.slant, 0.0)

    @property
    def true_width(self) -> float:
        """The width, mm: measured where known, else nominal."""
        return self.measured.width or self.width

    @property
    def true_thickness(self) -> float:
        """The thickness, mm: the thinnest reading where measured, else nominal."""
        return self.measured.least or self.thickness

    @property
    def as_bought(self) -> "Bar":
        """One bought anew: square and whole, and not measured yet."""
        return replace(self, slant=0.0, corner_length=0.0, corner_width=0.0, measured=Measured())

    @property
    def lacking(self) -> float:
        """The area in mm² that it lacks of a rectangle as long as its longer edge."""
        return self.slant * self.width / 2 + (self.corner_length * self.corner_width if self.lacks_corner else 0.0)

    @property
    def outline(self) -> tuple[tuple[float, float], ...]:
        """Its corners, from end A along its longer edge, which lies below."""
        return bar_corners(self.true_length, self.true_width, *self.beyond)

    def bow_over(self, length: float) -> float:
        """The bow of a piece of the bar, mm: that of an arc of the same radius, bow (l / L)^2."""
        return (self.measured.bow or 0.0) * min(length / self.true_length, 1.0) ** 2


def bar_corners(length: float, width: float, beyond: float, tongue: float) -> tuple[tuple[float, float], ...]:
    """The corners of a bar of full width for a length, which goes on beyond it as wide as `tongue`, or slanting to nothing."""
    tail = ((length + beyond, tongue), (length, tongue)) if beyond and tongue else ()
    return ((0.0, 0.0), (length + beyond, 0.0), *tail, (length, width), (0.0, width))


def cannot_be(bar: Bar) -> Iterator[tuple[str, str]]:
    """The values of a bar that contradict its sizes: each field, with the reason."""
    measured, nominal = bar.measured, {"thickness": bar.thickness, "middle": bar.thickness, "far": bar.thickness}
    for name, size in (nominal | {"width": bar.width, "length": bar.length}).items():
        value = getattr(measured, name)
        if value and not may_be_read(value, size):
            yield f"measured.{name}", NOT_OF_THIS_BAR
    yield from lacks_too_much(bar)


def lacks_too_much(bar: Bar) -> Iterator[tuple[str, str]]:
    """The sizes of what a bar lacks that leave too little of it: each field, with the reason."""
    if bar.slant > MOST_SLANT * bar.length:
        yield "slant", TOO_SLANTED
    if bar.lacks_corner and bar.true_length <= 0:
        yield "corner_length", LACKS_TOO_MUCH
    if bar.lacks_corner and bar.corner_width >= bar.true_width:
        yield "corner_width", LACKS_TOO_MUCH


class Make(Struct, frozen=True, kw_only=True):
    """A number of blanks of a template to make in a steel."""

    template: str  # its key, see Job.keys
    steel: str
    quantity: int


NOMINAL = "nominal"  # in place of a bar's name: the template's own thickness


class Choice(Struct, frozen=True):
    """The bar the maker chose for a template."""

    bar: str  # its name, or NOMINAL
    cut: bool = False  # whether it is one that blanks were cut from, as it was then


class CutBlank(Struct, frozen=True, kw_only=True):
    """A blank that was cut, and the bar it came from as measured then."""

    template: str  # its key
    serial: str
    bar: str
    steel: str
    thickness: float  # nominal
    width: float
    measured: Measured


class Rules(Struct, frozen=True, kw_only=True):
    """The maker's habits that a job may set."""

    keep_offcut: float = 6 * INCH
    keep_width: float = 0.75 * INCH
    credit_offcuts: bool = True
    offcuts_first: bool = False  # offcuts are used before whole rack bars, regardless of price
    use_openings: bool = False  # blanks may lie in the openings of others
    under: float = 0.1  # a bar may be thinner than the template by this
    over: float = 0.5  # or thicker by this
    tang_clearance: float = 0.005 * INCH
    smallest_radius: float = 1.5
    web: float = INCH / 8
    along: Along = Along.BUTT  # what holes are measured from
    across: Across = Across.SPINE
    hand_breadth: float = 0.0  # of the hand the knives are for; 0: not known
    quench: Quench = Quench.BY_STEEL
    heat: float = 815.0  # degrees C at which blades are soaked before the quench
    soak: float = 10.0  # minutes at that heat

    @property
    def datum(self) -> Datum:
        """What holes are measured from."""
        return Datum(along=self.along, across=self.across)


AnyTemplate = Template | DrawnTemplate


class Job(Struct, frozen=True, kw_only=True):
    """Everything a job file says, with its defaults filled in."""

    name: str
    unit: Unit = "in"
    currency: str = "USD"
    region: str = USUAL  # whose way dates and amounts are written in
    saw: Saw = field(default_factory=Saw)
    settings: Rules = field(default_factory=Rules)
    tools: Owned = field(default_factory=Owned)
    service: Service = field(default_factory=Service)  # the cutting service, where one is used
    sheath: SheathRules = field(default_factory=SheathRules)
    templates: tuple[AnyTemplate, ...] = ()
    ids: tuple[str, ...] = ()  # of the templates, in a workbook
    bars: tuple[Bar, ...] = ()
    make: tuple[Make, ...] = ()
    serials: tuple[str, ...] = ()  # on blanks cut before
    chosen: tuple[tuple[str, Choice], ...] = ()  # by template key: the bar its blades are made from
    cut: tuple[CutBlank, ...] = ()  # of the templates, oldest first
    defaults: tuple[tuple[str, str], ...] = ()  # what the file left out: place and value used

    @property
    def money(self) -> Money:
        """How amounts are written."""
        return Money(self.currency, self.region)

    @property
    def keys(self) -> tuple[str, ...]:
        """The key of each template: its id, which stays when its name changes; in a job file, its name."""
        return self.ids or tuple(template.name for template in self.templates)

    def template(self, key: str) -> AnyTemplate:
        """The template of this key. Raises KeyError when there is none."""
        keys = self.keys
        if key not in keys:
            raise KeyError(key)
        return self.templates[keys.index(key)]


def thickness_of(template: AnyTemplate) -> float:
    """Nominal bar thickness a template asks for, mm."""
    return template.blade.thickness if isinstance(template, Template) else template.thickness


def suits(job: Job, template: AnyTemplate, steel: str, bar: Bar) -> bool:
    """Whether a blank of the template may come from the bar: its steel, and nominal thickness within the settings."""
    low, high = thicknesses(job.settings, template)
    return low <= bar.thickness <= high and bar.steel.casefold() == steel.casefold()


def thicknesses(settings: Rules, template: AnyTemplate) -> tuple[float, float]:
    """The least and greatest nominal thickness of a bar for a template, mm."""
    nominal = thickness_of(template)
    return nominal - settings.under - 1e-6, nominal + settings.over + 1e-6
