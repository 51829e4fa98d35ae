"""What changed between two JSON values leads from each to the other, and is small where little changed."""

import json
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.storage.patch import PatchError, backward, difference, forward, sound

VALUES = st.recursive(
    st.none() | st.integers(-5, 5) | st.sampled_from([0.5, 1.5, "a", "b"]),
    lambda inner: st.lists(inner, max_size=12) | st.dictionaries(st.sampled_from("pqr"), inner, max_size=3),
    max_leaves=30,
)


def exact(value):
    return json.dumps(value, sort_keys=True)


@given(VALUES, VALUES)
def test_a_difference_leads_there_and_back(before, after):
    patches = difference(before, after)
    assert exact(forward(before, patches)) == exact(after)
    assert exact(backward(after, patches)) == exact(before)
    assert all(sound(patch) for patch in patches)
    assert bool(patches) == (exact(before) != exact(after))


@given(VALUES, st.lists(VALUES, max_size=3))
def test_what_does_not_fit_is_refused_and_harms_nothing(value, patches):
    before = exact(value)
    for way in (forward, backward):
        with suppress(PatchError):
            way(value, [patch for patch in patches if sound(patch)] or patches)
        assert exact(value) == before


def test_one_number_among_four_thousand_points_is_one_patch():
    before = {"thickness": 2.0, "points": [[i, i * 2] for i in range(4000)]}
    after = {"thickness": 2.5, "points": [[i, i * 2 + (i == 77)] for i in range(4000)]}
    assert difference(before, after) == [[["thickness"], 2.0, 2.5], [["points", 77, 1], 154, 155]]


@pytest.mark.parametrize(
    ("after", "patch"),
    [([1, 2, 9, 3, 4], [[], 2, [], [9]]), ([1, 4], [[], 1, [2, 3], []]), ([], [[], 0, [1, 2, 3, 4], []])],
)
def test_entries_that_come_and_go_are_told_alone(after, patch):
    assert difference([1, 2, 3, 4], after) == [patch]


def test_a_struct_of_another_class_is_another_value():
    assert difference({"is": "A", "x": 1}, {"is": "B", "x": 1}) == [[[], {"is": "A", "x": 1}, {"is": "B", "x": 1}]]
