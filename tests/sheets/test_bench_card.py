"""The bench card as it is printed, read back: it says what to set, in either unit and on either paper, for every family."""

import itertools

import pypdfium2
import pytest

from tests.counts import some
from workbook.formats.family import family, family_ids
from workbook.formats.font import measure
from workbook.formats.pdf import pdf
from workbook.geometry.drawing import Curve, Text
from workbook.geometry.lettering import width
from workbook.geometry.path import bounds
from workbook.grind.bench import Reading
from workbook.sheets.bench_card import card_page
from workbook.sheets.cautions import GRIND
from workbook.sheets.printer import Printer
from workbook.shop.job import Bar, Job, Make, Measured
from workbook.structs import replace
from workbook.tasks.load import shaped
from workbook.tasks.sheets import _card, card_pages, run_of
from workbook.template.parameters import changed
from workbook.template.tools import Owned


def loaded_with(name, unit="in", **bar):
    template = family(name)
    values = {"thickness": template.blade.thickness, "width": 120.0, "length": 900.0, "have": 1, **bar}
    rack = Bar(name="bar", steel="O1", **values)
    make = Make(template=template.name, steel="O1", quantity=1)
    return shaped(Job(name="cards", unit=unit, templates=(template,), bars=(rack,), make=(make,)))


def words(model, paper="letter"):
    (name,) = model.shapes
    run = run_of(model.job, paper, "1 May 2026", Printer())
    document = pypdfium2.PdfDocument(pdf(card_pages(model, run, name, (model.in_hand(name),)), name))
    assert len(document) == 1
    page = document[0]
    return page.get_textpage().get_text_range(), page


def test_the_card_is_for_the_bar_as_measured():
    """(2.05 - 0.5) / 2 = 0.775 mm from each face, 0.5 between; arithmetic."""
    said, _ = words(loaded_with("petty", "mm", thickness=2.0, measured=Measured(thickness=2.08, middle=2.05)), "a4")
    assert "2.05 mm measured" in said
    assert "0.77 mm" in said or "0.78 mm" in said
    assert "0.50 mm" in said
    assert "respirator" in said


