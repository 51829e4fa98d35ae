"""What comes off along which gap."""

from hypothesis import given
from hypothesis import strategies as st

from workbook.sheets.parting import parted, parts


def test_three_in_a_ring_come_apart_two_lines_and_then_one():
    lines = [("T1", "T2"), ("T2", "T3"), ("T1", "T3")]
    found = list(parted(["T1", "T2", "T3"], lines))
    assert found == [(lines[:2], [["T2"]]), (lines[2:], [["T1"], ["T3"]])]


def test_a_chain_comes_apart_one_by_one():
    lines = [("A1", "A2"), ("A2", "A3"), ("A3", "A4")]
    found = list(parted(["A1", "A2", "A3", "A4"], lines))
    assert [freed for _, freed in found] == [[["A1"]], [["A2"]], [["A3"], ["A4"]]]


def test_a_blank_that_no_line_holds_is_named_too():
    found = list(parted(["A1", "A2", "A3"], [("A1", "A2")]))
    assert found == [([], [["A3"]]), ([("A1", "A2")], [["A1"], ["A2"]])]


names = [f"B{n}" for n in range(7)]
pairs = st.sampled_from([(a, b) for i, a in enumerate(names) for b in names[i + 1 :]])


@given(st.lists(pairs, min_size=1, max_size=14, unique=True))
def test_every_line_is_sawn_in_its_order_and_no_part_is_named_twice(lines):
    found = list(parted(names, lines))
    sawn = [line for run, _ in found for line in run]
    assert len(sawn) == len(set(sawn))
    left = list(lines)
    for run, freed in found:
        assert run == sorted(run, key=lines.index)
        left = [line for line in left if line not in run]
        for part in freed:
            assert all((a in part) == (b in part) for a, b in left)  # nothing holds it any more but itself
    assert sorted(name for part in parts(names, lines) for name in part) == names


def test_a_pair_that_comes_off_together_is_parted_by_its_own_line():
    lines = [("A1", "A3"), ("A1", "A2"), ("A3", "A4"), ("A4", "A5")]
    found = list(parted(["A1", "A2", "A3", "A4", "A5"], lines))
    assert found[0] == (lines[:1], [["A1", "A2"]])
    assert found[1] == (lines[1:2], [["A1"], ["A2"]])
