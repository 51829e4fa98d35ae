"""What another workbook has that this one lacks or has otherwise: the items a maker chooses from to bring the two together.

Records of both books match by id, as after one was saved under another name; else by name, a blade by its serial, an order by its
number.
"""

from collections.abc import Iterator
from enum import StrEnum
from itertools import zip_longest
from typing import Any

from msgspec import Struct

from workbook.document.accounts import money_of
from workbook.document.document import Document
from workbook.document.orders import lines_of
from workbook.document.records import BarRecord, FamilyRecord, MaterialRecord, Record, SettingsRecord, TemplateRecord
from workbook.document.shop_records import CustomerRecord, OrderLine, OrderRecord, PieceRecord
from workbook.structs import replace

SETTINGS = {
    "rates": ("charges", "prices"),
    "shop": ("saw", "rules", "service", "services", "sheath", "bath", "hours"),
    "prints": ("paper", "printer", "printers", "steps"),
}  # parts of the settings that are brought as one


class ItemGroup(StrEnum):
    """What can be brought from another book."""

    TEMPLATES = "templates"
    FAMILIES = "families"
    BARS = "bars"
    MATERIALS = "materials"
    ORDERS = "orders"
    PIECES = "pieces"
    ACCOUNTS = "accounts"
    SETTINGS = "settings"


class Resolution(StrEnum):
    """What to do with one item."""

    KEEP = "keep"  # leave this book as it is
    TAKE = "take"  # bring the other book's, in place of this book's
    BESIDE = "beside"  # bring the other book's under another name


class BookItem(Struct, frozen=True, kw_only=True):
    """One record of the other book. `here`: its match in this book, or None."""

    group: ItemGroup
    theirs: Record
    part: str = ""  # of the settings: a key of SETTINGS
    here: Record | None = None
    same: bool = False  # both say the same: there is nothing to bring
    choices: tuple[Resolution, ...] = (Resolution.KEEP, Resolution.TAKE)

    @property
    def key(self) -> str:
        """A key that identifies the item."""
        return f"{self.group} {self.theirs.id} {self.part}".rstrip()

    @property
    def usual(self) -> Resolution:
        """What to do with it unless the maker says otherwise: bring what this book lacks, and keep what it has."""
        return Resolution.TAKE if self.here is None and not self.same else Resolution.KEEP


_KINDS: dict[ItemGroup, type[Record]] = {
    ItemGroup.TEMPLATES: TemplateRecord,
    ItemGroup.FAMILIES: FamilyRecord,
    ItemGroup.BARS: BarRecord,
    ItemGroup.MATERIALS: MaterialRecord,
    ItemGroup.ORDERS: OrderRecord,
    ItemGroup.PIECES: PieceRecord,
}


def items(mine: Document, theirs: Document) -> list[BookItem]:
    """All items, by group, in the other book's order.

    A sample gives only its templates, since its stock is invented; a book in another currency nothing that has a price.
    """
    priced_alike = mine.settings.currency == theirs.settings.currency
    groups = tuple(_KINDS) if priced_alike and not theirs.settings.sample else (ItemGroup.TEMPLATES, ItemGroup.FAMILIES)
    found = [item for group in groups for item in _items(mine, theirs, group)]
    if ItemGroup.ORDERS in groups and money_of(theirs):
        same = all(record.id in mine.records for record in money_of(theirs))
        found.append(BookItem(group=ItemGroup.ACCOUNTS, theirs=theirs.settings, part="accounts", same=same))
    return found if theirs.settings.sample else [*found, *_settings(mine, theirs)]


def _items(mine: Document, theirs: Document, group: ItemGroup) -> Iterator[BookItem]:
    matched = matches(mine, theirs, _KINDS[group])
    for record in theirs.all(_KINDS[group]):
        own = matched.get(record.id)
        same = own is not None and _alike(mine, theirs, own, record)
        yield BookItem(group=group, theirs=record, here=own, same=same, choices=_resolutions(own, record))


def _resolutions(own: Record | None, record: Record) -> tuple[Resolution, ...]:
    """The possible choices. An order or blade with another id is another one and never replaces this one."""
    if own is None:
        return (Resolution.KEEP, Resolution.TAKE)
    if isinstance(record, PieceRecord) and own.id == record.id:
        return (Resolution.KEEP,)  # what was written of a blade stays
    if isinstance(record, OrderRecord | PieceRecord):
        return (Resolution.KEEP, Resolution.TAKE if own.id == record.id else Resolution.BESIDE)
    return (Resolution.KEEP, Resolution.TAKE) if own.id == record.id else (Resolution.KEEP, Resolution.TAKE, Resolution.BESIDE)


