"""What a workbook holds: one frozen record for each thing a maker would call one. Every record has an id that never changes."""

from dataclasses import dataclass, field

from workbook.shop.job import Bar, Saw, Settings
from workbook.template.drawn import DrawnTemplate
from workbook.template.model import Template
from workbook.units import Unit

SETTINGS_ID = "settings"


@dataclass(frozen=True, slots=True, kw_only=True)
class TemplateRecord:
    """A template on the shelf, of one kind or the other; its place there decides the order."""

    id: str
    place: float
    family: Template | None = None
    drawn: DrawnTemplate | None = None

    @property
    def template(self) -> Template | DrawnTemplate:
        """Whichever it is."""
        found = self.family or self.drawn
        assert found is not None
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Revision:
    """A template as it was when it was last printed, cut or laid out: an old print can be told from today's by its number."""

    id: str
    of: str  # the template's id
    number: int
    made: str  # ISO date and time
    why: str  # "template sheet", "cut file", "bar sheets"
    family: Template | None = None
    drawn: DrawnTemplate | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BarRecord:
    """A kind of bar on the rack or for sale."""

    id: str
    place: float
    bar: Bar


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine:
    """So many blanks of a template in a steel are to be made."""

    id: str
    place: float
    of: str  # the template's id
    steel: str
    quantity: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingsRecord:
    """The workbook's name and the maker's habits: units, saw, rules."""

    id: str = SETTINGS_ID
    name: str = "Untitled workbook"
    unit: Unit = "in"
    currency: str = "USD"
    saw: Saw = field(default_factory=Saw)
    rules: Settings = field(default_factory=Settings)


Record = TemplateRecord | Revision | BarRecord | OrderLine | SettingsRecord
KINDS: dict[str, type[Record]] = {
    "template": TemplateRecord,
    "revision": Revision,
    "bar": BarRecord,
    "order line": OrderLine,
    "settings": SettingsRecord,
}


def kind_of(record: Record) -> str:
    """The word a record's kind is stored under."""
    return next(kind for kind, made in KINDS.items() if type(record) is made)
