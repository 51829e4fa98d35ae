"""Exports of batches: the traveller, and the sheet that goes with blades to a service."""

from collections.abc import Iterator, Sequence

from workbook.document.document import Document
from workbook.document.making import batches, blades_of, name_of_batch, recipe_for, standings_in
from workbook.document.making_records import BatchRecord
from workbook.document.shop_records import PieceRecord
from workbook.making.cautions import caution_of
from workbook.making.readings import PLACES, asked_words
from workbook.making.standing import Cell, CellState
from workbook.model.heat_words import own_words
from workbook.model.making import planned
from workbook.model.making_words import cell_words, for_words, next_times
from workbook.problems import JobError, Mistake
from workbook.region import Region
from workbook.sheets.furniture import footed
from workbook.sheets.letter_sheet import Letter, LetterLine, letter_pages
from workbook.sheets.traveller_sheet import TravellerColumn, TravellerRow, TravellerSheet, traveller_drafts
from workbook.shop.labour import Stage, StageAsks, StageKind
from workbook.tasks.exports.wanted import Files, Wanted, pages_pdf
from workbook.tasks.write import file_name
from workbook.texts import _, labelled
from workbook.units import Unit, reading

NO_BATCH = Mistake(
    place=_("batch"), what=_("there is no batch."), right=_("Mark a layout as cut, or add blades on the Make page.")
)
NOTHING_OUT = Mistake(
    place=_("sheet to send"),
    what=_("no blade of the batch is at a stage of outside work."),
    right=_("Set the kind of the stage to “outside work” in Rates, before the batch is begun."),
)
_BLANK = (CellState.OPEN, CellState.NEXT, CellState.AGAIN, CellState.HELD)


def batch_wanted(wanted: Wanted) -> BatchRecord:
    """The batch that is wanted; without one the newest. Raises JobError where there is none, or no blade in it."""
    document = wanted.document
    listed = batches(document) if document is not None else []
    batch = next((each for each in listed if each.id == wanted.batch), next(iter(listed), None))
    if batch is None or document is None or not blades_of(document, batch.id):
        raise JobError([NO_BATCH])
    return batch


def refuse_batch(wanted: Wanted) -> None:
    """Raise JobError where there is no batch, or no blade in it."""
    batch_wanted(wanted)


def batch_name(wanted: Wanted) -> str:
    """The batch's name in those of its files."""
    return file_name(name_of_batch(batch_wanted(wanted)), set())


def traveller(wanted: Wanted, file: str) -> Files:
    """A batch as it goes from bench to bench; its name replaces the braces in `file`."""
    drafts = list(traveller_drafts(wanted.run, traveller_of(wanted)))
    title = _("{name}: traveler", name=name_of_batch(batch_wanted(wanted)))
    return {file.format(batch_name(wanted)): pages_pdf(wanted.run, footed(wanted.run, drafts), title)}


def traveller_of(wanted: Wanted) -> TravellerSheet:
    """What a batch's traveller says."""
    batch, document = batch_wanted(wanted), wanted.document
    assert document is not None
    plan = planned(document, wanted.model, batch)
    columns = tuple(_column(stage, plan[stage.name]) for stage in batch.stages)
    parts = (
        wanted.run.job,
        _("begun {date}", date=document.settings.local.short_day(batch.begun)) if batch.begun else "",
        wanted.run.date,
    )
    under = ", ".join(part for part in parts if part)
    notes = tuple(next_times(document, (piece.of for piece in blades_of(document, batch.id))))
    return TravellerSheet(
        name=name_of_batch(batch), under=under, rows=tuple(_rows(document, batch)), columns=columns, notes=notes
    )


def _column(stage: Stage, minutes: float) -> TravellerColumn:
    places = PLACES[stage.asks]
    asks = tuple(place or asked_words(stage.asks, _ASKED[stage.asks]) for place in places)
    return TravellerColumn(
        name=stage.name, planned=f"{minutes:.0f}" if minutes else "", hold=stage.hold, asks=asks, caution=caution_of(stage)
    )


_ASKED = {StageAsks.EDGE: _("edge"), StageAsks.BOW: _("bow"), StageAsks.HARDNESS: _("HRC"), StageAsks.NOTHING: ""}


