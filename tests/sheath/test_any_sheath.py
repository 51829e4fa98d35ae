"""Any knife and any rules within their limits: a sheath, or a reason; whole pieces, holes inside them, no bar thinner room."""

import numpy as np
import shapely
from hypothesis import Phase, assume, given, settings
from hypothesis import strategies as st

from tests.counts import tries
from tests.grind.test_stations import TOOLS
from tests.strategies import changes, made, numbers
from workbook.fields import Kind
from workbook.geometry.path import flatten
from workbook.sheath.amount import sheet_area
from workbook.sheath.fields import FIELDS, RULES
from workbook.sheath.pattern import sheath_pattern
from workbook.sheath.rules import SheathForm, SheathOf, SheathRules
from workbook.structs import replace
from workbook.template.checks import check
from workbook.template.shape import shape

QUICK = settings(max_examples=tries(25, 400), phases=[Phase.explicit, Phase.generate], deadline=None)


@st.composite
def rules(draw):
    """Rules within their limits that do not contradict each other."""
    values = {"form": draw(st.sampled_from(list(SheathForm))), "of": draw(st.sampled_from(list(SheathOf)))}
    for row in draw(st.lists(st.sampled_from(FIELDS[SheathRules][2:]), max_size=6, unique_by=lambda row: row.key)):
        low, high = row.low, row.high
        number = st.integers(int(low), int(high)) if row.kind is Kind.COUNT else numbers(low, high)
        values[row.key] = draw(st.one_of(st.sampled_from((low, high)), number))
    found = replace(SheathRules(), **values)
    assume(not list(RULES[SheathRules](found)))
    return found


@given(changes(most=5), rules())
@QUICK
def test_a_sheath_is_whole_or_told_why_there_is_none(moved, own):
    blank = shape(made(moved), TOOLS)
    assume(not any(p.severity == "stop" for p in check(blank, TOOLS)))
    try:
        pattern = sheath_pattern(blank, blank.thickness, own)
    except ValueError as trouble:
        assert "no room" in str(trouble)  # either is right
        return
    assert pattern.room.extra.min() >= -1e-6
    for piece in pattern.pieces:
        outline = shapely.Polygon(flatten(piece.outline, 0.02))
        assert outline.is_valid, (piece.key, shapely.is_valid_reason(outline))
        for hole in piece.holes:
            assert outline.contains(shapely.Point(hole.at).buffer(hole.size / 2)), (piece.key, hole)
    rectangles = sum(piece.count * piece.size[0] * piece.size[1] for piece in pattern.pieces)
    assert abs(sheet_area(pattern.room, own) / rectangles - 1) < 0.06


@given(rules())
@QUICK
def test_the_room_holds_the_silhouette_with_its_clearance(own):
    blank = shape(made(("drop-point-hunter", ())), TOOLS)
    pattern = sheath_pattern(blank, blank.thickness, own)
    ahead = shapely.Polygon(flatten(blank.outline)).intersection(shapely.box(pattern.room.throat, -500, 500, 500))
    assert pattern.room.side.buffer(1e-3).contains(ahead)
    lower = shapely.LineString([at for at in np.asarray(ahead.exterior.coords) if at[1] < 0])
    assert lower.distance(pattern.room.side.exterior) >= own.clearance - 0.3
