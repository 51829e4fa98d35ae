"""Sheets on few pages: those of a stored layout of the demo hold what they held on twice as many, in letters large enough."""

import json
from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.counts import some
from tests.sheets.test_bench_card import boxes
from workbook.formats.family import family, family_ids
from workbook.formats.layout_in import read_layout
from workbook.geometry.drawing import Clip, Copy, Disc, Text, box
from workbook.model.laying import finish, start
from workbook.sheets.bar_sheet import all_pages
from workbook.sheets.flow import Flow, PageBlock, arranged, composed, room_on
from workbook.sheets.furniture import BESIDE, CHECK_IN
from workbook.sheets.table import pairs, paragraph
from workbook.sheets.template_sheet import template_pages
from workbook.shop.in_hand import nominal_bar
from workbook.structs import replace
from workbook.tasks.keeping import keeping, kept_from
from workbook.tasks.searching import search
from workbook.tasks.sheets import bar_plans, bars_of, run_of, sheet_pages
from workbook.template.shape import shape

STORED = Path(__file__).parent / "stored"
BEFORE = json.loads(
    (STORED / "before.json").read_text(encoding="utf-8")
)  # pages, and every text on them, before they were packed
GONE = {  # words that went, and why
    "bars": {
        "Part", "True", "size", "joins", "2026,",  # said otherwise: "part 1 of 3", "true size", in titles
        "sheet,", "tiled", "bars,", "joined:", "when", "other",  # the feet of pages, and what was said on each of them
        "2.", "part.", "comes", "off;", "4:", "5:", "6:", "8:", "9:",  # cuts are told one a line: "Cuts 2 + 3 free T2."
    },
    "templates": {"2.", "Part", "joins", "master", "fold-over", "8", "9"},  # numbers of pages; feet, which named what is on them
}  # fmt: skip


@pytest.fixture(scope="module")
def laid(demo):
    """The stored layout, on which the demo took 16 pages of bars."""
    bars = read_layout(STORED / "demo-layout.json")
    blanks = kept_from(start(demo), bars, [piece.serial for bar in bars for piece in bar.pieces])
    nesting = keeping(start(demo), *blanks)
    *_, last = search(nesting, 0, lambda step: step >= 1, repeatable=True)
    return finish(demo, nesting, last, 0)


@pytest.fixture(scope="module")
def sheets(demo, laid):
    """The pages of bars and of all templates, on a paper in a unit."""

    def made(paper="letter", unit="in"):
        run = replace(run_of(demo.job, paper, "30 November 2026"), unit=unit)
        templates = [page for key in demo.shapes for page in sheet_pages(demo, run, key, bars_of(demo, None, key))]
        return {"bars": list(all_pages(run, bar_plans(laid))), "templates": templates}

    return made


def flat(marks):
    for mark in marks:
        if isinstance(mark, Clip | Copy):
            yield from flat(mark.marks)
        else:
            yield mark


def texts(pages):
    return [mark for page in pages for mark in flat(page.marks) if isinstance(mark, Text)]


def test_the_demo_takes_half_the_pages(sheets):
    assert {kind: entry["pages"] for kind, entry in BEFORE.items()} == {"bars": 16, "templates": 21}
    found = {kind: len(pages) for kind, pages in sheets().items()}
    assert found["bars"] <= 8
    assert found["templates"] <= 10


@pytest.mark.parametrize("kind", ["bars", "templates"])
def test_every_word_and_number_is_still_there(sheets, kind):
    before = {word for text in BEFORE[kind]["words"] for word in text.split()}
    now = {word for mark in texts(sheets()[kind]) for word in mark.text.split()}
    assert before - now <= GONE[kind]


@pytest.mark.parametrize(("paper", "unit"), [("letter", "in"), ("a4", "mm")])
def test_no_letters_are_smaller_than_nine_points(sheets, paper, unit):
    for pages in sheets(paper, unit).values():
        assert {mark.text: mark.size for mark in texts(pages) if mark.size < 9} == {}


