"""Where blades stand: worked out from entries by hand, and what holds for any entries."""

from dataclasses import dataclass, field

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.making.entering import refused
from workbook.making.entry import EntryKind, Logged, MeasuredAt
from workbook.making.standing import Came, CellState, standings
from workbook.shop.labour import Stage, StageAsks
from workbook.structs import replace

STAGES = (
    Stage(name="Saw", set_up=0, minutes=1),
    Stage(name="Grind", set_up=0, minutes=1, asks=StageAsks.EDGE, hold=True),
    Stage(name="Harden", set_up=0, minutes=1),
    Stage(name="Handle", set_up=0, minutes=1),
    Stage(name="Sheath", set_up=0, minutes=1),
)
NAMES = tuple(stage.name for stage in STAGES)
ALL = Came(stages=NAMES)
EDGE = (MeasuredAt(what="edge", where="heel", value=0.5),)


def entry(kind, stage="", pieces=("a",), **more):
    more = {"reason": "warped"} | more if kind in (EntryKind.SCRAP, EntryKind.PASSED, EntryKind.REWORK) else more
    return Logged(kind=kind, date="2026-11-26", stage=stage, pieces=pieces, **more)


def done(stage, *pieces, minutes=0.0):
    return entry(EntryKind.DONE, stage, pieces or ("a",), minutes=minutes)


def of(*entries, blades=None):
    return standings(STAGES, blades or {"a": ALL}, [(f"e{n}", each) for n, each in enumerate(entries)])


def states(standing):
    return [cell.state for cell in standing.cells]


def test_a_blade_without_entries_is_at_its_first_stage():
    standing = of()["a"]
    assert states(standing) == [CellState.NEXT, *[CellState.OPEN] * 4]
    assert (standing.next, standing.finished, standing.scrapped, standing.minutes) == ("Saw", False, False, 0)


def test_minutes_are_shared_by_the_blades_of_an_entry():
    found = of(done("Saw", "a", "b", minutes=95), done("Saw", "b", minutes=5), blades={"a": ALL, "b": ALL})
    assert (found["a"].minutes, found["b"].minutes) == (47.5, 52.5)
    assert found["a"].cells[0].date == "2026-11-26"


def test_an_entry_without_blades_is_for_the_whole_batch():
    found = of(entry(EntryKind.SET_UP, "Saw", (), minutes=20), blades={"a": ALL, "b": ALL})
    assert found["a"].minutes == found["b"].minutes == 10
    assert found["a"].next == "Saw"


def test_a_hold_point_keeps_a_blade_until_it_is_measured_or_passed():
    held = of(done("Saw"), done("Grind"))["a"]
    assert states(held) == [CellState.DONE, CellState.HELD, *[CellState.OPEN] * 3]
    assert (held.held, held.next) == (True, "Harden")
    for release in (entry(EntryKind.MEASURED, "Grind", readings=EDGE), entry(EntryKind.PASSED, "Grind")):
        freed = of(done("Saw"), done("Grind"), release)["a"]
        assert states(freed)[1:3] == [CellState.DONE, CellState.NEXT]
    assert of(done("Saw"), done("Grind"), entry(EntryKind.MEASURED, "Grind", readings=EDGE))["a"].readings == (
        ("Grind", EDGE[0]),
    )


def test_rework_takes_a_stage_and_those_after_it_back():
    way = (done("Saw"), done("Grind"), entry(EntryKind.PASSED, "Grind"), done("Harden"), done("Handle"))
    again = of(*way, entry(EntryKind.REWORK, "Harden"))["a"]
    assert states(again) == [CellState.DONE, CellState.DONE, CellState.AGAIN, CellState.AGAIN, CellState.OPEN]
    assert (again.next, again.cells[2].reason) == ("Harden", "warped")
    assert of(*way, entry(EntryKind.REWORK, "Harden"), done("Harden"))["a"].next == "Handle"


def test_a_scrapped_blade_comes_back_when_its_entry_is_taken_back():
    lost = (done("Saw"), entry(EntryKind.SCRAP, "Grind"))
    assert (of(*lost)["a"].scrapped, of(*lost)["a"].next, of(*lost)["a"].finished) == (True, "", False)
    back = of(*lost, entry(EntryKind.TAKEN_BACK, "Grind", of="e1"))["a"]
    assert (back.scrapped, back.next) == (False, "Grind")


def test_minutes_of_an_entry_taken_back_are_gone():
    assert of(done("Saw", minutes=30), entry(EntryKind.TAKEN_BACK, of="e0"))["a"].minutes == 0


def test_stages_that_are_not_for_a_blade_do_not_keep_it():
    blades = {"a": Came(stages=("Saw", "Harden"), first="Harden")}
    standing = of(blades=blades)["a"]
    assert states(standing) == [CellState.BEFORE, CellState.NOT, CellState.NEXT, CellState.NOT, CellState.NOT]
    assert of(done("Harden"), blades=blades)["a"].finished


