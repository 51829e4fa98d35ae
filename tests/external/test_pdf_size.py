"""Printed sheets are true to size: read back by another library, as vectors and as a picture of 600 dots an inch."""

from math import ceil

import numpy as np
import pypdfium2
import pytest

from tests.external.reading import pages
from tests.written import bars_pdf, templates_pdf
from workbook.sheets.printer import Printer

SIZES = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}  # ANSI/ASME Y14.1 size A, ISO 216
MARGIN = 6.35  # quarter of an inch that common printers cannot reach (common practice, no source)


@pytest.fixture(scope="module", params=["letter", "a4"])
def printed(request, demo, laid_demo):
    """The paper's name, both documents of the demo job, and both read back."""
    documents = (templates_pdf(demo, request.param, ""), bars_pdf(laid_demo, request.param, ""))
    return request.param, documents, tuple(pages(document) for document in documents)


@pytest.mark.outside("ISO 216 and ANSI/ASME Y14.1, paper sizes")
def test_pages_have_the_size_of_the_paper(printed):
    """ISO 216: A4 is 210 x 297 mm. ANSI/ASME Y14.1: size A is 8.5 x 11 in, 612 x 792 points of 1/72 in."""
    for size, _, _ in (page for read in printed[2] for page in read):
        assert sorted(size) == pytest.approx(SIZES[printed[0]], abs=0.001)  # upright or on its side


def corners(paths):
    """Where check bars stand: a stroke of 4 in to the left and 4 in up."""
    found = []
    for path in paths:
        if len(path.points) == 3:
            (x0, y0), (x, y), (x2, y2) = path.points
            if abs(x - x0 - 101.6) < 0.01 and abs(y2 - y - 101.6) < 0.01 and abs(y - y0) + abs(x - x2) < 0.01:
                found.append((x, y))
    return found


@pytest.mark.own_working("the bar's own definition, read back by pypdfium2")
def test_every_page_has_a_check_bar_of_four_inches_in_x_and_y(printed):
    for _, paths, _ in (page for read in printed[2] for page in read):
        assert len(corners(paths)) == 1


@pytest.mark.own_working("the bar's own definition, read back by pypdfium2")
def test_the_check_bars_have_a_stroke_every_ten_millimetres_and_every_half_inch(printed):
    _, paths, _ = printed[2][0][0]
    ((x, y),) = corners(paths)
    ticks = [p.points for p in paths if len(p.points) == 2]
    for step in (*np.arange(0, 101, 10), *np.arange(0, 101.7, 12.7)):
        assert any(np.abs(t[:, 0] - (x - step)).max() < 0.005 and np.abs(t[:, 1] - y).min() < 0.005 for t in ticks)
        assert any(np.abs(t[:, 1] - (y + step)).max() < 0.005 and np.abs(t[:, 0] - x).min() < 0.005 for t in ticks)


@pytest.mark.outside("pypdfium2: the page drawn at 600 dots an inch of 25.4 mm, measured dot by dot")
def test_a_hundred_millimetres_are_a_hundred_in_both_directions_of_the_picture(printed):
    """Rendered at 600 dots an inch: 100 mm within 0.05 mm."""
    for document, read in zip(printed[1], printed[2], strict=True):
        number, (x, y) = next((n, corners(paths)[0]) for n, (_, paths, _) in enumerate(read) if corners(paths))
        dark = picture(document, number)
        across = [middle(dark, x - step, y + 2.1, along=1) for step in (100.0, 0.0)]
        up = [middle(dark, x - 2.1, y + step, along=0) for step in (0.0, 100.0)]
        assert across[1] - across[0] == pytest.approx(100.0, abs=0.05)
        assert abs(up[1] - up[0]) == pytest.approx(100.0, abs=0.05)


DOTS = 600 / 25.4  # in a millimetre


def picture(document, number):
    """How dark each dot of a page is, 0 to 255."""
    opened = pypdfium2.PdfDocument(document)
    try:
        return 255 - opened[number].render(scale=600 / 72, grayscale=True).to_numpy().squeeze()
    finally:
        opened.close()


def middle(dark, x, y, along):
    """Middle in mm of the thin line that crosses the row (along 1) or column (along 0) of dots through a place."""
    row, column = dark.shape[0] - y * DOTS, x * DOTS
    reach = ceil(1.0 * DOTS)
    at = int(column if along else row)
    line = dark[int(row), at - reach : at + reach] if along else dark[at - reach : at + reach, int(column)]
    assert line.max() > 60, "no line is drawn there"
    return (at - reach + (line * (np.arange(2 * reach) + 0.5)).sum() / line.sum()) / DOTS


@pytest.mark.own_working("the margin is common practice, without a source")
def test_everything_drawn_lies_where_a_printer_reaches(printed):
    for (w, h), paths, _ in (page for read in printed[2] for page in read):
        for path in paths:
            low, high = path.points.min(axis=0), path.points.max(axis=0)
            if path.window is not None:
                low, high = np.maximum(low, path.window[:2]), np.minimum(high, path.window[2:])
            if (low <= high).all():
                assert low.min() >= MARGIN - 0.01
                assert (high - (w, h)).max() <= -MARGIN + 0.01


@pytest.mark.outside("ISO 32000-1 (PDF 1.7), viewer preferences: PrintScaling None")
def test_no_scaling_is_asked_of_the_viewer(printed):
    """PDF 1.7, viewer preferences: PrintScaling None."""
    assert all(b"/PrintScaling /None" in document for document in printed[1])


@pytest.mark.own_working("the program beside itself")
def test_the_same_sheets_are_the_same_bytes(printed, demo, laid_demo):
    assert (templates_pdf(demo, printed[0], ""), bars_pdf(laid_demo, printed[0], "")) == printed[1]


@pytest.mark.own_working("a rule of our own, read back from the bytes")
def test_fonts_are_embedded(printed):
    for document in printed[1]:
        assert b"/FontFile2" in document
        assert b"LiberationSans" in document


@pytest.mark.own_working("the factors by hand, read back by pypdfium2")
def test_a_printers_error_is_corrected_exactly_and_every_page_says_so(laid_demo):
    """A printer that makes 99.5 mm of 100 along X and 100.25 along Y: drawn 100 / 99.5 and 100 / 100.25 times as large."""
    true = pages(bars_pdf(laid_demo, "letter", ""))
    corrected = pages(bars_pdf(laid_demo, "letter", "", printer=Printer(x=99.5, y=100.25)))
    for (size, paths, words), (_, stretched, told) in zip(true, corrected, strict=True):
        assert "corrected" not in words
        assert "corrected for a printer: X 1.0050, Y 0.9975" in told
        middle = np.array(size) / 2
        wanted = [middle + (path.points - middle) * (100 / 99.5, 100 / 100.25) for path in paths]
        stray = [np.abs(a - b.points).max() for a, b in zip(wanted, stretched, strict=True)]
        assert max(stray) < 0.001
