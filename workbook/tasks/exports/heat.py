"""Exports of batches: a heat-treatment sheet for each load of its blades as it was kept, and one to fill in for those to come."""

from collections.abc import Iterator, Sequence

from workbook.document.document import Document
from workbook.document.making import blades_of, loads_of, name_of_batch, recipe_for, standing_of, untempered
from workbook.document.making_records import BatchRecord, LoadRecord
from workbook.document.shop_records import PieceRecord
from workbook.heat.load import Bath, CycleKind, FileTest, HeatCycle, HeatLoad, Straightened
from workbook.making.standing import CellState, Standing
from workbook.model.heat_results import bows_of
from workbook.model.heat_words import (
    CAUTION,
    COVERS,
    CYCLES,
    FILES,
    STRAIGHTENED,
    controller_words,
    degrees,
    own_words,
    told_words,
)
from workbook.model.heating import (
    NO_HEAT,
    NO_TEMPER,
    TEMPERS,
    TWO_HOURS,
    HeatAsked,
    HeatTold,
    begun_with,
    ceiling_of,
    oil_of,
    schedule_for,
    told_of,
)
from workbook.model.making_words import for_words
from workbook.problems import JobError, Mistake
from workbook.sheets.furniture import footed
from workbook.sheets.heat_sheet import HeatedBlade, HeatLine, HeatSheet, heat_drafts
from workbook.shop.labour import StageAsks
from workbook.tasks.exports.making import batch_name, batch_wanted
from workbook.tasks.exports.wanted import Files, Wanted, pages_pdf
from workbook.texts import _, ngettext
from workbook.units import Unit, reading

NOTHING_TO_HARDEN = Mistake(
    place=_("heat-treatment sheet"),
    what=_("no blade of the batch is still to be hardened, and no load was logged."),
    right=_("Choose another batch."),
)


_NOT_TEMPERED = _("Quenched and not tempered. As quenched, steel can shatter. Temper it now.")


def refuse_heat(wanted: Wanted) -> None:
    """Raise JobError where there is no batch, or neither a load of it nor a blade that is still to be hardened."""
    if not list(heat_sheets_of(wanted)):
        raise JobError([NOTHING_TO_HARDEN])


def heat_sheets(wanted: Wanted, file: str) -> Files:
    """The sheets in one file; the batch's name replaces the braces in `file`."""
    drafts = [draft for sheet in heat_sheets_of(wanted) for draft in heat_drafts(wanted.run, sheet)]
    title = _("{name}: heat treatment", name=name_of_batch(batch_wanted(wanted)))
    return {file.format(batch_name(wanted)): pages_pdf(wanted.run, footed(wanted.run, drafts), title)}


def heat_sheets_of(wanted: Wanted) -> Iterator[HeatSheet]:
    """What the sheets say: of what is still to be hardened, by steel; then of the loads, the newest first."""
    batch, document = batch_wanted(wanted), wanted.document
    assert document is not None
    waiting = dict[str, list[PieceRecord]]()
    loads = dict[str, LoadRecord]()
    for piece in blades_of(document, batch.id):
        logged = loads_of(document, piece.id)
        loads |= {load.id: load for load in logged}
        if _waits(document, batch, piece, logged=any(load.load.hardened for load in logged)):
            waiting.setdefault(piece.steel, []).append(piece)
    yield from (_to_fill_in(wanted, document, batch, steel, pieces) for steel, pieces in waiting.items())
    yield from (_as_kept(wanted, document, load) for load in sorted(loads.values(), key=lambda load: -load.number))


def _hardens(load: HeatLoad) -> bool:
    return any(cycle.kind is CycleKind.HARDEN for cycle in load.cycles)


def _waits(document: Document, batch: BatchRecord, piece: PieceRecord, *, logged: bool) -> bool:
    """Whether a blade is still to be hardened, or once more. `logged`: it is in a load already."""
    standing = standing_of(document, piece)
    at = next((n for n, stage in enumerate(batch.stages) if stage.asks is StageAsks.HARDNESS), None)
    if at is None or standing.scrapped:
        return False
    state = standing.cells[at].state
    return state is CellState.AGAIN or (not logged and state in (CellState.OPEN, CellState.NEXT))


def _to_fill_in(wanted: Wanted, document: Document, batch: BatchRecord, steel: str, pieces: Sequence[PieceRecord]) -> HeatSheet:
    """A sheet with the maker's own way or the published aim, where there is one, and boxes for all else."""
    model, bath, unit = wanted.model, document.settings.bath, wanted.run.unit
    schedule, own = schedule_for(model.facts, steel), recipe_for(document, steel)
    cycles, cover = begun_with(schedule, own.recipe if own is not None else None)
    told = told_of(model, bath, steel, pieces, HeatAsked(cycles=cycles, cover=cover))
    words = [own_words(own.recipe, unit, document.settings.local)] if own is not None else []
    quench = _("air or plates") if schedule is not None and schedule.in_air else bath.oil
    return HeatSheet(
        title=_("{batch}, {steel}", batch=name_of_batch(batch), steel=steel),
        under=_under(wanted, pieces), purpose=_("Fill in, then log it as a load"), caution=CAUTION,
        stops=tuple(why for why in told.stops if why not in (NO_HEAT, NO_TEMPER)),
        words=(*words, *told_words(told, unit), *controller_words(cycles, unit)),
        steps=_to_write_in(cycles, unit), quench=_quench(wanted, quench, bath, (COVERS[cover] if own else "", "", "")),
        read=_read(None),
        blades=tuple(_blades(document, pieces, told, unit)), bow_unit=unit, result="",
    )  # fmt: skip


