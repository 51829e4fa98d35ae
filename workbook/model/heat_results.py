"""What came of heat treatments: hardness and bow of each blade beside its recipe, thickness and load."""

from collections.abc import Iterator, Sequence
from enum import StrEnum
from statistics import median

from msgspec import Struct

from workbook.document.actions.making import batch_of
from workbook.document.document import Document
from workbook.document.making import batch_id, loads_of, standing_of
from workbook.document.making_records import LoadRecord
from workbook.document.shop_records import PieceRecord
from workbook.handbook.degrees import axis, sign
from workbook.heat.temper import hardness
from workbook.model.blade_checks import is_hard
from workbook.model.heating import HeatAsked, temper_points
from workbook.shop.facts import Facts
from workbook.shop.labour import StageAsks
from workbook.texts import _, labelled
from workbook.units import Unit, reading

_DEGREES = 5.0  # of the unit's: tempers so near each other are one
_STEPS: dict[Unit, float] = {
    "mm": 0.25,
    "in": 0.254,
}  # mm of thickness that are one: a quarter of a mm, ten thousandths of an inch
ENOUGH = 4  # blades from which a median is told: fewer say nothing


class ResultOf(StrEnum):
    """What came of it."""

    HARDNESS = "hardness"
    BOW = "bow"


class ResultBy(StrEnum):
    """What blades are set side by side by."""

    TEMPER = "temper"
    RECIPE = "recipe"
    THICKNESS = "thickness"
    LOAD = "load"


class HeatResult(Struct, frozen=True, kw_only=True):
    """A blade after its heat treatment. °C, mm, HRC; None: not known or not read."""

    id: str
    serial: str
    steel: str
    loads: tuple[int, ...]
    harden: float | None
    temper: float | None  # the hottest
    quench: str
    thickness: float | None
    hardness: float | None
    before: float | None  # its bow before hardening, and after
    after: float | None

    def value(self, of: ResultOf) -> float | None:
        """What came of it."""
        return self.hardness if of is ResultOf.HARDNESS else self.after


class ResultGroup(Struct, frozen=True, kw_only=True):
    """Blades that share what they are set side by side by."""

    words: str
    results: tuple[HeatResult, ...]
    values: tuple[float, ...]
    median: float | None  # None of few
    band: tuple[float, float] | None  # HRC, as published for such a temper of two hours


def heat_results(document: Document, steel: str) -> list[HeatResult]:
    """The blades of a steel that were in a load, by serial."""
    pieces = (piece for piece in document.all(PieceRecord) if piece.steel.casefold() == steel.casefold())
    found = [_result(document, piece, loads) for piece in pieces if (loads := loads_of(document, piece.id))]
    return sorted(found, key=lambda result: result.serial)


def treated_steels(document: Document) -> list[str]:
    """The steels of which there are loads, each once."""
    return list({load.steel.casefold(): load.steel for load in document.all(LoadRecord)}.values())


def _result(document: Document, piece: PieceRecord, loads: Sequence[LoadRecord]) -> HeatResult:
    asked = HeatAsked(cycles=tuple(cycle for load in loads for cycle in load.load.cycles if cycle.done))
    hard = [load.load for load in loads if load.load.hardened]
    before, after = bows_of(document, piece)
    return HeatResult(
        id=piece.id, serial=piece.serial, steel=piece.steel, loads=tuple(load.number for load in loads), harden=asked.harden,
        temper=max((cycle.asked for cycle in asked.tempers), default=None), quench=hard[-1].quench if hard else "",
        thickness=piece.measured.least or piece.thickness or None, hardness=hardness_of(document, piece),
        before=before, after=after,
    )  # fmt: skip


def hardness_of(document: Document, piece: PieceRecord) -> float | None:
    """The hardness that was read of a blade last, HRC; None where none was."""
    read = [each.value for _stage, each in standing_of(document, piece).readings if each.what == StageAsks.HARDNESS]
    return read[-1] if read else None


def bows_of(document: Document, piece: PieceRecord) -> tuple[float | None, float | None]:
    """The last bow that was read of a blade before its hardening and after it, mm; None where none was."""
    batch = batch_of(document, batch_id(piece))
    readings = standing_of(document, piece).readings
    bows = {is_hard(batch, stage): each.value for stage, each in readings if each.what == StageAsks.BOW}
    return bows.get(False), bows.get(True)


def grouped(facts: Facts, results: Sequence[HeatResult], by: ResultBy, of: ResultOf, unit: Unit) -> list[ResultGroup]:
    """Blades side by side, those without a reading or without what they are grouped by left out; smallest first."""
    groups = dict[tuple[float, str], list[HeatResult]]()
    for result in results:
        key = _key(result, by, unit)
        if key is not None and result.value(of) is not None:
            groups.setdefault(key, []).append(result)
    return [_group(facts, key[1], groups[key], by, of) for key in sorted(groups)]


def _group(facts: Facts, words: str, alike: Sequence[HeatResult], by: ResultBy, of: ResultOf) -> ResultGroup:
    values = tuple(value for result in alike if (value := result.value(of)) is not None)
    temper = alike[0].temper
    told = by is ResultBy.TEMPER and of is ResultOf.HARDNESS and temper is not None
    band = hardness(temper_points(facts, alike[0].steel), temper) if told and temper is not None else None
    middle = median(values) if len(values) >= ENOUGH else None
    return ResultGroup(words=words, results=tuple(alike), values=values, median=middle, band=band)


def _key(result: HeatResult, by: ResultBy, unit: Unit) -> tuple[float, str] | None:
    """By what a blade is sorted, and the words for it."""
    match by:
        case ResultBy.TEMPER if result.temper is not None:
            at = _DEGREES * round(axis(result.temper, unit) / _DEGREES)
            return at, f"{at:.0f} {sign(unit)}"
        case ResultBy.RECIPE:
            return 0.0, recipe_words(result, unit)
        case ResultBy.THICKNESS if result.thickness is not None:
            step = _STEPS[unit]
            at = step * round(result.thickness / step)
            return at, _("about {thickness} {unit}", thickness=reading(at, unit), unit=unit)
        case ResultBy.LOAD:
            return float(result.loads[-1]), _("load {numbers}", numbers="+".join(map(str, result.loads)))
        case _:
            return None


def recipe_words(result: HeatResult, unit: Unit) -> str:
    """A recipe in short: "1475/400 °F, canola"."""
    heats = (f"{axis(at, unit):.0f}" if at is not None else "–" for at in (result.harden, result.temper))
    parts = (f"{'/'.join(heats)} {sign(unit)}", result.quench)
    return ", ".join(part for part in parts if part)


def group_words(group: ResultGroup, of: ResultOf, unit: Unit) -> str:
    """A group in words: "400 °F: 60, 61, 61, 62 HRC, median 61"."""
    return labelled(group.words, ", ".join(_parts(group, of, unit)))


def _parts(group: ResultGroup, of: ResultOf, unit: Unit) -> Iterator[str]:
    values = ", ".join(value_words(value, of, unit) for value in sorted(group.values))
    yield f"{values} {'HRC' if of is ResultOf.HARDNESS else unit}"
    if group.median is not None:
        yield _("median {value}", value=value_words(group.median, of, unit))
    if group.band is not None:
        low, high = group.band
        yield _("published {low:.0f}–{high:.0f}", low=low, high=high)


def value_words(value: float, of: ResultOf, unit: Unit) -> str:
    """A hardness, or a bow in the maker's unit."""
    return f"{value:g}" if of is ResultOf.HARDNESS else reading(value, unit)
