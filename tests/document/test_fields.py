"""Every field of every record has a row that says what it may hold; what the program makes lies within, what is absurd not."""

from decimal import Decimal
from enum import Enum
from itertools import groupby
from typing import Literal, get_args, get_origin

import pytest
from hypothesis import given
from msgspec import Struct
from msgspec.structs import fields

from tests.filled import hints_of, parts_of
from tests.samples_of import SAMPLES, sample
from tests.strategies import changes, made
from workbook.document.action import said
from workbook.document.actions import cutting, layouts, orders, rack, templates, whole
from workbook.document.actions.ledger import Stamp
from workbook.document.document import Change, Edit, NotTaken, replacing
from workbook.document.fields import FIELDS, OWN, row_of
from workbook.document.limits import RULES, judged
from workbook.document.making_records import EntryRecord
from workbook.document.money_records import DeliveryRecord, InvoiceRecord, PaymentRecord, SaleRecord
from workbook.document.queries import template_named
from workbook.document.records import KINDS, BarRecord, LayoutRecord, Revision, TemplateRecord
from workbook.document.shop_records import Movement, OrderLine, OrderRecord, PieceRecord
from workbook.fields import Kind
from workbook.formats.family import family, family_ids
from workbook.limits import JudgedBy
from workbook.structs import replace
from workbook.tasks.demo import demo_document
from workbook.template.fields import widest
from workbook.template.parameters import PARAMETERS, changed
from workbook.template.resizing import ScaledPart, length_of, scaled

NUMBERS = (Kind.LENGTH, Kind.FINE, Kind.READING, Kind.SHARE, Kind.ANGLE, Kind.NUMBER)
TEXTS = (Kind.TEXT, Kind.DATE, Kind.MOMENT, Kind.ID, Kind.REFERENCE)
_judge = JudgedBy(FIELDS, RULES)


def structs_within(kind, seen=None):
    """A struct and all it is made of."""
    seen = {} if seen is None else seen
    if kind not in seen:
        seen[kind] = True
        for hint in hints_of(kind).values():
            for inner in within(hint):
                structs_within(inner, seen)
    return seen


def within(hint):
    """The structs that may stand in a place."""
    for kind in parts_of(hint):
        if get_origin(kind) is tuple:
            for inner in get_args(kind):
                yield from within(inner)
        elif isinstance(kind, type) and issubclass(kind, Struct):
            yield kind


ALL = list(dict.fromkeys(struct for kind in KINDS.values() for struct in structs_within(kind)))


@pytest.mark.parametrize("kind", ALL, ids=lambda kind: kind.__name__)
def test_every_field_has_a_row_of_its_kind(kind):
    hints = hints_of(kind)
    assert sorted(row.key for row in FIELDS[kind]) == sorted(hints)  # once each, in the order of forms
    for row, hint in ((row, hints[row.key]) for row in FIELDS[kind]):
        options = parts_of(hint)
        assert bool(row.none) is (type(None) in options), f"{row.key}: what None stands for"
        option = next(one for one in options if one is not type(None))
        if get_origin(option) is tuple and row.kind is not Kind.PLACE:
            assert row.entries > 0, f"{row.key}: how many at most"
            option = get_args(option)[0]
        assert row.kind in wanted(option), f"{row.key} is {option}"
        if row.kind in (*NUMBERS, Kind.COUNT, Kind.MONEY, Kind.PLACE, Kind.CIRCLE):
            assert row.low < row.high, f"{row.key}: from what to what"
        if row.kind in (Kind.TEXT, Kind.ID, Kind.REFERENCE):
            assert 0 < row.letters <= 2000, f"{row.key}: how many letters"
        assert bool(row.of) is (row.kind is Kind.REFERENCE) and set(row.of) <= set(KINDS)


def wanted(option):
    """The kinds that a row of a type may be of."""
    if get_origin(option) is Literal or (isinstance(option, type) and issubclass(option, Enum)):
        return (Kind.CHOICE,)
    if get_origin(option) is tuple:
        return (Kind.PLACE, Kind.CIRCLE)
    if isinstance(option, type) and issubclass(option, Struct):
        return (Kind.PART,)
    if get_args(option):  # several structs may stand there
        return (Kind.PART,)
    return {bool: (Kind.SWITCH,), int: (Kind.COUNT,), float: NUMBERS, Decimal: (Kind.MONEY,), str: (*TEXTS, Kind.CHOICE)}[option]


def test_no_row_is_of_a_struct_that_no_record_has():
    assert set(FIELDS) - set(ALL) <= {kind for kind in FIELDS if kind.__name__ == "Make"}, "a job's, which no record has"


@pytest.mark.parametrize("kind", ALL, ids=lambda kind: kind.__name__)
def test_what_a_field_is_by_default_lies_within_its_limits(kind):
    for field in fields(kind):
        if not field.required:
            value = field.default_factory() if callable(field.default_factory) else field.default
            assert not _judge._wrong(row_of(kind, field.name), value), field.name


