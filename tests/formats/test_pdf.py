"""PDF pages: their words, and the same bytes twice."""

import pypdfium2
import pytest

from workbook.formats.font import measure
from workbook.formats.pdf import pdf
from workbook.geometry.drawing import Clip, Curve, Disc, Text, box
from workbook.geometry.path import Arc, Bezier, Line, Path
from workbook.sheets.paper import SheetPage

EVERY_MARK = (
    box(10, 10, 60, 60, fill="bar"),
    Curve(Path((Line((10, 10), (20, 10)), Arc((20, 10), (20, 30), 0.7), Bezier((20, 30), (5, 40), (1, 9), (10, 10))))),
    Disc((30, 30), 5, fill="paper"),
    Clip((0, 0, 50, 50), (Text((12, 12), "in a window"),)),
    Text((70, 70), "turned", 12, "middle", True, angle=1.5707963),
    Text((70, 90), "10 1⁄8 in – Häher", 12, "end", tone="soft"),
)


def words(data):
    document = pypdfium2.PdfDocument(data)
    try:
        found = []
        for page in document:
            text = page.get_textpage()
            found.append(text.get_text_range())
            text.close()
            page.close()
        return found
    finally:
        document.close()


def test_every_mark_is_drawn_and_its_words_can_be_read():
    (page,) = words(pdf([SheetPage(210, 297, EVERY_MARK)], "title"))
    for text in ("in a window", "turned", "Häher"):
        assert text in page
    assert "".join(page.split()).find("101/8in") >= 0


def test_the_same_pages_are_the_same_bytes():
    pages = [SheetPage(210, 297, EVERY_MARK), SheetPage(297, 210, EVERY_MARK)]
    assert pdf(pages, "title") == pdf(pages, "title")


def test_the_title_is_the_documents():
    document = pypdfium2.PdfDocument(pdf([SheetPage(50, 50, EVERY_MARK)], "Harbour – kitchen"))
    assert document.get_metadata_value("Title") == "Harbour – kitchen"
    document.close()


@pytest.mark.parametrize("bold", [False, True])
def test_text_is_measured_in_millimetres_and_grows_with_its_size(bold):
    one = measure("Harbour", 10, bold)
    assert measure("Harbour", 20, bold) == pytest.approx(2 * one)
    assert measure("HarbourHarbour", 10, bold) == pytest.approx(2 * one)
    assert 8 < one < 20
    assert measure("", 10, bold) == 0


def test_bold_is_wider():
    assert measure("Harbour kitchen", 10, True) > measure("Harbour kitchen", 10, False)
