"""The bench card as it is printed, read back: it says what to set, in either unit and on either paper, for every family."""

import itertools

import pypdfium2
import pytest

from tests.counts import some
from workbook.formats.family import family, family_ids
from workbook.formats.font import measure
from workbook.formats.pdf import pdf
from workbook.geometry.drawing import Text
from workbook.geometry.lettering import width
from workbook.sheets.printer import Printer
from workbook.shop.job import Bar, Job, Make, Measured
from workbook.structs import replace
from workbook.tasks.load import shaped
from workbook.tasks.sheets import card_pages, run_of
from workbook.template.tools import Owned


def loaded_with(name, unit="in", **bar):
    template = family(name)
    values = {"thickness": template.blade.thickness, "width": 120.0, "length": 900.0, "have": 1, **bar}
    rack = Bar(name="bar", steel="O1", **values)
    make = Make(template=template.name, steel="O1", quantity=1)
    return shaped(Job(name="cards", unit=unit, templates=(template,), bars=(rack,), make=(make,)))


def words(loaded, paper="letter"):
    (name,) = loaded.shapes
    run = run_of(loaded.job, paper, "1 May 2026", Printer())
    document = pypdfium2.PdfDocument(pdf(card_pages(loaded, run, name, (loaded.in_hand(name),)), name))
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
@pytest.mark.parametrize("name", some(family_ids(), 7))
def test_no_words_of_a_card_lie_over_each_other(name, unit):
    """With every row there can be: a jig with steps, a stone, a stone's jig."""
    loaded = loaded_with(name, unit)
    tools = Owned(angle_step=0.5, stone=200.0, jig_offset=12.0)
    with_tools, own = shaped(replace(loaded.job, tools=tools)), loaded.job.templates[0].name
    (page,) = card_pages(with_tools, run_of(loaded.job, "a4", "1 May 2026"), own, (with_tools.in_hand(own),))
    found = list(boxes(page.marks))
    clashes = [
        (a[4], b[4])
        for a, b in itertools.combinations(found, 2)
        if min(a[2], b[2]) - max(a[0], b[0]) > 0.3 and min(a[3], b[3]) - max(a[1], b[1]) > 0.3
    ]
    assert clashes == []


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("name", some(family_ids(), 7))
def test_every_family_has_a_card_and_all_of_it_is_on_the_page(name, paper):
    said, page = words(loaded_with(name, "mm" if paper == "a4" else "in"), paper)
    single = family(name).grind.bevel == "single"
    for part in ("scribe one line" if single else "scribe from each face", "Calipers should read", "Mass and balance", "O1"):
        assert part in said
    text, (width, height) = page.get_textpage(), page.get_size()
    for n in range(text.count_rects()):
        left, bottom, right, top = text.get_rect(n)
        assert left >= 17, said
        assert right <= width - 17
        assert bottom >= 17
        assert top <= height - 17