def test_a_blade_sent_to_a_service_comes_back_as_done():
    away = of(done("Saw"), entry(EntryKind.SENT, "Harden"))["a"]
    assert states(away)[2] is CellState.SENT
    assert states(of(done("Saw"), entry(EntryKind.SENT, "Harden"), entry(EntryKind.BACK, "Harden"))["a"])[2] is CellState.DONE


@dataclass
class Told:
    """A blade worked out in another way: by a set of stages done, from the last entry back."""

    gone: bool = False
    done: set = field(default_factory=set)

    def take(self, each):
        match each.kind:
            case EntryKind.DONE | EntryKind.BACK:
                self.done.add(each.stage)
            case EntryKind.REWORK:
                self.done -= set(NAMES[NAMES.index(each.stage) :])
            case EntryKind.SENT:
                self.done.discard(each.stage)
            case EntryKind.SCRAP:
                self.gone = True


KINDS = st.sampled_from([kind for kind in EntryKind if kind is not EntryKind.TAKEN_BACK])
ENTRIES = st.lists(
    st.builds(
        lambda kind, stage, pieces, minutes: entry(kind, stage, tuple(sorted(pieces)), minutes=minutes, readings=EDGE),
        KINDS, st.sampled_from(NAMES), st.sets(st.sampled_from("abcd"), min_size=1), st.integers(0, 90),
    ),
    max_size=25,
)  # fmt: skip


@given(ENTRIES, st.sets(st.integers(0, 24)))
def test_no_entries_make_blades_out_of_nothing_or_lose_one(entries, back):
    """Only those that may be made; some are taken back; each blade is finished, lost or going, and all minutes are somebody's."""
    blades = dict.fromkeys("abcd", ALL)
    made = []
    for each in entries:
        serials = dict.fromkeys("abcd", "A1")
        if not refused(each, STAGES, standings(STAGES, blades, made), serials):
            made.append((f"e{len(made)}", each))
    wrong = [n for n in back if n < len(made)]
    all_entries = [*made, *((f"b{n}", entry(EntryKind.TAKEN_BACK, of=f"e{n}")) for n in wrong)]
    standing = [each for n, (_id, each) in enumerate(made) if n not in wrong]
    found = standings(STAGES, blades, all_entries)
    assert found == standings(STAGES, blades, [(f"s{n}", each) for n, each in enumerate(standing)])
    assert sum(s.finished for s in found.values()) + sum(s.scrapped for s in found.values()) + sum(
        bool(s.next) for s in found.values()
    ) == len(blades)
    assert sum(s.minutes for s in found.values()) == pytest.approx(sum(each.minutes for each in standing))
    for blade, own in found.items():
        told = Told()
        for each in standing:
            if blade in each.pieces:
                told.take(each)
        assert own.scrapped is told.gone
        assert own.next == ("" if told.gone else next((name for name in NAMES if name not in told.done), ""))


@pytest.mark.parametrize(
    ("each", "before", "why"),
    [
        (done("Polish"), (), "This batch has no stage Polish"),
        (done("Harden"), (done("Saw"), done("Grind")), "A1 is held at Grind. Measure it there"),
        (done("Saw"), (entry(EntryKind.SCRAP, "Saw"),), "A1 is scrapped"),
        (entry(EntryKind.PASSED, "Grind"), (done("Saw"),), "A1 is not held at Grind"),
        (entry(EntryKind.REWORK, "Handle"), (done("Saw"),), "A1 has not come to Handle yet"),
        (done("Saw", "z"), (), "? is not in this batch"),
        (entry(EntryKind.SENT, "Saw"), (done("Saw"),), "A1 has been through Saw"),
        (entry(EntryKind.SENT, "Saw"), (entry(EntryKind.SENT, "Saw"),), "A1 has been through Saw"),
        (entry(EntryKind.SENT, "Saw"), (), ""),
        (done("Saw"), (), ""),
    ],
)
def test_what_cannot_be_entered_is_refused_with_what_could(each, before, why):
    found = refused(each, STAGES, of(*before), {"a": "A1"})
    assert found.startswith(why) if why else found == ""


def test_a_stage_that_is_not_for_a_blade_cannot_be_entered():
    standing = of(blades={"a": Came(stages=("Saw",))})
    assert refused(done("Sheath"), STAGES, standing, {"a": "A1"}) == "A1 does not go through Sheath."


def test_a_held_blade_may_be_ground_again():
    assert refused(replace(done("Grind"), minutes=5.0), STAGES, of(done("Saw"), done("Grind")), {"a": "A1"}) == ""
