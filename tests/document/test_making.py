"""Batches in a document: begun by cutting, added to by hand, entered for, given; undone and redone without a trace."""

from decimal import Decimal
from itertools import count

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from tests.counts import tries
from tests.document.every_action import AT, a_shop, petty
from workbook.document.actions import making, orders
from workbook.document.actions.making import Blades, Typed
from workbook.document.document import Document, NotTaken
from workbook.document.making import (
    apart,
    batches,
    blades_of,
    entries_of,
    going,
    name_of_batch,
    new_first,
    short_of,
    spares_for,
    standing_of,
    standings_in,
)
from workbook.document.making_records import FIRST_BATCH, BatchRecord, EntryRecord
from workbook.document.orders import blanks_started, ledger_of, still_to_cut
from workbook.document.records import MaterialRecord
from workbook.document.shop_records import OrderLine, PieceRecord
from workbook.making.entering import refused
from workbook.making.entry import EntryKind, Logged, MeasuredAt
from workbook.making.standing import CellState
from workbook.shop.labour import Stage
from workbook.shop.ledger import balance
from workbook.structs import replace
from workbook.tasks.demo import demo_document

DAY = "2026-11-26"


def ids(name="n"):
    numbers = count(1)
    return lambda: f"{name}{next(numbers)}"


def without_batches(document):
    """A shop that has not begun yet."""
    ours = (BatchRecord, EntryRecord, PieceRecord)
    return Document({id_: record for id_, record in document.records.items() if not isinstance(record, ours)})


@pytest.fixture(scope="module")
def shop():
    """The demo with a batch of three Petty begun by hand, two of them for order 1."""
    document = without_batches(demo_document())
    blades = Blades(of=petty(document), steel="52100", serials=("X1", "X2", "X3"))
    document = document.applied(making.add_blades(document, blades, "", AT, ids()))
    for blade in ("n2", "n3"):
        document = document.applied(making.give_to(document, blade, "line1"))
    return document


def entered(document, kind, *blades, stage="Lay out and scribe", id_="e", **more):
    entry = Logged(kind=kind, date=DAY, stage=stage, pieces=blades, **more)
    return document.applied(making.enter(document, "n1", entry, Typed(id_, AT)))


def test_blades_by_hand_are_a_new_batch_or_more_of_one(shop):
    (batch,) = batches(shop)
    assert (batch.number, batch.begun, name_of_batch(batch)) == (1, DAY, "Batch 1")
    assert [piece.serial for piece in blades_of(shop, batch.id)] == ["X1", "X2", "X3"]
    assert [stage.name for stage in batch.stages] == [stage.name for stage in shop.settings.charges.stages]
    more = shop.applied(
        making.add_blades(shop, Blades(of=petty(shop), steel="O1", serials=("Y1",), first="Sharpen"), batch.id, AT, ids("m"))
    )
    assert len(batches(more)) == 1
    last = blades_of(more, batch.id)[-1]
    assert standing_of(more, last).next == "Sharpen"
    assert [cell.state for cell in standing_of(more, last).cells][:3] == [CellState.BEFORE] * 3


def test_stages_of_one_name_are_told_apart():
    stage = Stage(name="Grind", set_up=0, minutes=1)
    assert [each.name for each in apart((stage, replace(stage, name="grind"), stage, replace(stage, name="Saw")))] == [
        "Grind", "grind 2", "Grind 3", "Saw",
    ]  # fmt: skip


def test_a_sheath_is_sewn_for_a_line_that_has_one_only(shop):
    line = shop.get("line1", OrderLine)
    with_one = shop.applied(orders.change_line(shop, replace(line, sheath="leather"), "sheath"))
    names = [stage.name for stage in batches(shop)[0].stages]
    at = names.index("Sew the sheath")
    states = {piece.serial: standing_of(with_one, piece).cells[at].state for piece in blades_of(with_one, "n1")}
    assert states == {"X1": CellState.OPEN, "X2": CellState.OPEN, "X3": CellState.NOT}