def _as_kept(wanted: Wanted, document: Document, record: LoadRecord) -> HeatSheet:
    """A load with what was asked and read."""
    unit, load = wanted.run.unit, record.load
    pieces = [piece for each in record.pieces if isinstance(piece := document.records.get(each), PieceRecord)]
    told = told_of(
        wanted.model,
        document.settings.bath,
        record.steel,
        pieces,
        HeatAsked(cycles=load.cycles, cover=load.cover, hardens=_hardens(load)),
    )
    before, after = (degrees(read, unit) if read is not None else "" for read in (load.before, load.after))
    return HeatSheet(
        title=_("Load {number}, {steel}", number=record.number, steel=record.steel),
        under=_under(wanted, pieces, document.settings.local.day(record.date)), purpose=_("As logged"), caution=CAUTION,
        stops=(_NOT_TEMPERED,) if record in untempered(document) else (),
        words=tuple(told_words(told, unit)), steps=tuple(_steps(load.cycles, unit)),
        quench=_quench(wanted, load.quench, document.settings.bath, (COVERS[load.cover], before, after)),
        read=_read(load),
        blades=tuple(_blades(document, pieces, told, unit)), bow_unit=unit,
        result="; ".join(part for part in (load.furnace, load.result, load.note) if part),
    )  # fmt: skip


def _temper(n: int) -> str:
    return _("{heat} {number}", heat=CYCLES[CycleKind.TEMPER], number=n)


def _to_write_in(cycles: Sequence[HeatCycle], unit: Unit) -> tuple[HeatLine, ...]:
    """The heats that are known; a line each for hardening and two tempers where they are not."""
    lines, kinds = list(_steps(cycles, unit, planned=True)), [cycle.kind for cycle in cycles]
    if CycleKind.HARDEN not in kinds:
        before = sum(kind in (CycleKind.NORMALISE, CycleKind.STRESS_RELIEF) for kind in kinds)
        lines.insert(before, HeatLine(name=CYCLES[CycleKind.HARDEN], asked="", minutes="", read=""))
    if CycleKind.TEMPER not in kinds:
        blank = (HeatLine(name=_temper(n), asked="", minutes=f"{TWO_HOURS:.0f}", read="") for n in range(1, TEMPERS + 1))
        lines += blank
    return tuple(lines)


def _named(name: str, cycle: HeatCycle, *, planned: bool) -> str:
    return name if planned or cycle.done else _("{heat} (to come)", heat=name)


def _steps(cycles: Sequence[HeatCycle], unit: Unit, *, planned: bool = False) -> Iterator[HeatLine]:
    count = 0
    for cycle in cycles:
        count += cycle.kind is CycleKind.TEMPER
        yield HeatLine(
            name=_named(_temper(count) if cycle.kind is CycleKind.TEMPER else CYCLES[cycle.kind], cycle, planned=planned),
            asked=degrees(cycle.asked, unit),
            minutes=f"{cycle.minutes:.0f}" if cycle.minutes else "",
            read=degrees(cycle.read, unit) if cycle.read is not None else "",
        )


def _quench(wanted: Wanted, quench: str, bath: Bath, known: tuple[str, str, str]) -> tuple[tuple[str, str], ...]:
    """Heads and values. `known`: what was against air, and the oil before and after; "" is to be written in."""
    cover, before, after = known
    in_oil, unit = quench == bath.oil and bool(quench), wanted.run.unit
    ceiling = ceiling_of(oil_of(wanted.model.facts, bath), bath) if in_oil else None
    return (
        (_("Decarb protection"), cover), (_("Quench medium"), quench), (_("Working temperature"), degrees(bath.start,
        unit) if in_oil else ""),
        (_("Ceiling"), degrees(ceiling, unit) if ceiling is not None else ""), (_("Oil before"), before),
        (_("Oil after"), after),
    )  # fmt: skip


def _read(load: HeatLoad | None) -> tuple[tuple[str, str], ...]:
    """Heads and values of what is read at the quench and after it; "" is to be written in."""
    told = load if load is not None else HeatLoad()
    numbers = (told.seconds, told.as_quenched, told.until_temper)
    seconds, hard, until = (f"{each:g}" if each is not None else "" for each in numbers)
    file = FILES[told.file] if told.file is not FileTest.NOT_TRIED else ""
    straightened = STRAIGHTENED[told.straightened] if told.straightened is not Straightened.NOT else ""
    return (
        (_("Time of quench"), told.quenched), (_("Furnace to quench, s"), seconds), (_("File test"), file),
        (_("HRC as quenched"), hard),
        (_("Straightened"), straightened), (_("Wait before temper, min"), until),
    )  # fmt: skip


def _under(wanted: Wanted, pieces: Sequence[PieceRecord], date: str = "") -> str:
    parts = (wanted.run.job, ngettext("{count} blade", "{count} blades", len(pieces)), date or wanted.run.date)
    return ", ".join(part for part in parts if part)


def _words_of(document: Document, piece: PieceRecord, standing: Standing) -> str:
    """What it is and whose, and whether a hold point keeps it."""
    words = for_words(document, piece)
    return _("{blade} (held, not measured)", blade=words) if standing.held else words


def _blades(document: Document, pieces: Sequence[PieceRecord], told: HeatTold, unit: Unit) -> Iterator[HeatedBlade]:
    for piece, mass in zip(pieces, told.masses, strict=True):
        standing = standing_of(document, piece)
        before, after = (reading(bow, unit) if bow is not None else "" for bow in bows_of(document, piece))
        hard = [f"{each.value:g}" for _stage, each in standing.readings if each.what == StageAsks.HARDNESS]
        yield HeatedBlade(
            serial=piece.serial, words=_words_of(document, piece, standing), mass=f"{1000 * mass:.0f}" if mass else "",
            before=before, after=after, hardness=hard[-1] if hard else "",
        )  # fmt: skip
