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
from workbook.document.records import (
    BarRecord,
    FamilyRecord,
    MaterialRecord,
    Revision,
    SettingsRecord,
    TemplateRecord,
    ToolsRecord,
)
from workbook.document.shop_records import CustomerRecord, Movement, OrderLine, OrderRecord, PieceRecord, Spoken
from workbook.formats.family import family, family_ids
from workbook.shop.job import Bar
from workbook.shop.ledger import Reason
from workbook.shop.materials import Material, MaterialKind
from workbook.shop.orders import Status
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
    families = [one("family", n) for n in range(draw(FEW))]
    for place, id_ in enumerate(families):
        form = replace(family(family_ids()[place]), name=f"House {place}", use=draw(st.sampled_from(["", "kitchen"])))
        records.append(FamilyRecord(id=id_, place=float(place), template=form))
    templates = [one("template", n) for n in range(draw(st.integers(1, 3)))]
    for place, id_ in enumerate(templates):
        shape = replace(family(family_ids()[place]), name=f"Knife {place}")
        length = shape.blade.length + draw(st.sampled_from([0, 5]))
        records.append(
            TemplateRecord(
                id=id_,
                place=float(place),
                family=replace(shape, blade=replace(shape.blade, length=length)),
                own_family=draw(st.sampled_from(["", *families])),
            )
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
    for kind in (TemplateRecord, FamilyRecord, BarRecord, MaterialRecord, OrderRecord, PieceRecord):
        names = Counter(name_of(record) for record in after.all(kind))
        assert [name for name, times in names.items() if times > 1] == []
    for template in after.all(TemplateRecord):  # nothing points nowhere
        assert not template.own_family or isinstance(after.records.get(template.own_family), FamilyRecord)
    for line in after.all(OrderLine):
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


def one(*records, **settings):
    """A book of a few records."""
    own = SettingsRecord(**{"name": "one", **settings})
    return Document({record.id: record for record in (own, *records)})


def petty(id_, name="Petty", length=140.0):
    shape = replace(family("petty"), name=name)
    return TemplateRecord(id=id_, place=0.0, family=replace(shape, blade=replace(shape.blade, length=length)))


def brought(mine, theirs, choice=Resolution.TAKE, **choices):
    """This book after all of the other is brought in one way, or as a group says."""
    offered = items(mine, theirs)
    ways = {item.key: choices.get(item.group.value, choice) for item in offered}
    ways = {item.key: ways[item.key] if ways[item.key] in item.choices else item.usual for item in offered}
    return mine.applied(bring_from(mine, theirs, offered, ways, AT, ids()))


def test_a_book_in_another_currency_gives_nothing_that_has_a_price():
    dollars = one(petty("t"))
    euros = one(petty("t2", "Other"), BarRecord(id="b", place=0.0, bar=BAR), currency="EUR", paper="a4")
    assert {(item.group, item.part) for item in items(dollars, euros)} == {
        (ItemGroup.TEMPLATES, ""), (ItemGroup.SETTINGS, "shop"), (ItemGroup.SETTINGS, "prints"), (ItemGroup.SETTINGS, ""),
    }  # fmt: skip


def test_rates_come_alone():
    dearer = replace(SettingsRecord().charges, hour=Decimal(40))
    mine, theirs = one(), one(charges=dearer, paper="a4", name="two")
    offered = items(mine, theirs)
    rates = next(item for item in offered if item.part == "rates")
    after = mine.applied(bring_from(mine, theirs, offered, {rates.key: Resolution.TAKE}, AT, ids())).settings
    assert (after.charges.hour, after.name, after.paper) == (Decimal(40), "one", "")


BAR = Bar(name="Bar", steel="1084", thickness=3.0, width=40.0, length=600.0, have=4, price=Decimal(20))


def test_each_record_here_is_matched_once_and_names_that_are_given_up_are_free():
    mine = one(petty("y"))
    theirs = one(petty("y", "Old petty", 150.0), petty("x", length=160.0))
    after = brought(mine, theirs)
    assert {r.id: (r.template.name, r.template.blade.length) for r in after.all(TemplateRecord)} == {
        "y": ("Old petty", 150.0),
        "x": ("Petty", 160.0),
    }
    crossed = brought(
        one(petty("a", "Petty"), petty("b", "Paring")), one(petty("a", "Paring", 150.0), petty("b", "Petty", 160.0))
    )
    assert {r.id: r.template.name for r in crossed.all(TemplateRecord)} == {"a": "Paring", "b": "Petty"}


def order(id_, number=1, **more):
    return OrderRecord(id=id_, place=0.0, number=number, **more)


def line(id_, order_, quantity=2):
    return OrderLine(id=id_, place=0.0, of="t", steel="1084", quantity=quantity, order=order_)


def piece(id_, line_=""):
    return PieceRecord(
        id=id_, place=0.0, serial=id_, of="t", name="Petty", revision=1, steel="1084", bar="Bar", at=AT, line=line_
    )


def test_an_order_that_was_delivered_elsewhere_is_laid_out_no_more():
    mine = one(petty("t"), order("o", status=Status.AGREED, laying=True), line("l", "o"))
    theirs = one(petty("t"), order("o", status=Status.DELIVERED), line("l", "o"))
    after = brought(mine, theirs).get("o", OrderRecord)
    assert (after.status, after.laying) == (Status.DELIVERED, False)


def test_blades_find_their_order_when_it_comes_later_and_lose_a_line_that_goes():
    mine = one(petty("t"))
    theirs = one(petty("t"), order("o"), line("l", "o"), piece("S1", "l"))
    first = brought(mine, theirs, orders=Resolution.KEEP)
    assert first.get("S1", PieceRecord).line == ""
    assert brought(first, theirs).get("S1", PieceRecord).line == "l"
    two = one(petty("t"), order("o"), line("l", "o"), line("l2", "o"), piece("S2", "l2"))
    after = brought(two, one(petty("t"), order("o"), line("l", "o", 3)))
    assert "l2" not in after.records and after.get("S2", PieceRecord).line == ""


def test_bars_stay_reserved_for_the_orders_that_come_too():
    bar = BarRecord(id="b", place=0.0, bar=BAR, spoken=(Spoken(order="o", count=2), Spoken(order="gone", count=1)))
    theirs = one(petty("t"), order("o"), line("l", "o"), bar)
    assert brought(one(petty("t")), theirs).get("b", BarRecord).spoken == (Spoken(order="o", count=2),)
    other = one(petty("t"), order("mine"))  # of the same number, and another one
    assert brought(other, theirs, orders=Resolution.KEEP).get("b", BarRecord).spoken == ()


def test_tools_come_from_another_book():
    theirs = Document({"settings": SettingsRecord(), "tools": ToolsRecord(owned=Owned(wheels=(50.8,)))})
    mine = Document({"settings": SettingsRecord()})
    offered = items(mine, theirs)
    tools = next(item for item in offered if isinstance(item.theirs, ToolsRecord))
    assert not tools.same
    after = mine.applied(bring_from(mine, theirs, offered, {tools.key: Resolution.TAKE}, AT, ids()))
    assert after.tools.owned.wheels == (50.8,)
    assert all(item.same for item in items(after, theirs))