def test_what_is_scribed_is_read_at_arms_length(demo, laid, sheets):
    """Ordinates, punch marks and hole centres of bars; places of holes and lines to grind to of templates."""
    run, plans = run_of(demo.job, "letter", ""), bar_plans(laid)
    large = [mark.text for mark in texts(sheets()["bars"]) if mark.size >= 16]
    for plan in plans:
        for blank in plan.blanks:
            wanted = [run.length(x) for x in blank.span]
            wanted += [run.length(v, fine=True) for at in blank.punches() for v in at]
            wanted += [run.length(v, fine=True) for hole in blank.shape.holes for v in blank.placement.point(hole.centre)]
            assert set(wanted) <= set(large), blank.serial
    large = [mark.text for mark in texts(sheets()["templates"]) if mark.size >= 16]
    assert {"3.877", "0.405", "1.052", "1.125", "0.020"} <= set(large)  # as they stood before


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_every_hole_of_every_view_is_on_its_pages(demo, sheets, paper):
    """Both faces, the master's two, scales and tang, each once and of its own size; those of a view in parts may be twice."""
    pages = sheets(paper)["templates"]
    found = [round(mark.radius, 4) for page in pages for mark in flat(page.marks) if isinstance(mark, Disc)]
    for knife in demo.shapes.values():
        for hole in knife.holes:
            assert found.count(round(hole.diameter / 2, 4)) >= 3
        assert all(found.count(round(hole.scale_drill.diameter / 2, 4)) >= 2 for hole in knife.holes if hole.scale_drill)


def test_every_blank_is_whole_at_true_size_and_scribed(laid, demo):
    run = run_of(demo.job, "letter", "")
    for plan in bar_plans(laid):
        pages = list(all_pages(run, [plan], ("true",)))
        assert {blank.serial for blank in plan.blanks} <= {mark.text for mark in texts(pages)}
        holes = [mark for page in pages for mark in flat(page.marks) if isinstance(mark, Disc)]
        assert len(holes) >= sum(len(blank.shape.holes) for blank in plan.blanks)


def block(width, height):
    return PageBlock(width, height, (box(0.0, -height, width, 0.0),))


def extents(pages):
    """The boxes on each page, less its check bars: x0, y0, x1, y1."""
    for marks in pages:
        yield [
            (min(x), min(y), max(x), max(y))
            for mark in marks
            if hasattr(mark, "path") and mark.path.closed
            for x, y in [tuple(zip(*(segment.start for segment in mark.path.segments), strict=True))]
        ]


SIZES = st.lists(st.tuples(st.floats(5, 240), st.floats(5, 160)), min_size=1, max_size=25)


@given(SIZES)
def test_packed_blocks_lie_over_nothing_and_clear_of_check_bars(demo, sizes):
    """On a letter on its side: 6.35 mm of margin, 15.5 of title, 10.5 of foot; 19 at the right up to 5 mm over 4 in."""
    room = room_on(run_of(demo.job, "letter", ""), (279.4, 215.9))
    blocks = [block(*size) for size in sizes]
    pages = list(extents(composed(room, blocks, arranged(room, blocks))))
    assert sum(map(len, pages)) == len(sizes)
    for found in pages:
        for x0, y0, x1, y1 in found:
            assert x0 >= 6.35 - 1e-6 and y1 <= 215.9 - 6.35 - 15.5 + 1e-6
            assert y0 >= 6.35 + 10.5 - 1e-6
            beside = y0 < 6.35 + 3.2 + CHECK_IN + 5.0 - 1e-6
            assert x1 <= 279.4 - 6.35 - (BESIDE if beside else 0.0) + 1e-6
        for a, b in combinations(found, 2):
            assert min(a[2], b[2]) - max(a[0], b[0]) < 1e-6 or min(a[3], b[3]) - max(a[1], b[1]) < 1e-6


@given(st.lists(st.floats(10, 150), min_size=1, max_size=15), st.floats(20, 120), st.integers(1, 12))
def test_rows_come_where_they_were_told_to(demo, rows, height, count):
    """Places ahead of rows are those that the rows then take: as wide as there is room, none over another."""
    room = room_on(run_of(demo.job, "letter", ""), (215.9, 279.4))
    flow = Flow(room)
    for each in rows:
        flow.add(block(100.0, each))
    told = []
    for (page, width), _ in zip(flow.places(height, flow.tops(), 0), range(count), strict=False):
        told.append((page, width))
    for page, width in told:
        flow.put(block(width, height), page)
    for found in extents(flow.pages()):
        for x0, y0, x1, _ in found:
            beside = y0 < 6.35 + 3.2 + CHECK_IN + 5.0 - 1e-6
            assert x1 <= 215.9 - 6.35 - (BESIDE if beside else 0.0) + 1e-6
            assert x0 == pytest.approx(6.35)
            assert y0 >= 6.35 + 10.5 - 1e-6
        for a, b in combinations(found, 2):
            assert min(a[3], b[3]) - max(a[1], b[1]) < 1e-6


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("paper", ["letter", "a4", "tabloid"])
def test_no_words_lie_over_each_other(demo, sheets, paper, unit):
    for kind, pages in sheets(paper, unit).items():
        for number, page in enumerate(pages):
            found = list(boxes(flat_texts(page.marks)))
            for a, b in combinations(found, 2):
                across, up = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
                assert across < 0.3 or up < 0.6, (kind, number, a[4], b[4])


