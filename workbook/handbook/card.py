"""A card: what is known of one thing, in sections, each with its source and how sure it is."""

from enum import StrEnum

from msgspec import Struct

from workbook.texts import _


class CardKind(StrEnum):
    """What a card is about, in the order of the list."""

    STEEL = "steel"
    WOOD = "wood"
    DRILL = "drill"
    PIN = "pin"
    GRIT = "grit"


_BASES = (
    ("source_seen (", _("partly read in the source")),
    ("source_seen", _("read in the source")),
    ("secondary_seen (rounded)", _("rounded values read, decimals from memory")),
    ("secondary_seen x2", _("two copies that agree")),
    ("secondary_seen", _("read in a copy, or in a work that quotes it")),
    ("from_memory", _("from memory")),
    ("derived", _("calculated from others")),
    ("common", _("common practice, no source")),
)
_SURE = ((97, _("almost certain")), (90, _("quite sure")), (75, _("fairly sure")), (60, _("not sure")), (0, _("doubtful")))


class Evidence(Struct, frozen=True, kw_only=True):
    """Where a section's facts come from: the source, how it was seen, and how sure they are in per cent (None: not said)."""

    source: str
    basis: str
    sure: float | None = None
    note: str = ""

    def words(self) -> str:
        """All of it in words."""
        seen = next((words for start, words in _BASES if self.basis.startswith(start)), self.basis)
        sure = next((words for least, words in _SURE if self.sure is not None and self.sure >= least), "")
        told = _("{seen}, {sure} ({pct:.0f}%)", seen=seen, sure=sure, pct=self.sure) if sure else seen
        parts = (part.strip() for part in (self.source, told, self.note))
        return " ".join(f"{part[0].upper()}{part[1:].rstrip('.')}." for part in parts if part)


class Fact(Struct, frozen=True):
    """A named value, and the same in the unit beside."""

    name: str
    value: str
    beside: str = ""


class HeatStep(Struct, frozen=True, kw_only=True):
    """A hold of a heat treatment, °C: the range of its temperature, what follows it, and its words."""

    name: str
    low: float
    high: float
    words: str = ""  # "5-10 min"
    then: str = ""  # "fast oil"
    fast: bool = False  # it is quenched from there


class TemperPoint(Struct, frozen=True):
    """The hardness after tempering at a temperature, °C: the range of HRC."""

    at: float
    low: float
    high: float


class TemperSeries(Struct, frozen=True, kw_only=True):
    """The hardness after tempering as one source has it."""

    name: str
    points: tuple[TemperPoint, ...]
    evidence: Evidence


class Section(Struct, frozen=True, kw_only=True):
    """A part of a card: a head, then entries, words, a heat treatment or hardness after tempering."""

    head: str
    entries: tuple[Fact, ...] = ()
    across: bool = False  # the entries are columns
    words: tuple[str, ...] = ()
    heat: tuple[HeatStep, ...] = ()
    temper: tuple[TemperSeries, ...] = ()
    evidence: tuple[Evidence, ...] = ()
    caution: str = ""


class FactCard(Struct, frozen=True, kw_only=True):
    """What is known of one thing. `names`: everything it is called, by which it is found."""

    kind: CardKind
    title: str
    also: str = ""
    names: tuple[str, ...] = ()
    sections: tuple[Section, ...] = ()

    @property
    def key(self) -> str:
        """A key that identifies the card, in any unit and language."""
        return f"{self.kind} {self.title}"


def number_of(text: str) -> float | None:
    """A cell as a number; None where it is none."""
    try:
        return float(text)
    except ValueError:
        return None


def evidence_of(row: dict[str, str], source: str = "source", note: str = "") -> Evidence:
    """The evidence of a table's row. `source`: the column that names it."""
    basis = row.get("basis") or "secondary_seen"
    return Evidence(source=row.get(source, ""), basis=basis, sure=number_of(row.get("sure_pct") or ""), note=note)