def test_blades_from_before_there_were_batches_are_one(shop):
    old = PieceRecord(
        id="old", place=0.0, serial="T9", of=petty(shop), name="Petty", revision=1, steel="O1", bar="b", at="2026-03-02T09:00:00"
    )
    document = type(shop)({**shop.records, "old": old})
    first = batches(document)[-1]
    assert (first.id, first.name, first.begun) == (FIRST_BATCH, "Before batches", "2026-03-02")
    assert first == new_first(document)
    assert [piece.id for piece in blades_of(document, FIRST_BATCH)] == ["old"]
    done = Logged(kind=EntryKind.DONE, date=DAY, stage="Saw and profile", pieces=("old",), minutes=20.0)
    after = document.applied(making.enter(document, FIRST_BATCH, done, Typed("e", AT)))
    assert FIRST_BATCH in after.records
    assert standing_of(after, old).minutes == 20
    named = after.applied(making.change_batch(after, replace(batches(after)[-1], name="Spring")))
    assert name_of_batch(batches(named)[-1]) == "Spring"
    assert [batch.number for batch in batches(named)] == sorted((batch.number for batch in batches(named)), reverse=True)


def test_a_lost_blade_makes_its_order_short_and_a_spare_or_a_blank_makes_it_whole(shop):
    """Three are wanted and three are begun for them; one cracks."""
    line = shop.get("line1", OrderLine)
    assert line.quantity == 3
    begun = shop.applied(making.give_to(shop, "n4", "line1"))
    assert short_of(begun, line) == 0
    lost = entered(begun, EntryKind.SCRAP, "n2", reason="cracked in the quench")
    assert short_of(lost, line) == 1
    assert spares_for(lost, line) == []
    spare = Blades(of=petty(shop), steel="52100", serials=("X9",))
    with_spare = lost.applied(making.add_blades(lost, spare, "n1", AT, ids("s")))
    (found,) = spares_for(with_spare, line)
    assert found.serial == "X9"
    assert short_of(with_spare.applied(making.give_to(with_spare, found.id, "line1")), line) == 0
    more = lost.applied(making.start_more(lost, "line1", 1))
    assert blanks_started(more, more.get("line1", OrderLine)) == 3 + 1
    assert {each.id: n for each, n in still_to_cut(more)}["line1"] == 1


def test_an_order_of_which_not_all_is_cut_yet_is_not_short(shop):
    assert short_of(shop, shop.get("line1", OrderLine)) == 0  # two of three are begun


def test_an_entry_is_written_once(shop):
    after = entered(shop, EntryKind.DONE, "n2", minutes=30.0)
    record = after.get("e", EntryRecord)
    with pytest.raises(NotTaken, match="cannot change once it is written"):
        after.applied(_changed(after, replace(record, entry=replace(record.entry, minutes=40.0))))


def _changed(document, record):
    from workbook.document.action import said
    from workbook.document.document import replacing

    return replacing(document, said("other minutes"), [record])


@pytest.mark.parametrize(
    ("entry", "wrong"),
    [
        (Logged(kind=EntryKind.DONE, date="", stage="Sharpen"), "date"),
        (Logged(kind=EntryKind.DONE, date=DAY), "stage"),
        (Logged(kind=EntryKind.SCRAP, date=DAY, stage="Sharpen", pieces=("n2",)), "reason"),
        (Logged(kind=EntryKind.SCRAP, date=DAY, stage="Sharpen", reason="lost"), "pieces"),
        (Logged(kind=EntryKind.MEASURED, date=DAY, stage="Sharpen", pieces=("n2",)), "readings"),
        (Logged(kind=EntryKind.DONE, date=DAY, stage="Sharpen", of="e"), "of"),
        (Logged(kind=EntryKind.DONE, date=DAY, stage="Sharpen", minutes=-1.0), "minutes"),
        (Logged(kind=EntryKind.DONE, date=DAY, stage="Sharpen", pieces=("line1",)), "pieces"),
    ],
)
def test_an_entry_that_cannot_be_is_refused_with_its_place(shop, entry, wrong):
    with pytest.raises(NotTaken) as refusal:
        shop.applied(making.enter(shop, "n1", entry, Typed("e", AT)))
    assert f"entry.{wrong}" in refusal.value.what


KINDS = [kind for kind in EntryKind if kind is not EntryKind.TAKEN_BACK]
STEPS = st.lists(
    st.one_of(
        st.tuples(
            st.just("enter"), st.sampled_from(KINDS), st.integers(0, 13),
            st.sets(st.integers(0, 5), min_size=1), st.integers(0, 90),
        ),
        st.tuples(st.just("undo"), st.integers(1, 4)),
        st.tuples(st.just("redo"), st.integers(1, 4)),
        st.tuples(st.just("take back"), st.integers(0, 20)),
        st.tuples(st.just("give"), st.integers(0, 5), st.sampled_from(["", "line1", "line4"])),
        st.tuples(st.just("add"), st.integers(1, 2)),
        st.tuples(st.just("scales"), st.integers(0, 5)),
    ),
    max_size=30,
)  # fmt: skip