def _settings(mine: Document, theirs: Document) -> Iterator[BookItem]:
    own, other = mine.settings, theirs.settings
    for part in SETTINGS:
        if part == "rates" and own.currency != other.currency:
            continue
        same = with_part(own, other, part) == own
        yield BookItem(group=ItemGroup.SETTINGS, part=part, theirs=other, here=own, same=same)
    tools = mine.tools, theirs.tools
    yield BookItem(group=ItemGroup.SETTINGS, theirs=tools[1], here=tools[0], same=tools[0] == tools[1])


def with_part(own: SettingsRecord, other: SettingsRecord, part: str) -> SettingsRecord:
    """Settings with one part of others."""
    fields: dict[str, Any] = {key: getattr(other, key) for key in SETTINGS[part]}
    return replace(own, **fields)


def name_of(record: Record) -> str:
    """The name, serial or number a maker knows a record by, in lower case."""
    match record:
        case TemplateRecord():
            return record.template.name.casefold()
        case FamilyRecord():
            return record.template.name.casefold()
        case BarRecord():
            return record.bar.name.casefold()
        case MaterialRecord():
            return record.material.name.casefold()
        case OrderRecord():
            return str(record.number)
        case PieceRecord():
            return record.serial.casefold()
        case CustomerRecord():
            return record.name.casefold()
        case _:
            return record.id


def matches(mine: Document, theirs: Document, kind: type[Record]) -> dict[str, Record]:
    """This book's match for each record of a kind in the other, by that one's id: by id, then by name among the rest."""
    matched = {record.id: own for record in theirs.all(kind) if isinstance(own := mine.records.get(record.id), kind)}
    others = {name_of(record): record for record in mine.all(kind) if record.id not in matched}
    for record in theirs.all(kind):
        if record.id not in matched and name_of(record) in others:
            matched[record.id] = others.pop(name_of(record))
    return matched


def _alike(mine: Document, theirs: Document, own: Record, record: Record) -> bool:
    """Whether two records say the same apart from their names."""
    if isinstance(own, PieceRecord) and own.id != record.id:
        return False  # two blades of one serial are two
    if isinstance(own, OrderRecord) and isinstance(record, OrderRecord):
        who, other = mine.records.get(own.customer), theirs.records.get(record.customer)
        if not _one_thing(mine, theirs, who, other) or not _lines_alike(mine, theirs, own, record):
            return False
    return _content(mine, own) == _content(theirs, record)


def _content(document: Document, record: Record) -> object:
    """A record without its id, place and name, and without what the book does with it."""
    match record:
        case TemplateRecord():
            return replace(record.template, name="", revision=1), record.tags, record.minutes
        case FamilyRecord():
            return replace(record.template, name="", revision=1)
        case BarRecord():
            return replace(record.bar, name="")
        case MaterialRecord():
            return replace(record.material, name="")
        case OrderRecord():
            return replace(record, id="", place=0.0, number=0, laying=False, customer="")
        case PieceRecord():
            return replace(record, id="", place=0.0, serial="", of="", line="", of_bar="")
        case _:
            return record


def _lines_alike(mine: Document, theirs: Document, own: OrderRecord, record: OrderRecord) -> bool:
    pairs = zip_longest(lines_of(mine, own.id), lines_of(theirs, record.id))
    return all(a is not None and b is not None and _line_alike(mine, theirs, a, b) for a, b in pairs)


def _line_alike(mine: Document, theirs: Document, own: OrderLine, line: OrderLine) -> bool:
    nothing: dict[str, Any] = {"id": "", "place": 0.0, "of": "", "order": "", "handle": "", "sheath": ""}
    if replace(own, **nothing) != replace(line, **nothing):
        return False
    ids = ((own.of, line.of), (own.handle, line.handle), (own.sheath, line.sheath))
    return all(_one_thing(mine, theirs, mine.records.get(a), theirs.records.get(b)) for a, b in ids)


def _one_thing(mine: Document, theirs: Document, own: Record | None, record: Record | None) -> bool:
    """Whether two records stand for one thing: by id, by name, or by what they say."""
    if own is None or record is None:
        return own is record
    return own.id == record.id or name_of(own) == name_of(record) or _content(mine, own) == _content(theirs, record)