@pytest.mark.parametrize(
    "kind", [kind for kind in ALL if any(row.options for row in FIELDS[kind])], ids=lambda kind: kind.__name__
)
def test_what_a_form_offers_may_stand_there_and_a_choice_offers_all_there_are(kind):
    hints = hints_of(kind)
    for row in (row for row in FIELDS[kind] if row.options):
        values, words = zip(*row.options, strict=True)
        assert not any(_judge._wrong(row, value) for value in values), row.key
        assert len(set(words)) == len(words) and all(words)
        if row.kind is Kind.CHOICE and not row.entries:
            hint = hints[row.key]
            assert set(values) == set(row.words or get_args(hint) or hint), row.key


@pytest.mark.parametrize("kind", FIELDS, ids=lambda kind: kind.__name__)
def test_fields_of_a_form_have_each_a_name_and_headings_stand_once(kind):
    labels = [row.label for row in FIELDS[kind] if row.label]
    assert len(set(labels)) == len(labels)
    heads = [head for head, _ in groupby(row.head for row in FIELDS[kind] if row.label or row.head)]
    assert len(set(heads)) == len(heads), f"what stands under one heading stands together: {heads}"
    for row in FIELDS[kind]:
        assert not row.zero or row.low <= 0 or row.none, f"{row.key}: 0 stands for something, and may not stand there"
        assert not row.meaning.endswith("."), "a few words, no sentence"


def test_ids_and_entries_of_the_ledger_are_only_added():
    assert all(row_of(kind, "id").added for kind in KINDS.values())
    assert {row.key for row in OWN[Movement] if not row.added} == set()
    assert {row.key for row in OWN[PieceRecord] if not row.added} == {"line", "batch", "handle", "scales", "price", "kept_at"}
    for kind in (EntryRecord, PaymentRecord, DeliveryRecord, SaleRecord, InvoiceRecord):
        assert {row.key for row in OWN[kind] if not row.added} == set()
    assert {row.key for row in OWN[Revision] if not row.added} == {"note"}


@pytest.mark.parametrize("name", family_ids())
def test_every_family_lies_within_the_limits(name):
    assert not _judge(family(name))


@pytest.mark.parametrize("version", SAMPLES)
def test_every_sample_lies_within_the_limits(version):
    assert judged(sample(version).document.records.values()) == []


def test_the_demo_lies_within_the_limits():
    assert judged(demo_document().records.values()) == []


@given(changes(most=12).map(made))
def test_whatever_a_panel_takes_lies_within_the_limits(template):
    assert not _judge(template)
    for parameter in PARAMETERS:
        if callable(parameter.low) or callable(parameter.high):
            (low, high), (least, most) = parameter.limits(template), widest(parameter)
            assert (least - 1e-6 <= low and high <= most + 1e-6) or low > high, parameter.path


@pytest.mark.parametrize("part", ScaledPart)
def test_whatever_scaling_makes_lies_within_the_limits(part):
    for name in family_ids():
        for length in (20.0, 60.0, 250.0, 450.0, 700.0):
            try:
                larger = scaled(family(name), part, length)
            except ValueError:
                continue
            assert not _judge(larger), (name, length)
            assert not _judge(scaled(larger, part, length_of(family(name), part)))


def full():
    """The demo with everything in it that a template or a bar may be taken away from."""
    document, stamp = demo_document(), Stamp("e1", "2026-11-27T10:00")
    petty, bar = template_named(document, "Petty").id, next(r for r in document.all(BarRecord) if r.bar.have)
    piece = cutting.CutPiece(of=petty, serial="P1", cost=Decimal("4.50"))
    layout = LayoutRecord(id="lay", place=1.0, name="Layout 1", made=stamp.at, steel=Decimal("9.50"), lost=0.3, bars=())
    ids = iter(f"new{n}" for n in range(99))
    cut = cutting.CutBar(bar=bar.id, bought=False, pieces=(piece,), offcuts=())
    document = document.applied(cutting.mark_cut(document, [cut], layout, stamp.at, lambda: next(ids)))
    return document, petty, bar.id


def everything_taken_away(document):
    """One document after another, until nothing is left that can be taken away."""
    while True:
        yield document
        kinds = ((OrderRecord, orders.remove_order), (BarRecord, rack.remove_bar))
        taken = next(((record.id, remove) for kind, remove in kinds for record in document.all(kind)), None)
        more = [record.id for record in document.all(TemplateRecord)][1:]
        if taken is None and not more:
            return
        edit = taken[1](document, taken[0]) if taken else templates.remove(document, more[0])
        document = document.applied(edit)