@given(STEPS)
@settings(max_examples=tries(40, 2000), phases=[Phase.explicit, Phase.generate], deadline=None)
def test_no_history_makes_blades_out_of_nothing_or_loses_one(shop, steps):
    """Entries, scrap, giving, taking back, undo and redo in any order: started = good + lost + going, minutes agree."""
    new, document, done, undone = ids("h"), shop, [], []
    for step in steps:
        if step[0] in ("undo", "redo"):
            came, went = (done, undone) if step[0] == "undo" else (undone, done)
            for _ in range(min(step[1], len(came))):
                edit = came.pop()
                went.append(edit)
                document = document.applied(edit.inverse if step[0] == "undo" else edit)
            continue
        edit = _edit(document, step, new)
        if edit is not None:
            document = document.applied(edit)
            done.append(edit)
            undone.clear()
    started = shop_blades(document)
    standings = standings_in(document, "n1")
    good = sum(standing.finished for standing in standings.values())
    lost = sum(standing.scrapped for standing in standings.values())
    assert started == good + lost + going(document, "n1") == len(standings)
    gone = {record.entry.of for record in entries_of(document, "n1")}
    minutes = sum(record.entry.minutes for record in entries_of(document, "n1") if record.id not in gone)
    assert sum(standing.minutes for standing in standings.values()) == pytest.approx(minutes)
    fitted = sum(piece.handle == "oak" for piece in blades_of(document, "n1"))
    assert have(document) == max(0.0, have(shop) - fitted) == float(balance(ledger_of(document, "oak")))
    assert len({piece.scales for piece in blades_of(document, "n1") if piece.scales}) == fitted
    for edit in reversed(done):
        document = document.applied(edit.inverse)
    assert document.records == shop.records


@given(STEPS)
@settings(max_examples=tries(20, 500), phases=[Phase.explicit, Phase.generate], deadline=None)
def test_what_was_found_before_an_edit_is_never_wrong_after_it(shop, steps):
    """Each step's standings, batches and entries are those of a document that knows nothing from before."""
    new, document = ids("h"), shop
    for step in steps:
        edit = _edit(document, step, new) if step[0] not in ("undo", "redo") else None
        if edit is None:
            continue
        after = document.applied(edit)
        for each in (after, after.applied(edit.inverse)):
            fresh = Document(dict(each.records))
            assert batches(each) == batches(fresh)
            assert entries_of(each, "n1") == entries_of(fresh, "n1")
            assert standings_in(each, "n1") == standings_in(fresh, "n1")
        document = after


def have(document):
    """How many pairs of oak scales there are: two to begin with."""
    return document.get("oak", MaterialRecord).material.have


def shop_blades(document):
    return sum(isinstance(record, PieceRecord) for record in document.records.values())


def _edit(document, step, new):
    """The edit of a step; None where the window would refuse it."""
    blades = blades_of(document, "n1")
    match step:
        case ("enter", kind, at, chosen, minutes):
            pieces = tuple(blades[n].id for n in sorted(chosen) if n < len(blades))
            stage = batches(document)[0].stages[at % 14].name
            readings = (MeasuredAt(what="edge", where="heel", value=0.5),)
            entry = Logged(
                kind=kind, date=DAY, stage=stage, pieces=pieces, minutes=float(minutes), reason="warped", readings=readings
            )
            serials = {piece.id: piece.serial for piece in blades}
            if not pieces or refused(entry, batches(document)[0].stages, standings_in(document, "n1"), serials):
                return None
            return making.enter(document, "n1", entry, Typed(new(), AT))
        case ("take back", n):
            records = entries_of(document, "n1")
            gone = {record.entry.of for record in records}
            sound = [r.id for r in records if r.entry.kind is not EntryKind.TAKEN_BACK and r.id not in gone]
            return making.take_back(document, sound[n % len(sound)], DAY, Typed(new(), AT)) if sound else None
        case ("give", n, line):
            return making.give_to(document, blades[n % len(blades)].id, line)
        case ("scales", n):
            blade = blades[n % len(blades)]
            return None if blade.handle else making.take_materials(document, {blade.id: "oak"}, {"oak": Decimal(1)}, AT, new)
        case ("add", n):
            serials = tuple(f"Z{len(blades)}-{k}" for k in range(n))
            return making.add_blades(document, Blades(of=petty(document), steel="O1", serials=serials), "n1", AT, new)
    raise AssertionError(step)


def test_the_shop_of_all_actions_has_a_batch():
    document = a_shop()
    assert [piece.serial for piece in blades_of(document, "made0")] == ["X1", "X2"]
