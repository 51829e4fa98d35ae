"""Bar sheets: saw lines that keep clear of every blank, punch marks, pages for bars of any size."""

from decimal import Decimal

import numpy as np
import pytest
from shapely.geometry import LineString, Polygon

from tests.sheets.test_bar_by_hand import planned
from workbook.formats.family import family
from workbook.formats.font import measure
from workbook.geometry.drawing import Text
from workbook.geometry.path import Placement
from workbook.model.laying import finish, nesting_job
from workbook.problems import JobError
from workbook.sheets.bar import Blank, TightTurn, between, profile_of, tight_turns
from workbook.sheets.bar_sheet import all_pages
from workbook.sheets.paper import PAPERS, PrintRun
from workbook.shop.job import Bar, Cutting, Job, Make, Saw
from workbook.structs import replace
from workbook.tasks.load import shaped
from workbook.tasks.marking import why_not
from workbook.tasks.searching import search
from workbook.tasks.sheets import bar_plans

RUN = PrintRun(paper=PAPERS["letter"], unit="in", measure=measure, job="job")
KITCHEN = ("petty", "santoku-type", "paring", "chefs")


def laid(names, bar, cutting=Cutting.LINE, each=3, steps=4, saw=None):
    templates = tuple(replace(family(n), name=n, blade=replace(family(n).blade, thickness=bar.thickness)) for n in names)
    make = tuple(Make(template=n, steel=bar.steel, quantity=each) for n in names)
    model = shaped(Job(name="job", templates=templates, bars=(bar,), make=make, saw=saw or Saw(cutting=cutting)))
    nesting = nesting_job(model)
    *_, last = search(nesting, 0, lambda step: step >= steps)
    return finish(model, nesting, last, 0)


def bar(width, length=914.4):
    return Bar(name="bar", steel="O1", thickness=2.0, width=width, length=length, price=Decimal(20))


@pytest.mark.parametrize("cutting", [Cutting.LINE, Cutting.STRAIGHT])
@pytest.mark.parametrize("width", [63.5, 90.0, 150.0])
def test_no_saw_line_comes_nearer_to_any_blank_than_half_the_kerf(cutting, width):
    done = laid(KITCHEN, bar(width), cutting)
    kerf = done.model.job.saw.kerf
    lines = 0
    for plan in bar_plans(done):
        shapes = [Polygon(blank.outline) for blank in plan.blanks]
        for line in plan.between:
            lines += 1
            assert min(shape.distance(LineString(line.points)) for shape in shapes) >= kerf / 2 - 0.02, (line.lower, line.upper)
        for x in plan.cuts.across:
            across = LineString([(x, 0), (x, width)])
            assert min(shape.distance(across) for shape in shapes) >= kerf / 2 - 0.02
    assert lines > 0


def blank(serial, outline, spine_up=True):
    """A blank that is only its outline."""
    points = np.asarray(outline, float)
    lying = Placement(0.0, 0.0, 0.0, not spine_up)
    return Blank(serial=serial, shape=None, placement=lying, outline=points, profile=profile_of(points))


def test_a_gap_that_turns_tighter_than_the_saw_is_named_with_its_radius():
    """Two sheets, one with a step 6 high over 4 long, the other following it 2.4 away: the gap turns twice by 56 degrees."""
    step = [(0, 20), (60, 20), (64, 26), (120, 26)]
    lower = blank("K1", [(0, 0), (120, 0), *reversed(step)])
    away = LineString(step).offset_curve(2.4, join_style="mitre")
    upper = blank("K2", [*away.coords, (120, 60), (0, 60)])
    lines = between(planned((lower, upper), (), 2.4, (120.0, 60.0)), straight=False)
    assert [(line.lower, line.upper) for line in lines] == [("K1", "K2")]
    (found,) = tight_turns(lines, [lower, upper], 0.8, 60.0)
    assert found.line == lines[0]
    assert 3 < found.radius < 30
    assert tight_turns(lines, [lower, upper], 0.8, 3.0) == ()
    assert tight_turns(lines, [lower, upper], 0.1, 60.0)[0].radius > found.radius


