"""The bench card as it is printed, read back: it says what to set, in either unit and on either paper, for every family."""

import pypdfium2
import pytest

from workbook.formats.family import family, family_ids
from workbook.formats.pdf import pdf
from workbook.sheets.printer import Printer
from workbook.shop.job import Bar, Job, Make, Measured
from workbook.tasks.load import shaped
from workbook.tasks.sheets import card_pages, run_of


def loaded_with(name, unit="in", **bar):
    template = family(name)
    values = {"thickness": template.blade.thickness, "width": 120.0, "length": 900.0, "have": 1, **bar}
    rack = Bar(name="bar", steel="O1", **values)
    make = Make(template=template.name, steel="O1", quantity=1)
    return shaped(Job(name="cards", unit=unit, templates=(template,), bars=(rack,), make=(make,)))


def words(loaded, paper="letter"):
    (name,) = loaded.shapes
    run = run_of(loaded.job, paper, "1 May 2026", Printer())
    document = pypdfium2.PdfDocument(pdf(card_pages(loaded, run, name), name))
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


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("name", family_ids())
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
