"""Exports of finished knives: a care card, the history for the owner, the receipt of one sold without an order."""

from collections.abc import Iterator, Sequence

from workbook.document.accounts import after_of, blades_for, left_on, sale_of
from workbook.document.document import Document
from workbook.document.making import batch_id, blades_of, loads_of, order_of, standing_of
from workbook.document.making_records import BatchRecord
from workbook.document.money_records import AFTER_WORDS, AfterKind
from workbook.document.shop_records import PieceRecord
from workbook.making.minutes import minutes_words
from workbook.making.standing import CellState
from workbook.model.blade_shape import shape_of
from workbook.model.heat_results import hardness_of
from workbook.model.heat_words import heats_words
from workbook.model.model import Model
from workbook.model.real_cost import finished_on
from workbook.model.sheathing import handle_name
from workbook.problems import JobError, Mistake
from workbook.sheets.care_sheet import CareCard, care_pages
from workbook.sheets.letter_sheet import Letter, letter_pages
from workbook.sheets.owner_sheet import OwnerSheet, owner_pages
from workbook.shop.care import LAW, Care, handle_kind, rusting
from workbook.tasks.account_papers import Buyer, buyer_of, sale_letter
from workbook.tasks.exports.making import batch_wanted
from workbook.tasks.exports.wanted import Files, Wanted, pages_pdf
from workbook.tasks.quote_out import knife_sizes
from workbook.tasks.write import file_name
from workbook.texts import _

NO_KNIVES = Mistake(
    place=_("knives"), what=_("none of these knives is finished."), right=_("Enter the last stage on the Make page first.")
)
NOT_SOLD = Mistake(place=_("sale"), what=_("none of these knives was sold without an order."), right=_("Sell it first."))
TELL_WORDS = {
    "sizes": _("sizes"), "steel": _("steel and bar"), "heat": _("heat treatment"), "stages": _("stages and their dates"),
    "hours": _("hours"),
}  # fmt: skip
TELLS = ("sizes", "steel", "heat", "stages")  # what is told unless the maker chooses otherwise


def knives_of(wanted: Wanted) -> list[PieceRecord]:
    """The knives that are wanted, finished ones only: those named, else those of the order, else those of the batch.

    Raises JobError for a knife that is named and not finished, and where there is no batch.
    """
    document = _document(wanted)
    if wanted.blades:
        named = [each for id_ in wanted.blades if isinstance(each := document.records.get(id_), PieceRecord)]
        going = [piece.serial for piece in named if not standing_of(document, piece).finished]
        if going:
            what = _("{serials} is not finished.", serials=", ".join(going))
            raise JobError([Mistake(place=_("knives"), what=what, right=NO_KNIVES.right)])
        return named
    if wanted.order is not None:
        pieces: Sequence[PieceRecord] = blades_for(document, wanted.order.order.id)
    else:
        pieces = blades_of(document, batch_wanted(wanted).id)
    return [piece for piece in pieces if standing_of(document, piece).finished]


def refuse_knives(wanted: Wanted) -> None:
    """Raise JobError where none of the knives is finished."""
    if wanted.document is None or not knives_of(wanted):
        raise JobError([NO_KNIVES])


def refuse_unsold(wanted: Wanted) -> None:
    """Raise JobError where none of the knives was sold without an order."""
    refuse_knives(wanted)
    if not any(sale_of(_document(wanted), piece.id) for piece in knives_of(wanted)):
        raise JobError([NOT_SOLD])


def knives_name(wanted: Wanted) -> str:
    """What files about the knives are called by: the serial of one, of several the first and the last."""
    serials = [piece.serial for piece in knives_of(wanted)]
    return file_name(" to ".join(dict.fromkeys((serials[0], serials[-1]))), set())


def care(wanted: Wanted, file: str) -> Files:
    """A care card for each knife; their serials replace the braces in `file`."""
    cards = [care_card(_document(wanted), wanted.model, piece) for piece in knives_of(wanted)]
    return {file.format(knives_name(wanted)): pages_pdf(wanted.run, care_pages(wanted.run, cards), _("Care cards"))}


def care_card(document: Document, model: Model, piece: PieceRecord) -> CareCard:
    """What a knife's care card says."""
    handle = handle_name(document, piece)
    steel = rusting(piece.steel, model.facts.steels, model.facts.rows("look_up/composition"))
    year = finished_on(document, piece)[:4]
    hard = _hardness(document, piece)
    return CareCard(
        shop=document.settings.shop, reached=document.settings.contact, name=piece.name, serial=piece.serial,
        facts=", ".join(part for part in (piece.steel, hard, handle, year) if part), knife=shape_of(document, model, piece),
        lines=Care(steel, handle_kind(handle)).lines, law=LAW,
    )  # fmt: skip


