"""Find a blade, and tell everything that is known of it: what it is of, whose it is, what was done, what it took."""

from collections.abc import Iterator
from decimal import Decimal

from msgspec import Struct

from workbook.document.accounts import after_of
from workbook.document.document import Document
from workbook.document.making import batch_id, batches, entries_of, loads_of, name_of_batch, order_of, standing_of
from workbook.document.making_records import EntryRecord
from workbook.document.money_records import AFTER_WORDS, DeliveryRecord, SaleRecord
from workbook.document.orders import customer_of
from workbook.document.queries import number_of
from workbook.document.records import MaterialRecord, TemplateRecord
from workbook.document.shop_records import OrderLine, PieceRecord
from workbook.making.entry import EntryKind
from workbook.making.minutes import minutes_words
from workbook.making.readings import reading_words
from workbook.making.standing import Standing
from workbook.model.heat_words import load_words
from workbook.model.making_words import KINDS
from workbook.model.model import Model
from workbook.model.real_cost import cost_of_blade
from workbook.shop.money import cents, priced
from workbook.texts import _, labelled
from workbook.units import Unit, reading

_LONG = 3  # digits of a number of which a part is enough


class Told(Struct, frozen=True, kw_only=True):
    """One thing that is known of a blade."""

    what: str
    words: str
    date: str = ""


def blades_found(document: Document, words: str) -> list[PieceRecord]:
    """The blades of which every word is known: serial, template, steel, bar, heat, customer, order, batch, date; newest first."""
    wanted = words.casefold().split()
    if not wanted:
        return []
    names = {batch.id: name_of_batch(batch) for batch in batches(document)}
    pieces = list(document.all(PieceRecord))
    return [piece for piece in reversed(pieces) if _has_all(_known_by(document, names, piece), wanted)]


def _has_all(known: str, wanted: list[str]) -> bool:
    """Whether every word is told; a short number only as a whole: order 1 is not order 12."""
    whole = set(known.replace(",", " ").split())
    return all(word in whole if word.isdecimal() and len(word) < _LONG else word in known for word in wanted)


def _known_by(document: Document, names: dict[str, str], piece: PieceRecord) -> str:
    order = order_of(document, piece)
    whose = (f"{_('order {number}', number=order.number)} {customer_of(document, order)}",) if order else ()
    loads = (_("load {number}", number=record.number) for record in loads_of(document, piece.id))
    dates = (record.entry.date for record in entries_of(document, batch_id(piece)) if piece.id in record.entry.pieces)
    parts = (
        piece.serial, piece.name, piece.steel, piece.bar, piece.heat, piece.scales, piece.at[:10],
        names.get(batch_id(piece), ""), *whose, *loads, *dates,
    )  # fmt: skip
    return " ".join(parts).casefold()


def blade_history(document: Document, model: Model, piece: PieceRecord) -> list[Told]:
    """Everything that is known of a blade, in the order a maker asks for it."""
    standing = standing_of(document, piece)
    unit = document.settings.unit
    return [
        *_what(document, piece, standing),
        *_of_bar(piece, unit),
        *_whose(document, piece),
        *_scales(document, piece),
        *sorted((*_done(document, piece, unit), *_heated(document, piece, unit)), key=lambda told: told.date),
        *sorted(_gone(document, piece), key=lambda told: told.date),
        *_took(document, model, piece, standing),
    ]


def _what(document: Document, piece: PieceRecord, standing: Standing) -> Iterator[Told]:
    record = document.records.get(piece.of)
    now = number_of(document, piece.of) if isinstance(record, TemplateRecord) else 0
    revision = _("revision {then}", then=piece.revision)
    if now and now != piece.revision:
        revision = _("revision {then} (the template is at {now})", then=piece.revision, now=now)
    yield Told(what=_("Template"), words=f"{piece.name}, {revision}")
    batch = next((each for each in batches(document) if each.id == batch_id(piece)), None)
    yield Told(what=_("Batch"), words=name_of_batch(batch) if batch else "-", date=batch.begun if batch else "")
    lost = next((cell for cell in standing.cells if standing.scrapped and cell.reason and cell.date), None)
    if standing.scrapped:
        yield Told(what=_("Stage"), words=_("scrapped: {why}", why=lost.reason if lost else "-"), date=lost.date if lost else "")
    else:
        yield Told(what=_("Stage"), words=standing.next or _("finished"))


def _of_bar(piece: PieceRecord, unit: Unit) -> Iterator[Told]:
    steel = _("{steel}, heat no. {heat}", steel=piece.steel, heat=piece.heat) if piece.heat else piece.steel
    yield Told(what=_("Steel"), words=steel)
    if not piece.bar:
        return
    yield Told(what=_("Bar"), words=piece.bar, date=piece.at[:10])
    read = piece.measured
    thick = [("A", read.thickness), (_("middle"), read.middle), ("B", read.far)]
    told = [f"{reading(value, unit)} {unit} ({end})" for end, value in thick if value]
    yield Told(what=_("Bar as read"), words=", ".join(told) or _("not read"))