def test_a_band_too_wide_for_a_gap_is_said_on_the_sheet():
    done = laid(("petty", "santoku-type"), bar(90.0))
    plans = [replace(plan, tight=(TightTurn(plan.between[0], 12.7),)) for plan in bar_plans(done)[:1]]
    words = " ".join(mark.text for page in all_pages(RUN, plans) for mark in page.marks if isinstance(mark, Text))
    assert "turns at a radius of 1⁄2 in, tighter than the saw" in words.replace("  ", " ")


def test_a_spine_on_the_bars_own_edge_is_marked_and_saves_its_margin():
    """A petty with its margin once fits a bar that it does not fit with its margin twice."""
    saw = Saw(cutting=Cutting.STRAIGHT)
    height = laid(("petty",), bar(63.5), each=1).nesting.parts[0].outline[:, 1]
    narrow = bar(float(height.max() - height.min()) + 1.5 * saw.clean_up)
    done = laid(("petty",), narrow, saw=replace(saw, spine_on_edge=True), each=1, steps=10)
    (plan,) = bar_plans(done)
    assert all(plan.on_edge(blank) for blank in plan.blanks)
    words = [mark.text for page in all_pages(RUN, [plan]) for mark in page.marks if isinstance(mark, Text)]
    assert words.count("up, edge") + words.count("down, edge") == 1
    assert any("No saw cut there" in word for word in words)
    assert laid(("petty",), narrow, saw=saw, each=1).layout.left_over


def test_a_service_gets_no_saw_lines():
    plans = bar_plans(laid(("petty",), bar(63.5), Cutting.SERVICE))
    assert all(plan.service and plan.between == () for plan in plans)


def test_a_blank_without_holes_is_placed_by_its_point_and_its_tang():
    plan = bar_plans(laid(("puukko-type",), bar(63.5)))[0]
    for blank in plan.blanks:
        (px, _), (tx, _) = blank.punches()
        assert sorted((px, tx)) == pytest.approx(sorted(blank.span), abs=0.01)


@pytest.mark.parametrize("size", [(300.0, 500.0), (200.0, 900.0), (40.0, 7300.0)])
def test_every_text_of_a_bar_of_any_size_stays_on_the_paper(size):
    done = laid(("petty",), bar(*size), each=3, steps=1)
    pages = list(all_pages(RUN, bar_plans(done)))
    for page in pages:
        for mark in page.marks:
            if isinstance(mark, Text):
                assert 0 < mark.at[0] < page.width
                assert 0 < mark.at[1] < page.height
            elif hasattr(mark, "window"):
                assert mark.window[1] > 0
                assert mark.window[3] < page.height


@pytest.mark.parametrize("straight", [False, True])
@pytest.mark.parametrize("gap", [0.0, -1.0])
def test_between_blanks_that_touch_lies_no_line(gap, straight):
    left = blank("S1", [(10, 10), (60, 10), (60, 30), (10, 30)])
    right = blank("S2", [(60 + gap, 10), (110, 10), (110, 30), (60 + gap, 30)])
    assert between(planned((left, right), (), 1.0, (200.0, 40.0)), straight=straight) == ()


def test_nothing_is_written_of_a_bar_whose_blanks_lie_too_near():
    done = laid(("petty",), bar(63.5), each=2)
    (use,) = done.layout.bars
    on = replace(use, pieces=(use.pieces[0], replace(use.pieces[1], x=use.pieces[0].x, y=use.pieces[0].y)))
    clash = replace(done, layout=replace(done.layout, bars=(on,)))
    with pytest.raises(JobError, match=r"^layout: T1, T2 on bar 1 are too close\. Move them apart first\.$"):
        bar_plans(clash)
    assert why_not(clash).startswith("T1, T2 on bar 1 are too close")