def history(wanted: Wanted, file: str) -> Files:
    """The history of each knife for its owner, a file each; the serial replaces the braces in `file`."""
    document, existing = _document(wanted), set[str]()
    return {
        file.format(file_name(piece.serial, existing)): pages_pdf(
            wanted.run, owner_pages(wanted.run, owner_sheet(document, wanted.model, piece, wanted.tell)), piece.serial
        )
        for piece in knives_of(wanted)
    }


def owner_sheet(document: Document, model: Model, piece: PieceRecord, tell: Sequence[str]) -> OwnerSheet:
    """What a knife's owner is told; `tell`: some of `TELL_WORDS`."""
    settings, knife, buyer = document.settings, shape_of(document, model, piece), _owner(document, piece)
    letter = Letter(
        shop=settings.shop, address=settings.address, reached=settings.contact, title=f"{piece.name} {piece.serial}",
        customer=buyer.name, contact="", date=settings.local.day(finished_on(document, piece)), heads=(), lines=(), notes=(LAW,),
    )  # fmt: skip
    made_of = [*_sized(document, model, piece, tell), *_steel(document, piece, tell)]
    made_of += [(_("Handle"), handle)] if (handle := handle_name(document, piece)) else []
    done = [*_heated(document, piece, tell), *_stages(document, piece, tell)]
    parts = (
        (_("The knife"), tuple(made_of)),
        (_("How it was made"), tuple(done)),
        (_("Since then"), tuple(_since(document, piece))),
    )
    return OwnerSheet(letter=letter, knife=knife, parts=parts)


def _owner(document: Document, piece: PieceRecord) -> Buyer:
    order, sale = order_of(document, piece), sale_of(document, piece.id)
    if order is not None:
        return buyer_of(document, order)
    return Buyer(sale.buyer if sale else "")


def _sized(document: Document, model: Model, piece: PieceRecord, tell: Sequence[str]) -> Iterator[tuple[str, str]]:
    yield _("Template"), _("{name}, revision {revision}", name=piece.name, revision=piece.revision)
    knife = shape_of(document, model, piece)
    if "sizes" in tell and knife is not None:
        yield _("Sizes"), knife_sizes(knife, document.settings.unit)


def _steel(document: Document, piece: PieceRecord, tell: Sequence[str]) -> Iterator[tuple[str, str]]:
    if "steel" not in tell:
        return
    heat = _("heat no. {heat}", heat=piece.heat) if piece.heat else ""
    yield _("Steel"), ", ".join(part for part in (piece.steel, heat, piece.bar) if part)


def _heated(document: Document, piece: PieceRecord, tell: Sequence[str]) -> Iterator[tuple[str, str]]:
    if "heat" not in tell:
        return
    local = document.settings.local
    for record in loads_of(document, piece.id):
        words = heats_words(record.load, document.settings.unit)
        yield _("Heat treatment"), ", ".join(part for part in (local.day(record.date), words) if part)
    if hard := _hardness(document, piece):
        yield _("Hardness"), hard


def _stages(document: Document, piece: PieceRecord, tell: Sequence[str]) -> Iterator[tuple[str, str]]:
    """The stages it went through with their dates, and the hours it took."""
    local, standing = document.settings.local, standing_of(document, piece)
    batch = document.records.get(batch_id(piece))
    names = [stage.name for stage in batch.stages] if isinstance(batch, BatchRecord) else []
    if "stages" in tell:
        for name, cell in zip(names, standing.cells, strict=False):
            if cell.state is CellState.DONE and cell.date:
                yield name, local.day(cell.date)
    if "hours" in tell and standing.minutes:
        yield _("Time"), minutes_words(standing.minutes)


def _since(document: Document, piece: PieceRecord) -> Iterator[tuple[str, str]]:
    """When it left the shop for its owner, and what was done to it since; nothing of an owner before."""
    local, left, found = document.settings.local, left_on(document, piece.id), after_of(document, piece.id)
    if not left:
        return
    yield _("Left the shop"), local.day(left)
    back = [n for n, record in enumerate(found) if record.kind is AfterKind.RETURNED]
    for record in found[back[-1] + 1 if back else 0 :]:
        words = AFTER_WORDS[record.kind]
        yield f"{words[:1].upper()}{words[1:]}", local.day(record.date)


def sale_receipt(wanted: Wanted, file: str) -> Files:
    """The receipt of each knife that was sold without an order, a file each; the serial replaces the braces in `file`."""
    document, existing, files = _document(wanted), set[str](), Files()
    for piece in knives_of(wanted):
        sale = sale_of(document, piece.id)
        if sale is not None:
            letter = sale_letter(document, wanted.model, sale)
            pages = letter_pages(wanted.run, letter)
            files[file.format(file_name(piece.serial, existing))] = pages_pdf(wanted.run, pages, letter.title)
    return files


def _document(wanted: Wanted) -> Document:
    assert wanted.document is not None
    return wanted.document


def _hardness(document: Document, piece: PieceRecord) -> str:
    """The hardness that was read of a blade last; "" where none was."""
    read = hardness_of(document, piece)
    return "" if read is None else _("{hardness:g} HRC", hardness=read)