def flat_texts(marks, window=(0.0, 0.0, 1e3, 1e3)):
    """The texts of a page that its windows leave whole."""
    for mark in marks:
        if isinstance(mark, Clip):
            yield from flat_texts(mark.marks, mark.window)
        elif isinstance(mark, Text):
            ((x0, y0, x1, y1, _),) = boxes([mark])
            if window[0] <= x0 and window[1] <= y0 and x1 <= window[2] and y1 <= window[3]:
                yield mark


def test_one_part_alone_is_one_page(demo):
    run = run_of(demo.job, "letter", "")
    for key, knife in demo.shapes.items():
        for part in ("fold", "scales", "holes"):
            assert len(template_pages(run, knife, demo.in_hand(key), (part,))) == 1


def test_a_word_wider_than_its_column_goes_on_in_the_next_line(demo):
    run = run_of(demo.job, "letter", "")
    marks, _ = paragraph(0.0, 0.0, 30.0, "a " + "x" * 60 + " b", run.measure)
    assert "".join(mark.text for mark in marks).replace(" ", "") == "a" + "x" * 60 + "b"
    assert all(run.measure(mark.text, mark.size, False) <= 30.0 for mark in marks)


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("name", some(family_ids(), 6))
def test_the_words_of_every_family_are_whole_and_over_nothing(demo, tools, name, unit):
    """But for words where a drawing too long for the paper is parted."""
    run = replace(run_of(demo.job, "letter", "30 November 2026"), unit=unit)
    blank = shape(family(name), tools)
    pages = template_pages(run, blank, nominal_bar(blank.thickness))
    for number, page in enumerate(pages):
        found = list(boxes(flat_texts(page.marks)))
        for a, b in combinations(found, 2):
            across, up = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
            assert across < 0.3 or up < 0.6, (number, a[4], b[4])
    if not any(", part 2 of" in mark.text for mark in texts(pages)):
        assert len(texts(pages)) == sum(len(list(flat_texts(page.marks))) for page in pages)


def test_a_drawing_is_parted_in_as_few_places_as_the_paper_allows(demo, tools):
    """390 mm are two parts on a letter on its side and three on one upright, which would take a page less."""
    run = run_of(demo.job, "letter", "")
    blank = shape(family("slicer"), tools)
    words = {mark.text for mark in texts(template_pages(run, blank, nominal_bar(blank.thickness)))}
    assert "Master template, true size, part 2 of 2" in words


def test_words_that_would_run_into_their_number_go_on_in_the_next_line(demo):
    measure = run_of(demo.job, "letter", "").measure
    marks, low = pairs(0.0, 0.0, 60.0, [("words " * 8 + "last", "95.0, 11.0"), ("short", "1")], measure, size=10)
    (value,) = (mark for mark in marks if mark.text == "95.0, 11.0")
    left = value.at[0] - measure(value.text, 10, True)
    lines = [mark for mark in marks if mark.anchor == "start"]
    assert " ".join(line.text for line in lines) == "words " * 8 + "last short"
    assert all(measure(line.text, 10, False) <= left - 1.9 for line in lines[:-1])
    assert low == pytest.approx(-len(lines) * 10 * 25.4 / 72 * 1.38)


def test_a_table_of_many_holes_goes_on_on_another_page(demo):
    """Forty-five: each once, all over the foot."""
    knife = demo.shapes["Petty"]
    many = replace(knife, holes=tuple(replace(knife.holes[0], mark=f"Q{n}") for n in range(45)))
    pages = template_pages(run_of(demo.job, "letter", ""), many, nominal_bar(2.0), ("holes",))
    marks = [(mark, page) for page in pages for mark in page.marks if isinstance(mark, Text) and mark.bold and mark.size == 13]
    assert sorted(mark.text for mark, _ in marks) == sorted(f"Q{n}" for n in range(45))
    assert all(mark.at[1] > 6.35 + 10.5 for mark, _ in marks)
