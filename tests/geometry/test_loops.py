"""Loose curves joined into loops."""

from hypothesis import given
from hypothesis import strategies as st

from workbook.geometry.loops import GAP, LayerCurve, join
from workbook.geometry.path import Arc, Line, Path, circle, flatten, polyline, reverse

CORNERS = [(0.0, 0.0), (100.0, 0.0), (100.0, 20.0), (50.0, 35.0), (0.0, 20.0)]


def pieces(gap=0.0):
    """The sides of a pentagon, each beginning a gap after the last one ended."""
    ends = CORNERS[1:] + CORNERS[:1]
    return [
        LayerCurve(Path((Line((x0 + gap, y0), end),), closed=False), "L") for (x0, y0), end in zip(CORNERS, ends, strict=True)
    ]


def joins_up(path):
    s = path.segments
    return path.closed and all(a.end == b.start for a, b in zip(s, s[1:] + s[:1], strict=True))


@given(st.permutations(range(5)), st.lists(st.booleans(), min_size=5, max_size=5))
def test_sides_in_any_order_and_direction_make_one_loop(order, turned):
    drawn = pieces()
    found = join([LayerCurve(reverse(drawn[i].path) if turned[i] else drawn[i].path, "L") for i in order])
    assert (len(found.closed), found.open, found.gaps_closed) == (1, [], 0)
    assert joins_up(found.closed[0].path)
    assert {s.start for s in found.closed[0].path.segments} == set(CORNERS)


@given(st.permutations(range(5)))
def test_small_gaps_are_closed_and_counted(order):
    drawn = pieces(0.07)
    found = join([drawn[i] for i in order])
    assert (len(found.closed), found.gaps_closed) == (1, 5)
    assert abs(found.widest_gap - 0.07) < 1e-9
    assert joins_up(found.closed[0].path)


def test_a_wider_gap_stays_open():
    found = join(pieces(GAP + 0.01))
    assert found.closed == []
    assert len(found.open) == 5


def test_one_side_missing_leaves_an_open_chain():
    found = join(pieces()[:4])
    assert (len(found.closed), len(found.open)) == (0, 1)
    assert len(found.open[0].path.segments) == 4


@given(st.permutations(range(10)))
def test_doubled_sides_are_dropped_and_counted(order):
    drawn = [*pieces(), *(LayerCurve(reverse(p.path), "L") for p in pieces())]
    found = join([drawn[i] for i in order])
    assert (len(found.closed), found.open, found.doubled) == (1, [], 5)


def test_a_doubled_circle_is_dropped():
    found = join([LayerCurve(circle((5.0, 5.0), 2.0)), LayerCurve(circle((5.0, 5.0), 2.0)), LayerCurve(circle((5.0, 5.0), 2.1))])
    assert (len(found.closed), found.doubled) == (2, 1)


def test_the_two_sides_of_a_lens_are_not_doubles():
    sides = [Arc((0.0, 0.0), (50.0, 0.0), 0.3), Arc((50.0, 0.0), (0.0, 0.0), 0.3)]
    found = join([LayerCurve(Path((side,), closed=False)) for side in sides])
    assert (len(found.closed), found.doubled) == (1, 0)
    assert joins_up(found.closed[0].path)


def test_two_loops_are_told_apart():
    second = [LayerCurve(Path((Line((x0 + 300, y0), (x1 + 300, y1)),), closed=False)) for ((x0, y0), (x1, y1)) in
              zip(CORNERS, CORNERS[1:] + CORNERS[:1], strict=True)]  # fmt: skip
    found = join([p for pair in zip(pieces(), second, strict=True) for p in pair])
    assert sorted(len(p.path.segments) for p in found.closed) == [5, 5]
    assert all(max(x for x, _ in flatten(p.path)) - min(x for x, _ in flatten(p.path)) == 100 for p in found.closed)


def test_an_open_polyline_whose_ends_meet_is_a_loop():
    found = join([LayerCurve(polyline([*CORNERS, CORNERS[0]]))])
    assert len(found.closed) == 1
    assert joins_up(found.closed[0].path)


def test_a_piece_of_no_length_does_no_harm():
    found = join([*pieces(), LayerCurve(Path((Line((40.0, 40.0), (40.0, 40.0)),), closed=False))])
    assert len(found.closed) == 1


def test_a_piece_of_no_length_on_a_corner_does_no_harm():
    for at in (0, 3, 5):
        drawn = pieces()
        drawn.insert(at, LayerCurve(Path((Line(CORNERS[1], CORNERS[1]),), closed=False)))
        found = join(drawn)
        assert len(found.closed) == 1
        assert {s.start for s in found.closed[0].path.segments} == set(CORNERS)
