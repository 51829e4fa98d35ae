"""Batches of blades and what was entered about them: one frozen record for each."""

from msgspec import Struct

from workbook.heat.load import HeatLoad, HeatRecipe
from workbook.making.entry import Logged
from workbook.shop.labour import Stage

FIRST_BATCH = "first batch"  # the id of the batch of all blades that were cut before there were batches


class BatchRecord(Struct, frozen=True, kw_only=True):
    """Blades that are made together, with the stages as they were when it was begun."""

    id: str
    place: float
    number: int
    name: str = ""  # the maker's own; "": known by its number
    begun: str = ""  # ISO date
    stages: tuple[Stage, ...] = ()  # each under a name of its own
    note: str = ""


class LoadRecord(Struct, frozen=True, kw_only=True):
    """Blades that were heat-treated together, and how."""

    id: str
    place: float
    number: int
    date: str  # ISO date
    steel: str
    pieces: tuple[str, ...]  # ids, in the order of quenching
    load: HeatLoad


class RecipeRecord(Struct, frozen=True, kw_only=True):
    """The maker's own way with a steel: one for each."""

    id: str
    place: float
    steel: str
    recipe: HeatRecipe


class EntryRecord(Struct, frozen=True, kw_only=True):
    """An entry about blades of a batch, written once. `at`: when it was typed, ISO date and time."""

    id: str
    place: float
    batch: str
    at: str
    entry: Logged
