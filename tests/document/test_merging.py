"""Two books brought together and taken apart again: nothing doubled, nothing lost, no count that two books both made."""

from collections import Counter
from decimal import Decimal
from itertools import count

from hypothesis import given
from hypothesis import strategies as st

from workbook.document.actions.ledger import have
from workbook.document.actions.merging import bring_from
from workbook.document.document import Document
from workbook.document.limits import judged
from workbook.document.other_book import ItemGroup, Resolution, items, name_of
from workbook.document.records import BarRecord, MaterialRecord, Revision, SettingsRecord, TemplateRecord, ToolsRecord
from workbook.document.shop_records import CustomerRecord, Movement, OrderLine, OrderRecord, PieceRecord, Spoken
from workbook.formats.family import family, family_ids
from workbook.shop.job import Bar
from workbook.shop.ledger import Reason
from workbook.shop.materials import Material, MaterialKind
from workbook.structs import replace
from workbook.template.tools import Owned

AT = "2026-11-29T12:00:00"
FEW = st.integers(0, 3)


def ids():
    """New ids, one after another."""
    numbers = count(1)
    return lambda: f"new{next(numbers)}"


@st.composite
def books(draw, own):
    """A book: some of what both may have, under ids that both have, and some under ids of its own (`own` is in them)."""

    def one(kind, n):
        return f"{kind}{n}" if draw(st.booleans()) else f"{own}{kind}{n}"

    records = [SettingsRecord(name=own)]
    templates = [one("template", n) for n in range(draw(st.integers(1, 3)))]
    for place, id_ in enumerate(templates):
        shape = replace(family(family_ids()[place]), name=f"Knife {place}")
        length = shape.blade.length + draw(st.sampled_from([0, 5]))
        records.append(
            TemplateRecord(id=id_, place=float(place), family=replace(shape, blade=replace(shape.blade, length=length)))
        )
        if draw(st.booleans()):
            records.append(Revision(id=f"{id_} r", of=id_, number=1, made=AT, why="kept", family=shape))
    bars = [one("bar", n) for n in range(draw(FEW))]
    for place, id_ in enumerate(bars):
        bar = Bar(name=f"Bar {place}", steel="1084", thickness=3.0, width=40.0, length=600.0, have=draw(FEW), price=Decimal(20))
        records.append(BarRecord(id=id_, place=float(place), bar=bar))
        if draw(st.booleans()):
            records.append(Movement(id=f"{own}{id_} m", place=1.0, of=id_, at=AT, why=Reason.BOUGHT, by=Decimal(bar.have)))
    for place in range(draw(FEW)):
        material = Material(name=f"Wood {place}", kind=MaterialKind.HANDLE, per="pair", price=Decimal(14), have=float(draw(FEW)))
        records.append(MaterialRecord(id=one("wood", place), place=float(place), material=material))
    records.append(CustomerRecord(id=one("customer", 0), place=0.0, name=draw(st.sampled_from(["A. Moreno", "B. Lind"]))))
    who = records[-1].id
    for place in range(draw(FEW)):
        id_ = one("order", place)
        records.append(
            OrderRecord(
                id=id_, place=float(place), number=place + 1, customer=draw(st.sampled_from(["", who])), taken="2026-11-01"
            )
        )
        for n in range(draw(st.integers(1, 2))):
            line = OrderLine(
                id=f"{id_} line{n}", place=float(n), of=draw(st.sampled_from(templates)), steel="1084", quantity=n + 1, order=id_
            )
            records.append(line)
        if bars and draw(st.booleans()):
            at = next(i for i, record in enumerate(records) if record.id == bars[0])
            records[at] = replace(records[at], spoken=(Spoken(order=id_, count=1),))
    for place in range(draw(FEW)):
        piece = PieceRecord(id=one("piece", place), place=float(place), serial=f"S{place}", of=draw(st.sampled_from(templates)),
                            name="Knife", revision=1, steel="1084", bar="Bar 0", at=AT)  # fmt: skip
        records.append(piece)
    return Document({record.id: record for record in records})


@st.composite
def merged(draw):
    """Two books, what is chosen of the second, and the edit."""
    mine, theirs = draw(books("mine ")), draw(books("theirs "))
    offered = items(mine, theirs)
    ways = {item.key: draw(st.sampled_from(item.choices)) for item in offered}
    return mine, theirs, offered, ways, bring_from(mine, theirs, offered, ways, AT, ids())


@given(merged())
def test_two_books_come_apart_again(made):
    mine, _theirs, _offered, _ways, edit = made
    after = mine.applied(edit)
    assert after.applied(edit.inverse).records == mine.records


