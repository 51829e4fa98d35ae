"""Bars, other materials, and blanks to be made outside orders."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from decimal import Decimal
from itertools import count

from workbook.document.action import Action
from workbook.document.actions.ledger import Stamp, booked, counted, have, name_of
from workbook.document.document import Document, Edit, replacing
from workbook.document.orders import lines_of
from workbook.document.queries import free_bar_name, next_place
from workbook.document.records import BarRecord, MaterialRecord, Record, TemplateRecord
from workbook.document.shop_records import Movement, OrderLine
from workbook.shop.job import Bar
from workbook.shop.ledger import Reason
from workbook.shop.materials import Material
from workbook.structs import replace

_NONE = Decimal(0)
_KINDS: tuple[type[BarRecord] | type[MaterialRecord], ...] = (BarRecord, MaterialRecord)


def add_bar(document: Document, bar: Bar, new: str, stamp: Stamp) -> Edit:
    """Add a kind of bar at the end of the list, under a free name; its count is entered in the ledger."""
    named = replace(bar, name=free_bar_name(document, bar.name))
    record = BarRecord(id=new, place=next_place(document, BarRecord), bar=named)
    records = booked(document, counted(record, _NONE), Reason.ENTERED, have(record), stamp)
    return replacing(document, Action("bar.added", {"bar": named.name}), records)


def change_bar(document: Document, id: str, bar: Bar, stamp: Stamp) -> Edit:  # noqa: A002
    """Change a bar's sizes, price, count or name; a name that another bar has is made unique."""
    record = document.get(id, BarRecord)
    others = Document({key: other for key, other in document.records.items() if key != id})
    named = replace(record, bar=replace(bar, name=free_bar_name(others, bar.name)))
    before = counted(named, have(record))
    records = booked(document, before, Reason.ADJUSTED, have(named) - have(record), stamp)
    return replacing(document, Action("bar.changed", {"bar": named.bar.name}), records)


def bring_in_stock(document: Document, items: Sequence[Bar | Material], at: str, new: Callable[[], str]) -> Edit:
    """Import bars and materials, each named once: one with an existing name replaces that one, the others are added. Every
    change of a count is an entry of the ledger.
    """
    existing: dict[tuple[type, str], BarRecord | MaterialRecord] = {}
    for kind in _KINDS:
        for record in document.all(kind):
            existing.setdefault((kind, name_of(record)), record)
    places = {kind: count(next_place(document, kind)) for kind in (*_KINDS, Movement)}
    records: list[Record] = []
    for item in items:
        before = existing.get((BarRecord if isinstance(item, Bar) else MaterialRecord, item.name))
        record = _with(before, item, places, new)
        by, reason = have(record) - (have(before) if before else _NONE), Reason.ADJUSTED if before else Reason.ENTERED
        records.append(counted(record, have(record)))
        if by:
            records.append(Movement(id=new(), place=next(places[Movement]), of=record.id, at=at, why=reason, by=by))
    return replacing(document, Action("stock.brought_in", {"rows": len(items)}), records)


def _with(
    before: BarRecord | MaterialRecord | None,
    item: Bar | Material,
    places: Mapping[type, Iterator[float]],
    new: Callable[[], str],
) -> BarRecord | MaterialRecord:
    """The existing record with the item in it, or a new one."""
    if isinstance(item, Bar):
        if isinstance(before, BarRecord):
            return replace(before, bar=item)
        return BarRecord(id=new(), place=next(places[BarRecord]), bar=item)
    if isinstance(before, MaterialRecord):
        return replace(before, material=item)
    return MaterialRecord(id=new(), place=next(places[MaterialRecord]), material=item)


def remove_bar(document: Document, id: str) -> Edit:  # noqa: A002
    """Remove a kind of bar from the list, with its ledger."""
    action = Action("bar.removed", {"bar": document.get(id, BarRecord).bar.name})
    return replacing(document, action, [], [id, *_moves(document, id)])


def add_material(document: Document, material: Material, new: str, stamp: Stamp) -> Edit:
    """Add a material at the end of the list; its stock is entered in the ledger."""
    record = MaterialRecord(id=new, place=next_place(document, MaterialRecord), material=material)
    records = booked(document, counted(record, _NONE), Reason.ENTERED, have(record), stamp)
    return replacing(document, Action("material.added", {"material": material.name}), records)


def change_material(document: Document, id: str, material: Material, stamp: Stamp) -> Edit:  # noqa: A002
    """Change a material's name, price or stock."""
    record = document.get(id, MaterialRecord)
    named = replace(record, material=material)
    records = booked(document, counted(named, have(record)), Reason.ADJUSTED, have(named) - have(record), stamp)
    return replacing(document, Action("material.changed", {"material": material.name}), records)


def remove_material(document: Document, id: str) -> Edit:  # noqa: A002
    """Remove a material from the list, with its ledger; order lines lose it as the material of handle or sheath."""
    name = document.get(id, MaterialRecord).material.name
    lines = [
        replace(line, handle="" if line.handle == id else line.handle, sheath="" if line.sheath == id else line.sheath)
        for line in document.all(OrderLine)
        if id in (line.handle, line.sheath)
    ]
    return replacing(
        document, Action("material.removed", {"material": name, "lines": len(lines)}), lines, [id, *_moves(document, id)]
    )


def _moves(document: Document, of: str) -> list[str]:
    return [move.id for move in document.all(Movement) if move.of == of]


def order(document: Document, template: str, steel: str, quantity: int, new: str) -> Edit:
    """Set the number of blanks of a template in a steel to be made outside orders; 0: none. `new`: the id of a new line."""
    name = document.get(template, TemplateRecord).template.name
    line = next((candidate for candidate in lines_of(document, "") if (candidate.of, candidate.steel) == (template, steel)), None)
    if quantity <= 0:
        return replacing(document, Action("make.none", {"template": name, "steel": steel}), [], [line.id] if line else [])
    if line is None:
        line = OrderLine(id=new, place=next_place(document, OrderLine), of=template, steel=steel, quantity=quantity)
    action = Action("make.set", {"template": name, "steel": steel, "count": quantity})
    return replacing(document, action, [replace(line, quantity=quantity)])