def boxes(marks):
    """Boxes of all words, with them: x0, y0, x1, y1 of what is printed."""
    for mark in marks:
        if isinstance(mark, Text):
            wide, high = width(mark.text, mark.size, mark.bold, measure), mark.size * 25.4 / 72 * 0.7
            left = mark.at[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[mark.anchor]
            yield left, mark.at[1], left + wide, mark.at[1] + high, mark.text


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("name", [*some(family_ids(), 4), "skinner"])
def test_no_words_of_a_card_lie_over_each_other(name, unit):
    """With every row there can be: a jig with steps, a stone, a stone's jig; of materials that no table has."""
    model = loaded_with(name, unit)
    unknown = changed(changed(model.job.templates[0], "handle.material", "something new"), "handle.fasteners", "another thing")
    model = shaped(replace(model.job, templates=(unknown,)))
    tools = Owned(angle_step=0.5, stone=200.0, jig_offset=12.0)
    with_tools, own = shaped(replace(model.job, tools=tools)), model.job.templates[0].name
    (page,) = card_pages(with_tools, run_of(model.job, "a4", "1 May 2026"), own, (with_tools.in_hand(own),))
    assert min(mark.size for mark in page.marks if isinstance(mark, Text)) >= 9  # points: read at the bench
    found = list(boxes(page.marks))
    assert any("densities are assumed" in box[4] for box in found)
    clashes = [
        (a[4], b[4])
        for a, b in itertools.combinations(found, 2)
        if min(a[2], b[2]) - max(a[0], b[0]) > 0.3 and min(a[3], b[3]) - max(a[1], b[1]) > 0.3
    ]
    assert clashes == []


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("name", some(family_ids(), 4))
def test_every_family_has_a_card_and_all_of_it_is_on_the_page(name, paper):
    said, page = words(loaded_with(name, "mm" if paper == "a4" else "in"), paper)
    single = family(name).grind.bevel == "single"
    for part in ("Scribe one line" if single else "Scribe from each face", "Calipers should read", "Mass and balance", "O1"):
        assert part in said
    text, (width, height) = page.get_textpage(), page.get_size()
    for n in range(text.count_rects()):
        left, bottom, right, top = text.get_rect(n)
        assert left >= 17, said
        assert right <= width - 17
        assert bottom >= 17
        assert top <= height - 17


def card(unit="mm", name="petty", paper="a4", stations=None, warned=()):
    """A card's page; its places along the blade, with readings of our own, or those of the program."""
    model = loaded_with(name, unit)
    (own,) = model.shapes
    run = run_of(model.job, paper, "1 May 2026")
    made = _card(model, run, own, model.in_hand(own))
    return run, card_page(run, replace(made, stations=stations or made.stations, warned=warned))


def said_on(page):
    return [mark for mark in page.marks if isinstance(mark, Text)]


def at(page, begins):
    """The first words that begin so."""
    return next(mark for mark in said_on(page) if mark.text.startswith(begins))


PLACES = (
    ("at the heel", (Reading(up=5.0, before=1.7, finished=1.5), Reading(up=20.0, before=2.0, finished=1.8))),
    ("half-way", (Reading(up=5.0, before=1.4, finished=1.25),)),
)


def test_readings_stand_by_height_and_place_with_a_dash_where_the_blade_is_not_so_high():
    _, page = card(stations=PLACES)
    told = [mark.text for mark in said_on(page)]
    at_5, at_20 = told.index("5.0 mm"), told.index("20.0 mm")
    assert told[at_5 - 3 : at_5] == ["Above the edge", "at the heel", "half-way"]
    assert told[at_5 : at_20 + 3] == ["5.0 mm", "1.70 / 1.50", "1.40 / 1.25", "20.0 mm", "2.00 / 1.80", "–"]


def test_readings_of_inches_have_as_many_decimals_as_those_under_them():
    """1.27 mm are 0.05 in: written out, so that the points of a column stand under each other."""
    _, page = card("in", stations=(("at the heel", (Reading(up=5.0, before=2.54, finished=1.27),)),))
    assert "0.1000 / 0.0500" in [mark.text for mark in said_on(page)]


def columns(count):
    return tuple((f"place number {n}", PLACES[0][1]) for n in range(count))


@pytest.mark.parametrize(("count", "size"), [(2, 9.5), (5, 9.5), (6, 9.0)])
def test_a_table_of_readings_is_small_only_where_it_has_no_room_otherwise(count, size):
    run, page = card(stations=columns(count))
    cells = [mark for mark in said_on(page) if mark.text == "1.70 / 1.50"]
    assert [mark.size for mark in cells] == [size] * count
    right = max(mark.at[0] + width(mark.text, mark.size, False, measure) for mark in cells)
    assert right <= run.wide[0] - run.margin
    heads = [width(f"place number {n}", 9.0, False, measure) for n in range(count)]
    first = width("Above the edge", 9.0, False, measure)
    fits = first + sum(heads) + 9.0 * count <= run.wide[0] - 2 * run.margin - 101
    assert fits is (size == 9.5)


def test_a_card_is_read_from_its_top_to_its_bottom_and_nothing_is_drawn_over_another():
    """Down the right: the knife from the side, edge up, its sections, the readings, the steps, what to watch; then the foot."""
    _, page = card(warned=("the edge is thin",))
    order = (
        "plunge",
        "edge up",
        "As cut",
        "sections at the heel",
        "Calipers should read",
        "1 Dye",
        "4 Harden",
        "Caution: the edge",
    )
    heights = [at(page, words).at[1] for words in order]
    assert heights == sorted(heights, reverse=True)
    curves = [mark for mark in page.marks if isinstance(mark, Curve)]
    side, *_ = (bounds(mark.path) for mark in curves if mark.fill == "blank")
    dye = next(bounds(mark.path) for mark in curves if mark.fill == "dye")
    cut, *_ = (
        bounds(mark.path) for mark in curves if mark.line == "outline" and mark.path.closed and bounds(mark.path)[3] < dye[1]
    )
    rules = [
        y0 for x0, y0, x1, y1 in (bounds(mark.path) for mark in curves if mark.line == "extension") if y0 == y1 and x1 - x0 > 150
    ]
    assert side[1] > at(page, "edge up").at[1] > dye[3] > dye[1] > rules[-1] > cut[3] > cut[1] > at(page, "Calipers").at[1]
    assert side[1] - dye[3] < 20


def test_the_first_thing_to_watch_stands_close_under_the_steps():
    """Steps and what follows are lines of 8 points: between two of them are less than two lines."""
    _, page = card(warned=("the edge is thin",))
    line = 9 * 25.4 / 72 * 1.38
    steps = [at(page, words).at[1] for words in ("1 Dye", "2 Set", "3 Grind", "4 Harden")]
    assert [a - b for a, b in itertools.pairwise(steps)] == pytest.approx([line] * 3)
    assert line < steps[-1] - at(page, "Caution:").at[1] < 2 * line


def test_cautions_fill_the_width_of_the_page_over_its_foot_which_says_that_it_is_the_only_page():
    run, page = card(paper="letter")
    lines = [mark for mark in said_on(page) if mark.size == 9.0 and mark.tone == "ink" and mark.at[1] < 30]
    assert " ".join(mark.text for mark in lines) == GRIND
    assert len(lines) == 2
    right = run.wide[0] - run.margin
    assert all(mark.at[0] + width(mark.text, 9.0, False, measure) <= right for mark in lines)
    longer = f"{lines[0].text} {lines[1].text.split()[0]}"
    assert run.margin + width(longer, 9.0, False, measure) > right
    foot = at(page, "page ")
    assert foot.text == "page 1 of 1"
    assert 4 < lines[1].at[1] - foot.at[1] < 8


def test_the_heading_of_mass_and_balance_stands_between_its_rows_and_those_before():
    _, page = card()
    heading, first = (at(page, words) for words in ("Mass and balance", "Blank, cut to the line"))
    left = sorted(mark.at[1] for mark in said_on(page) if mark.at[0] == heading.at[0] and mark.at[1] > heading.at[1])
    row = 9.0 * 25.4 / 72 * 1.38
    assert row < heading.at[1] - first.at[1] < 5.0
    assert left[0] - heading.at[1] > row
