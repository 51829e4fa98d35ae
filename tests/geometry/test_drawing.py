"""A pattern and its copies: in every writer the same as if each were drawn where it lies."""

import numpy as np
import pytest
import shapely
from hypothesis import given

from tests.external.reading import pages
from tests.strategies import placements, points
from workbook.formats.dxf_out import dxf
from workbook.formats.pdf import pdf
from workbook.formats.svg import svg
from workbook.geometry.drawing import Copy, Curve, Disc, Pattern, Text, extent, placed, seen
from workbook.geometry.path import Arc, Bezier, Line, Path, Placement
from workbook.sheets.paper import SheetPage

BLADE = Path((Line((0, 0), (40, 0)), Arc((40, 0), (40, 12), 0.4), Bezier((40, 12), (30, 18), (10, 14), (0, 0))))
PATTERN = Pattern((Curve(BLADE), Disc((8.0, 4.0), 1.6), Curve(Path((Line((3, 3), (30, 6)),), closed=False), layer="SCRIBE")))
PLACES = [
    Placement(20.0, 30.0),
    Placement(90.0, 40.0, 0.7),
    Placement(60.0, 90.0, 2.1, True),
    Placement(150.0, 120.0, -1.2, True, 0.31),
]


@given(placements(), placements(), points())
def test_one_placement_after_another_is_one(first, second, point):
    x, y = first.then(second).point(point)
    assert (x, y) == pytest.approx(second.point(first.point(point)), abs=1e-6)


@pytest.mark.parametrize("where", PLACES)
def test_a_copy_reaches_as_far_as_what_it_shows(where):
    assert extent([Copy(PATTERN, where)]) == pytest.approx(extent(placed(PATTERN.marks, where)), abs=0.06)


def test_only_what_shows_in_a_window_is_kept_and_words_always():
    near, far, words = Copy(PATTERN, PLACES[0]), Copy(PATTERN, Placement(500.0, 0.0)), Text((900.0, 0.0), "far")
    assert seen([near, far, words], (0.0, 0.0, 100.0, 100.0)) == (near, words)


@pytest.mark.parametrize("where", PLACES)
def test_a_pdf_shows_a_copy_where_it_lies_with_lines_as_wide(where):
    copied, drawn = (
        pages(pdf([SheetPage(210.0, 297.0, marks)], ""))[0][1] for marks in ((Copy(PATTERN, where),), drawn_at(where))
    )
    assert len(copied) == len(drawn) == 3
    for one, other in zip(copied, drawn, strict=True):
        assert shapely.LineString(one.points).hausdorff_distance(shapely.LineString(other.points)) < 0.002


def test_a_pdf_keeps_a_pattern_once_for_each_scale():
    many = [Copy(PATTERN, Placement(10.0 + 5 * n, 20.0 + 3 * n, 0.01 * n)) for n in range(30)]
    content = pdf([SheetPage(210.0, 297.0, tuple(many)), SheetPage(210.0, 297.0, placed(many, Placement(scale=0.5)))], "")
    assert content.count(b"/Subtype /Form") == 2
    assert [len(page[1]) for page in pages(content)] == [90, 90]


def test_the_others_write_a_copy_as_what_it_shows():
    full_size = PLACES[:3]  # scaled down it takes fewer arcs to be as near
    copies = tuple(Copy(PATTERN, where) for where in full_size)
    drawn = tuple(mark for where in full_size for mark in drawn_at(where))
    assert svg(copies, "") == svg(drawn, "")
    assert entities(dxf(copies)) == pytest.approx(entities(dxf(drawn)), abs=1e-6)


def drawn_at(where):
    return placed(PATTERN.marks, where)


def entities(text):
    """Every coordinate, bulge and radius in a drawing, in its order."""
    lines = [line.strip() for line in text[text.index("ENTITIES") :].splitlines()]
    codes = {"10", "20", "40", "42"}
    return np.array([float(value) for code, value in zip(lines[1::2], lines[2::2], strict=False) if code in codes])