@given(merged())
def test_nothing_is_doubled_and_the_book_is_sound(made):
    mine, _theirs, _offered, _ways, edit = made
    after = mine.applied(edit)
    assert judged(after.records.values()) == []
    for kind in (TemplateRecord, BarRecord, MaterialRecord, OrderRecord, PieceRecord):
        names = Counter(name_of(record) for record in after.all(kind))
        assert [name for name, times in names.items() if times > 1] == []
    for line in after.all(OrderLine):  # nothing points nowhere
        assert isinstance(after.records.get(line.order), OrderRecord)
        assert isinstance(after.records.get(line.of), TemplateRecord)
    for bar in after.all(BarRecord):
        assert all(isinstance(after.records.get(spoken.order), OrderRecord) for spoken in bar.spoken)


@given(merged())
def test_nothing_of_this_book_is_lost(made):
    mine, _theirs, offered, ways, edit = made
    after = mine.applied(edit)
    taken = {item.here.id for item in offered if item.here is not None and not item.same and ways[item.key] is Resolution.TAKE}
    for record in mine.records.values():
        if isinstance(record, OrderLine) and record.order in taken:
            continue  # the order has the other book's lines
        assert record.id in after.records
        if record.id not in taken:
            assert after.records[record.id] == record


@given(merged())
def test_what_is_chosen_comes_once_with_its_entries(made):
    mine, theirs, offered, ways, edit = made
    after = mine.applied(edit)
    came = {change.after.id: change.after for change in edit.changes if change.before is None and change.after is not None}
    for item in offered:
        if item.group is ItemGroup.SETTINGS or item.same or ways[item.key] is Resolution.KEEP:
            continue
        own = [
            r for r in after.all(type(item.theirs)) if r.id in (item.theirs.id, item.here.id if item.here else "") or r.id in came
        ]
        assert own
        if not isinstance(item.theirs, BarRecord):
            continue
        before = list(mine.all(Movement))
        new = [entry for entry in after.all(Movement) if entry not in before]
        if item.here is not None and ways[item.key] is Resolution.TAKE:  # their count is the true one: the difference is an entry
            assert have(after.get(item.here.id, BarRecord)) == have(item.theirs)
            by = [entry.by for entry in new if entry.of == item.here.id]
            assert sum(by) == have(item.theirs) - have(item.here)
            assert all(entry.why is Reason.ADJUSTED for entry in new if entry.of == item.here.id)
        else:  # it is a bar more, with its own entries and no others
            (bar,) = [r for r in came.values() if isinstance(r, BarRecord) and r.bar.name.startswith(item.theirs.bar.name)]
            assert have(bar) == have(item.theirs)
            kept = [(e.at, e.why, e.by) for e in theirs.all(Movement) if e.of == item.theirs.id]
            assert [(e.at, e.why, e.by) for e in new if e.of == bar.id] == kept


@given(merged())
def test_brought_again_nothing_comes(made):
    mine, theirs, offered, ways, edit = made
    after = mine.applied(edit)
    again = {item.key: item for item in items(after, theirs)}
    for item in offered:
        if ways[item.key] is Resolution.TAKE:
            assert again[item.key].same, item
    usual = bring_from(after, theirs, list(again.values()), {}, AT, ids())
    came = [change.after for change in usual.changes if isinstance(change.after, OrderRecord | PieceRecord | BarRecord)]
    kept = {item.theirs.id for item in offered if ways[item.key] is Resolution.KEEP and item.here is None}
    assert {record.id for record in came} <= kept  # only what was left there the first time


def test_a_sample_gives_templates_alone():
    theirs = Document({r.id: r for r in (SettingsRecord(sample=True), TemplateRecord(id="t", place=0.0, family=family("petty")))})
    mine = Document({"settings": SettingsRecord()})
    assert [item.group for item in items(mine, theirs)] == [ItemGroup.TEMPLATES]


def test_rates_of_another_currency_are_not_taken():
    dollars, euros = (Document({"settings": SettingsRecord(name=name, currency=name)}) for name in ("USD", "EUR"))
    dearer = replace(euros.settings, charges=replace(euros.settings.charges, hour=Decimal(40)), paper="a4")
    by_part = {item.part: item for item in items(dollars, Document({"settings": dearer}))}
    assert by_part["rates"].same and not by_part["prints"].same
    other = Document({"settings": replace(dearer, currency="USD")})
    offered = items(dollars, other)
    rates = next(item for item in offered if item.part == "rates")
    after = dollars.applied(bring_from(dollars, other, offered, {rates.key: Resolution.TAKE}, AT, ids())).settings
    assert (after.charges.hour, after.name, after.paper) == (Decimal(40), "USD", "")


def test_tools_come_from_another_book():
    theirs = Document({"settings": SettingsRecord(), "tools": ToolsRecord(owned=Owned(wheels=(50.8,)))})
    mine = Document({"settings": SettingsRecord()})
    offered = items(mine, theirs)
    tools = next(item for item in offered if isinstance(item.theirs, ToolsRecord))
    assert not tools.same
    after = mine.applied(bring_from(mine, theirs, offered, {tools.key: Resolution.TAKE}, AT, ids()))
    assert after.tools.owned.wheels == (50.8,)
    assert all(item.same for item in items(after, theirs))
