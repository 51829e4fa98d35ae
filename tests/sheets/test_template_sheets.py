"""Sheets of one template: what is measured from where, both faces alike, pages parted where it harms least."""

from itertools import pairwise
from math import ceil, radians, tan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from tests.grind.test_stations import blank_of
from workbook.formats.font import measure
from workbook.formats.qr import qr
from workbook.geometry.drawing import Clip, Curve, Disc, Text
from workbook.geometry.path import flatten
from workbook.sheets.drill_card import drill_sheet
from workbook.sheets.fold_sheet import fold_sheet
from workbook.sheets.furniture import told
from workbook.sheets.paper import PAPERS, PrintRun
from workbook.sheets.scale_sheet import scale_sheet
from workbook.sheets.template_sheet import PARTS, template_pages
from workbook.sheets.tiles import OVERLAP, stretches, windows_for
from workbook.shop.in_hand import nominal_bar
from workbook.structs import replace
from workbook.template.mark import shape_mark

RUN = PrintRun(paper=PAPERS["letter"], unit="mm", measure=measure, job="job")


def flat(marks):
    for mark in marks:
        if isinstance(mark, Clip):
            yield from flat(mark.marks)
        else:
            yield mark


def points(mark):
    return flatten(mark.path, 0.01) if isinstance(mark, Curve) else np.array([mark.centre])


@pytest.mark.parametrize("name", ["petty", "camp-bowie", "puukko-type"])
def test_a_folded_sheet_has_the_same_plunge_on_both_faces(name):
    """Each line of one face is another of the other face, upside down; the strip between the folds is the bar."""
    sheet = fold_sheet(RUN, blank_of(name), 2.34)
    curves = [m for m in flat(sheet.view.marks) if isinstance(m, Curve)]
    plunges = [points(m) for m in curves if m.line == "plunge"]
    assert len(plunges) == 2
    assert np.abs(plunges[0] * (1, -1) - plunges[1]).max() < 1e-9
    folds = sorted(
        points(m)[0, 1] for m in curves if m.line == "hidden" and len(m.path.segments) == 1 and np.ptp(points(m)[:, 1]) == 0
    )
    assert {round(v, 6) for v in folds} >= {-1.17, 1.17}


def test_a_single_bevel_has_nothing_to_fold():
    assert fold_sheet(RUN, blank_of("kiridashi"), 3.5) is None


def test_the_scale_front_is_on_the_sheet_it_is_laid_by():
    for name in ("petty", "camp-bowie", "skinner"):
        blank = blank_of(name)
        view = fold_sheet(RUN, blank, 3.0).view
        fronts = [points(m) for m in flat(view.marks) if isinstance(m, Curve) and m.line == "construction"]
        assert fronts
        assert all(view.x0 < f[:, 0].min() and f[:, 0].max() < view.x1 for f in fronts)


@pytest.mark.parametrize("angle", [90.0, 60.0, 120.0])
def test_scales_reach_a_slanted_front(angle):
    """A front of height h at an angle a to the axis stands h / 2 / tan a ahead of the square one at its upper edge."""
    blank = blank_of("petty", handle__front_angle=angle)
    handle = blank.template.handle
    marks = [m for m in flat(scale_sheet(RUN, blank, 2.0).view.marks) if isinstance(m, Curve) and m.path.closed]
    right, left = (Polygon(points(m)) for m in marks[:2])
    reach = abs(handle.front / 2 / tan(radians(angle)))
    assert right.bounds[2] == pytest.approx(reach, abs=0.02)
    assert left.area == pytest.approx(right.area, rel=1e-4)
    assert right.is_valid


def test_left_and_right_scale_are_mirror_images_with_their_holes():
    blank = blank_of("petty")
    view = scale_sheet(RUN, blank, 2.0).view
    discs = [m for m in flat(view.marks) if isinstance(m, Disc) and m.line != "hidden"]
    count = sum(h.scale_drill is not None for h in blank.holes)
    right, left = discs[:count], discs[count:]
    assert len(left) == count
    for a, b in zip(right, left, strict=True):
        assert a.radius == b.radius
        assert a.centre[0] + b.centre[0] == pytest.approx(right[0].centre[0] + left[0].centre[0])  # turned over
        assert a.centre[1] - b.centre[1] == pytest.approx(right[0].centre[1] - left[0].centre[1])


def test_a_bare_handle_has_no_scales():
    assert scale_sheet(RUN, blank_of("kiridashi"), 3.5) is None


def test_a_blank_without_holes_has_no_card_to_drill_by():
    assert drill_sheet(RUN, blank_of("puukko-type"), ()) is None


@given(st.floats(50, 2000), st.floats(120, 400), st.lists(st.tuples(st.floats(0, 2000), st.floats(1, 60)), max_size=12))
def test_pages_cover_everything_and_overlap(length, window, harm):
    stretched = stretches(0.0, length, window, [(a, a + w, 1.0) for a, w in harm])
    assert len(stretched) == len(windows_for(length, window)) == max(1, ceil((length - OVERLAP) / (window - OVERLAP) - 1e-9))
    assert stretched[0][0] <= 1e-9
    assert stretched[-1][1] >= length - 1e-6
    for (a, b), (c, d) in pairwise(stretched):
        assert b - c == pytest.approx(OVERLAP)
        assert b - a <= window + 1e-6
        assert d - c <= window + 1e-6


def test_a_join_goes_round_a_hole_where_there_is_room():
    """Two pages for 300 mm of 200: the middle, 150, lies in a hole of 20; the join is beside it."""
    (_, end), _ = stretches(0.0, 300.0, 200.0, [(140.0, 160.0, 4.0)])
    assert not 138 < end - OVERLAP / 2 < 162


def test_the_mark_of_a_shape_follows_the_shape_alone():
    blank = blank_of("petty")
    assert shape_mark(blank) == shape_mark(blank_of("petty"))
    assert shape_mark(replace(blank, name="other")) == shape_mark(blank)
    others = [
        blank_of("petty", blade__length=140.02),
        blank_of("petty", blade__thickness=2.1),
        blank_of("petty", handle__butt=24.0),
    ]
    assert len({shape_mark(b) for b in (blank, *others)}) == 4


def test_parts_are_those_asked_for():
    blank = blank_of("petty")
    captions = {
        "right": "Right face, true size", "left": "Left face, true size", "master": "Master template, true size",
        "fold": "Fold-over plunge guide, true size", "scales": "Both scales, true size", "holes": "Holes, true size",
    }  # fmt: skip
    assert captions.keys() == set(PARTS)
    for part in PARTS:
        words = [
            m.text for page in template_pages(RUN, blank, nominal_bar(2.0), (part,)) for m in page.marks if isinstance(m, Text)
        ]
        assert [caption for caption in captions.values() if caption in words] == [captions[part]]


def test_a_name_in_any_script_however_long_leaves_room_in_the_code():
    """A code of a sheet holds 192 bytes; sixty letters of four bytes each are more."""
    blank = replace(blank_of("petty"), name="\U00020000" * 60)
    words = told(replace(RUN, date="26 November 2026"), blank)
    assert shape_mark(blank) in words
    assert qr(words)
    with pytest.raises(ValueError, match="too much text for a code"):
        qr("x" * 193)