def _whose(document: Document, piece: PieceRecord) -> Iterator[Told]:
    order, line = order_of(document, piece), document.records.get(piece.line)
    if order is None or not isinstance(line, OrderLine):
        yield Told(what=_("For"), words=_("shop stock"))
        return
    customer = customer_of(document, order)
    parts = (
        customer,
        _("order {number}", number=order.number),
        _("due {date}", date=document.settings.local.short_day(order.wanted)) if order.wanted else "",
    )
    yield Told(what=_("For"), words=", ".join(part for part in parts if part), date=order.taken)
    if line.agreed is not None:
        yield Told(what=_("Price"), words=priced(line.agreed, document.settings.money), date=order.quoted)


def _scales(document: Document, piece: PieceRecord) -> Iterator[Told]:
    scales = document.records.get(piece.handle)
    if piece.scales or isinstance(scales, MaterialRecord):
        name = scales.material.name if isinstance(scales, MaterialRecord) else ""
        yield Told(what=_("Scales"), words=" ".join(part for part in (name, piece.scales) if part))


def _done(document: Document, piece: PieceRecord, unit: Unit) -> Iterator[Told]:
    records = entries_of(document, batch_id(piece))
    gone = {record.entry.of for record in records}
    for record in records:
        if piece.id in record.entry.pieces and record.id not in gone and record.entry.kind is not EntryKind.TAKEN_BACK:
            yield Told(what=record.entry.stage or "-", words=_entry(record, unit), date=record.entry.date)


def _heated(document: Document, piece: PieceRecord, unit: Unit) -> Iterator[Told]:
    for record in loads_of(document, piece.id):
        what = _("Load {number}, {place} of {count}", number=record.number, place=record.pieces.index(piece.id) + 1,
            count=len(record.pieces))  # fmt: skip
        yield Told(what=what, words=load_words(record, unit), date=record.date)


def _entry(record: EntryRecord, unit: Unit) -> str:
    entry = record.entry
    parts = [
        KINDS[entry.kind] or _("done"),
        *(reading_words(each, unit) for each in entry.readings),
        entry.reason,
        entry.note,
        entry.who,
    ]
    if entry.minutes:
        alone = minutes_words(entry.minutes / len(entry.pieces))
        parts.append(_("{minutes} of {all_minutes}", minutes=alone, all_minutes=minutes_words(entry.minutes)))
    return "; ".join(part for part in parts if part)


def _gone(document: Document, piece: PieceRecord) -> Iterator[Told]:
    """Where it is and for how much; its delivery or sale, and what was done to it since."""
    money = document.settings.money
    price = priced(piece.price, money) if piece.price is not None else ""
    if price or piece.kept_at:
        yield Told(what=_("For sale"), words=_listed(price, piece.kept_at))
    for delivery in document.all(DeliveryRecord):
        if piece.id in delivery.pieces:
            tracking = _("tracking number {tracking}", tracking=delivery.tracking) if delivery.tracking else ""
            yield Told(what=_("Delivered"), words=_listed(tracking, delivery.note), date=delivery.date)
    for sale in document.all(SaleRecord):
        if sale.piece == piece.id:
            what = _("Sale taken back") if sale.of else _("Sold")
            yield Told(what=what, words=_listed(priced(sale.price, money), sale.buyer), date=sale.date)
    for after in after_of(document, piece.id):
        minutes, paid = minutes_words(after.minutes) if after.minutes else "", priced(after.price, money) if after.price else ""
        what = AFTER_WORDS[after.kind]
        yield Told(what=f"{what[:1].upper()}{what[1:]}", words=_listed(minutes, paid, after.note), date=after.date)


def _listed(*parts: str) -> str:
    return ", ".join(part for part in parts if part)


def _took(document: Document, model: Model, piece: PieceRecord, standing: Standing) -> Iterator[Told]:
    charges, money = document.settings.charges, document.settings.money
    work = cents(charges.hour * Decimal(repr(standing.minutes)) / 60)
    words = _("{minutes}, {cost} at your rate", minutes=minutes_words(standing.minutes), cost=priced(work, money))
    yield Told(what=_("Time"), words=words)
    if piece.cost:
        yield Told(what=_("Share of the bar"), words=priced(piece.cost, money))
    cost = cost_of_blade(document, model, piece).real
    parts = ", ".join(f"{part.words} {priced(part.amount, money)}" for part in cost.parts)
    if cost.amount:
        yield Told(what=_("Cost"), words=labelled(priced(cost.amount, money), parts))