def test_what_is_left_when_a_template_a_bar_or_an_order_goes_still_opens():
    document, petty, bar = full()
    gone = document.applied(templates.remove(document, petty))
    gone = gone.applied(rack.remove_bar(gone, bar))
    assert any(piece.of == petty for piece in gone.all(PieceRecord)), "a blank that was cut stays"
    assert judged(gone.records.values()) == []
    for left in everything_taken_away(document):
        assert judged(left.records.values()) == []


def test_an_id_that_is_of_another_kind_of_record_is_wrong():
    document, petty, bar = full()
    line = next(document.all(OrderLine))
    (mistake,) = judged([*document.records.values(), replace(line, of=bar)])
    assert str(mistake).startswith(f"order line {line.id}, of: refers to a record of the kind bar. Allowed: template")
    piece = replace(next(document.all(PieceRecord)), line=petty)
    assert "line: refers to a record of the kind template" in str(judged([*document.records.values(), piece])[0])


def test_records_that_have_an_id_of_their_own_are_what_it_says():
    document, *_ = full()
    bar = next(document.all(BarRecord))
    assert "is of the kind bar" in str(judged([*document.records.values(), replace(bar, id="settings")])[0])
    other = replace(document.settings, id="other")
    assert "is of the kind settings" in str(judged([*document.records.values(), other])[0])


def test_a_workbook_has_templates_each_of_its_own_name_and_of_one_kind():
    document, *_ = full()
    records = [record for record in document.records.values() if not isinstance(record, TemplateRecord)]
    assert "templates: there are 0." in str(judged(records)[0])
    first = next(document.all(TemplateRecord))
    assert f"template “{first.template.name}”: appears 2 times." in str(judged([*records, first, replace(first, id="x")])[0])
    assert "family: is missing, and so is an outline." in str(judged([replace(first, family=None)])[0])


def test_what_was_written_once_is_not_changed_by_an_edit():
    document, *_ = full()
    entry = next(document.all(Movement))
    with pytest.raises(NotTaken, match="cannot change once it is written"):
        document.applied(replacing(document, said("changed"), [replace(entry, by=entry.by + 1)]))
    piece = next(document.all(PieceRecord))
    with pytest.raises(NotTaken, match="serial: cannot change once it is written"):
        document.applied(replacing(document, said("changed"), [replace(piece, serial="other")]))
    assert document.applied(replacing(document, said("changed"), [replace(piece, line="")]))


def test_an_entry_may_change_while_the_step_goes_on_that_made_it_and_by_no_other():
    document, *_ = full()
    entry = replace(next(document.all(Movement)), id="typed", by=Decimal(1))
    first = replacing(document, said("1"), [entry])
    after = document.applied(first)
    then = replacing(after, said("12"), [replace(entry, by=Decimal(12))])
    assert after.applied(then, first).get("typed", Movement).by == 12
    with pytest.raises(NotTaken, match="cannot change once it is written"):
        after.applied(then, replacing(document, said("another"), [replace(entry, id="other")]))
    with pytest.raises(NotTaken, match=r"by: 1e.* is out of range"):
        after.applied(replacing(after, said("absurd"), [replace(entry, by=Decimal(10) ** 9)]), first)


def test_an_edit_that_would_keep_what_no_record_may_hold_is_refused_and_changes_nothing():
    document, petty, bar = full()
    record = document.get(bar, BarRecord)
    edit = rack.change_bar(document, bar, replace(record.bar, thickness=1e308), Stamp("e", "2026-11-27"))
    with pytest.raises(NotTaken) as refused:
        document.applied(edit)
    assert refused.value.what == f"bar “{record.bar.name}”, bar.thickness: 1e+308 is out of range. Allowed: 0.2 to 60 mm."
    absurd = changed(document.get(petty, TemplateRecord).family, "handle.length", 0.0)
    with pytest.raises(NotTaken, match=r"family.handle.length: 0 is out of range. Allowed: 50 to 250 mm"):
        document.applied(templates.reshape(document, petty, absurd, said("absurd")))
    with pytest.raises(NotTaken, match=r"settings.*charges.stages: has 101 entries"):
        stages = document.settings.charges.stages[:1] * 101
        more = replace(document.settings, charges=replace(document.settings.charges, stages=stages))
        document.applied(whole.change_settings(document, more, "charges.stages"))
    with pytest.raises(NotTaken, match="made: “soon” is not a date"):
        document.applied(layouts.keep_layout(document, replace(next(document.all(LayoutRecord)), made="soon"), lambda: "r"))


def test_an_undo_is_judged_as_an_edit_is():
    document, _, bar = full()
    record = document.get(bar, BarRecord)
    forged = Edit(said("changed"), (Change(bar, replace(record, bar=replace(record.bar, width=float("nan"))), record),))
    with pytest.raises(NotTaken, match=r"bar.width: nan is out of range"):
        document.applied(forged.inverse)