def _rows(document: Document, batch: BatchRecord) -> Iterator[TravellerRow]:
    standings = standings_in(document, batch.id)
    for piece in blades_of(document, batch.id):
        lost = standings[piece.id].scrapped
        cells = tuple(_cell(cell, document.settings.local, lost=lost) for cell in standings[piece.id].cells)
        yield TravellerRow(serial=piece.serial, words=for_words(document, piece), scales=piece.scales, cells=cells)


def _cell(cell: Cell, local: Region, *, lost: bool) -> str | None:
    """What is printed in a cell: nothing where it is to be written in, None where nothing comes any more."""
    if cell.state is CellState.NOT or (lost and cell.state in _BLANK):
        return None
    return "" if cell.state in _BLANK else cell_words(cell, local)


def outgoing(wanted: Wanted, file: str) -> Files:
    """What goes with blades to a service, a page for each stage; the batch's name replaces the braces in `file`."""
    pages = [page for stage in _out(wanted) for page in letter_pages(wanted.run, outgoing_letter(wanted, stage))]
    return {file.format(batch_name(wanted)): pages_pdf(wanted.run, pages, _("Sheet to send"))}


def refuse_outgoing(wanted: Wanted) -> None:
    """Raise JobError where no blade of the batch is at a stage of outside work."""
    if not _out(wanted):
        raise JobError([NOTHING_OUT])


def _out(wanted: Wanted) -> dict[Stage, list[PieceRecord]]:
    """The blades that are to go to a service, or are there, by the stage."""
    batch, document, found = batch_wanted(wanted), wanted.document, dict[Stage, list[PieceRecord]]()
    assert document is not None
    outside = {stage.name: stage for stage in batch.stages if stage.kind is StageKind.OUTSIDE}
    standings = standings_in(document, batch.id)
    for piece in blades_of(document, batch.id):
        stage = outside.get(standings[piece.id].next)
        if stage is not None:
            found.setdefault(stage, []).append(piece)
    return found


def outgoing_letter(wanted: Wanted, stage: Stage) -> Letter:
    """What it says: the blades by template and steel, what is asked for, and a line for what comes back."""
    document, pieces = wanted.document, _out(wanted)[stage]
    assert document is not None
    settings, unit, groups = document.settings, document.settings.unit, dict[tuple[str, str, str], list[PieceRecord]]()
    for piece in pieces:
        groups.setdefault((piece.name, piece.steel, piece.heat), []).append(piece)
    lines = tuple(_to_send(name, steel, heat, own, unit) for (name, steel, heat), own in groups.items())
    return Letter(
        shop=settings.shop, address=settings.address, reached=settings.contact, title=stage.name, customer="", contact="",
        date=settings.local.day(wanted.date), heads=(_("Quantity"), _("Thickness")), lines=lines,
        notes=(name_of_batch(batch_wanted(wanted)), *_asked_of(document, stage, pieces)),
    )  # fmt: skip


def _asked_of(document: Document, stage: Stage, pieces: Sequence[PieceRecord]) -> Iterator[str]:
    """What a service is asked for, and what it is to write down."""
    if stage.asks is not StageAsks.HARDNESS:
        yield _("Came back on ____________   Count ______")
        return
    settings = document.settings
    for steel in dict.fromkeys(piece.steel for piece in pieces):
        record = recipe_for(document, steel)
        if record is not None:
            yield labelled(steel, own_words(record.recipe, settings.unit, settings.local))
    yield _("Wanted hardness: ____________")
    yield _("Treat each steel as its own data sheet says where nothing else is asked. Keep blades of one steel together.")
    yield _("Came back on ____________   Count ______   Hardness read ____________   Straight ____________")


def _to_send(name: str, steel: str, heat: str, pieces: Sequence[PieceRecord], unit: Unit) -> LetterLine:
    thick = sorted({reading(piece.measured.least or piece.thickness, unit) for piece in pieces if piece.thickness})
    sizes = f"{'–'.join(dict.fromkeys((thick[0], thick[-1])))} {unit}" if thick else ""
    heat_words = [_("heat no. {heat}", heat=heat)] if heat else []
    serials = _("serial {serials}", serials=", ".join(piece.serial for piece in pieces))
    return LetterLine(words=f"{name}, {steel}", cells=(str(len(pieces)), sizes), details=", ".join([*heat_words, serials]))
