"""Every sheet on every paper, read back by other libraries: size, check bars, codes, and nothing out of a printer's reach."""

import ctypes
from functools import cache, lru_cache
from itertools import pairwise

import numpy as np
import pypdfium2
import pypdfium2.raw as raw
import pytest
import zxingcpp

from tests.counts import FULL, some
from tests.external.reading import MM, _window, pages
from tests.external.test_pdf_size import corners, middle, picture
from workbook.formats.family import family
from workbook.sheets.paper import PAPERS, ROLL
from workbook.sheets.printer import Printer
from workbook.structs import replace
from workbook.tasks.exports import EXPORTS, Wanted, exported
from workbook.tasks.load import shaped
from workbook.tasks.sheets import run_of
from workbook.template.mark import shape_mark

NAMES = ("petty", "slicer", "kiridashi", *(("puukko-type", "everyday-fixed-blade") if FULL else ()))
RUNS = (("a4", "mm"), *((("letter", "in"), ("legal", "mm"), ("tabloid", "in"), ("a3", "mm"), (ROLL, "in")) if FULL else ()))
SHEETS = ("sheets", "cards", "bars", "shelf", "printer", "cutting")


@pytest.fixture(scope="module")
def model(demo):
    """The demo job with other templates too."""
    job = replace(
        demo.job, templates=(*demo.job.templates, *(replace(family(name), name=name) for name in NAMES if name != "petty"))
    )
    return shaped(job)


@pytest.fixture(scope="module")
def printed(model, laid_demo):
    """All sheets on a paper, by file name, with the job; made once, since several tests look at the same."""

    @cache
    def made(paper, unit, **printer):
        own = shaped(replace(model.job, unit=unit))
        run = run_of(own.job, paper, "26 November 2026", Printer(**printer))
        wanted = Wanted(model=own, run=run, keys=tuple(own.shapes), laid=laid_demo)
        files = {name: content for key in SHEETS for name, content in exported(wanted, [key]).items()}
        return own, {name: content for name, content in files.items() if name.endswith(".pdf")}

    return made


@pytest.fixture(scope="module", params=RUNS, ids=" ".join)
def run(request, printed):
    """The paper's name, the job and all its sheets."""
    paper, unit = request.param
    return paper, *printed(paper, unit)


@pytest.mark.own_working("the paper's own size, read back by pypdfium2")
def test_pages_are_the_papers(run):
    """ISO 216 and ANSI/ASME Y14.1; a roll of 24 in is cut across."""
    paper, _, files = run
    for content in files.values():
        for (w, h), _, _ in pages(content):
            if paper == ROLL:
                assert 609.6 in (pytest.approx(w, abs=0.01), pytest.approx(h, abs=0.01))
            else:
                assert sorted((w, h)) == pytest.approx([PAPERS[paper].width, PAPERS[paper].height], abs=0.001)


@pytest.mark.own_working("the bar's own definition, read back by pypdfium2")
def test_every_page_of_true_drawings_has_check_bars_both_ways(run):
    """Of templates, bars and the printer's test page; none of the others, which are not true."""
    _, model, files = run
    true = {f"{'-'.join(name.lower().split())}.pdf" for name in model.shapes} | {"bars.pdf", "printer-test.pdf"}
    assert true <= files.keys()
    for name, content in files.items():
        for _, paths, _ in pages(content):
            found = corners(paths)
            assert len(found) == (name in true)
            for x, y in found:  # 4 in each way, within a thousandth of a mm
                bar = next(p.points for p in paths if len(p.points) == 3 and np.abs(p.points[1] - (x, y)).max() < 1e-6)
                assert bar[1] - bar[0] == pytest.approx([101.6, 0.0], abs=0.001)
                assert bar[2] - bar[1] == pytest.approx([0.0, 101.6], abs=0.001)


@pytest.mark.own_working("the margin is common practice, without a source")
def test_nothing_lies_out_of_a_printers_reach(run):
    """A quarter of an inch (common practice, no source) from every edge of the paper: curves and words."""
    for name, content in run[2].items():
        for number, ((w, h), paths, _) in enumerate(pages(content)):
            for path in paths:
                low, high = path.points.min(axis=0), path.points.max(axis=0)
                if path.window is not None:
                    low, high = np.maximum(low, path.window[:2]), np.minimum(high, path.window[2:])
                if (low <= high).all():
                    assert low.min() >= 6.35 - 0.01, (name, number)
                    assert (high - (w, h)).max() <= -6.35 + 0.01, (name, number)
        for number, ((w, h), boxes) in enumerate(words_of(content)):
            for x0, y0, x1, y1, text in boxes:
                assert x0 >= 6.35 - 0.1, (name, number, text)
                assert x1 <= w - 6.35 + 0.1, (name, number, text)
                assert y0 >= 6.35 - 1.2, (name, number, text)
                assert y1 <= h - 6.35 + 0.5, (name, number, text)


@pytest.mark.own_working("a rule of our own, read back by pypdfium2")
def test_no_words_stand_over_others(run):
    """Boxes of lines of text that overlap by more than a hair in both directions, on straight pages."""
    for name, content in run[2].items():
        for number, (_, boxes) in enumerate(words_of(content)):
            for i, (ax0, ay0, ax1, ay1, a) in enumerate(boxes):
                for bx0, by0, bx1, by1, b in boxes[i + 1 :]:
                    across, up = min(ax1, bx1) - max(ax0, bx0), min(ay1, by1) - max(ay0, by0)
                    assert across < 0.3 or up < 0.45 * min(ay1 - ay0, by1 - by0), (name, number, a, b)


@pytest.mark.own_working("zxing-cpp reads it, but what it must find is the program's own text")
def test_every_template_page_is_known_again_by_its_code(run):
    """Decoded by another library from 150 dots an inch, less than any printer has."""
    paper, model, files = run
    if paper not in ("letter", "a4", ROLL):
        pytest.skip("the same codes as on smaller paper")
    for name, blank in model.shapes.items():
        file = f"{'-'.join(name.lower().split())}.pdf"
        opened = pypdfium2.PdfDocument(files[file])
        for page in opened:
            seen = page.render(scale=150 / 72, grayscale=True).to_pil()
            (code,) = zxingcpp.read_barcodes(seen, formats=zxingcpp.BarcodeFormat.QRCode)
            assert code.text == f"{name}; revision 1; {shape_mark(blank)}; 26 November 2026"
        opened.close()


@pytest.mark.outside("pypdfium2: the page drawn at 600 dots an inch of 25.4 mm, measured dot by dot")
def test_a_hundred_millimetres_are_a_hundred_on_every_page_at_600_dots(printed):
    """Within 0.05 mm, along X and Y: letter and A4."""
    for paper in ("letter", "a4") if FULL else ("letter",):
        _, files = printed(paper, "in")
        for name in ("petty.pdf", "slicer.pdf", "printer-test.pdf") if FULL else ("petty.pdf", "printer-test.pdf"):
            for number, (_, paths, _) in some(list(enumerate(pages(files[name]))), 2):
                for x, y in corners(paths):
                    dark = picture(files[name], number)
                    across = [middle(dark, x - step, y + 2.1, along=1) for step in (100.0, 0.0)]
                    up = [middle(dark, x - 2.1, y + step, along=0) for step in (0.0, 100.0)]
                    assert across[1] - across[0] == pytest.approx(100.0, abs=0.05), (name, number)
                    assert abs(up[1] - up[0]) == pytest.approx(100.0, abs=0.05), (name, number)


@pytest.mark.own_working("pypdfium2 reads it, but what it must find is the program's own shape")
def test_lengths_are_true_as_vectors(model):
    """Outlines, scales and holes on sheets that take one page: within 0.001 mm of the template's own."""
    wanted = Wanted(model=model, run=run_of(model.job, "tabloid", ""), keys=("Petty",))
    found = pages(exported(wanted, ["sheets"])["petty.pdf"])
    blank = model.shapes["Petty"]
    x0, y0, x1, y1 = blank.extent()
    wide = [np.ptp(p.points, axis=0) for _, paths, _ in found for p in paths]
    assert sum(np.abs(w - (x1 - x0, y1 - y0)).max() < 0.001 for w in wide) >= 3  # both faces and the master template
    holes = [w for w in wide if abs(w[0] - w[1]) < 1e-4]
    for hole in blank.holes:
        assert sum(abs(w[0] - hole.diameter) < 0.001 for w in holes) >= 3


@pytest.mark.own_working("the factors by hand, read back by pypdfium2")
def test_a_printers_error_is_corrected_on_every_sheet(printed):
    """Drawn 100 / 99.5 and 100 / 100.25 times as large about the middle of the page, and said at its foot."""
    _, true = printed("a4", "mm")
    _, made = printed("a4", "mm", name="office", x=99.5, y=100.25)
    for name in true:
        if name in ("printer-test.pdf", "labels.pdf"):
            continue
        for (size, paths, _), (_, stretched, told) in zip(pages(true[name]), pages(made[name]), strict=True):
            assert "corrected for office: X 1.0050, Y 0.9975" in told
            middle_ = np.array(size) / 2
            for a, b in zip(paths, stretched, strict=True):
                assert np.abs(middle_ + (a.points - middle_) * (100 / 99.5, 100 / 100.25) - b.points).max() < 0.001


@pytest.mark.own_working("a rule of our own, read back by pypdfium2")
def test_the_printers_test_page_is_never_corrected(printed):
    _, made = printed("a4", "mm", name="office", x=99.5, y=100.25)
    ((_, paths, words),) = pages(made["printer-test.pdf"])
    assert "corrected for" not in words
    lines = np.array(sorted(p.points[0, 0] for p in paths if len(p.points) == 2 and abs(np.ptp(p.points[:, 1]) - 24) < 0.01))
    assert any(abs(b - a - 100.0) < 0.001 for a, b in pairwise(lines))


@pytest.mark.own_working("the program beside itself, mirrored")
def test_mirrored_pages_are_mirrored(demo):
    run = run_of(demo.job, "letter", "")

    def sheets(*, mirrored):
        wanted = Wanted(model=demo, run=replace(run, mirrored=mirrored), keys=("Petty",))
        return pages(exported(wanted, ["sheets"])["petty.pdf"])

    straight, turned = sheets(mirrored=False), sheets(mirrored=True)
    for ((w, _), paths, _), (_, other, _) in zip(straight, turned, strict=True):
        for a, b in zip(paths, other, strict=True):
            assert np.abs(a.points * (-1, 1) + (w, 0) - b.points).max() < 0.001


@pytest.mark.own_working("the label sheet's sizes are from memory")
def test_labels_lie_on_their_labels(laid_demo, demo):
    """Each code in its own cell of a sheet of 3 x 10 labels of 2 5/8 x 1 in."""
    wanted = Wanted(model=demo, run=run_of(demo.job, "letter", ""), keys=("Petty",), laid=laid_demo)
    content = exported(wanted, ["labels"])["labels.pdf"]
    opened = pypdfium2.PdfDocument(content)
    codes = [code for page in opened for code in zxingcpp.read_barcodes(page.render(scale=300 / 72).to_pil())]
    opened.close()
    serials = [blank.serial for plan in wanted.plans for blank in plan.blanks]
    assert sorted(code.text.split(";")[0] for code in codes) == sorted(serials)
    inches = np.array([[(p.x / 300, p.y / 300) for p in (c.position.top_left, c.position.bottom_right)] for c in codes])
    cells = np.floor((inches - (0.1875, 0.5)) / (2.75, 1.0))
    assert (cells[:, 0] == cells[:, 1]).all()
    assert len({tuple(c) for c in cells[:, 0].tolist()}) == len(serials)


@lru_cache(maxsize=40)
def words_of(content):
    """For each page its size and the boxes of its runs of text, mm; turned words are left out."""
    opened = pypdfium2.PdfDocument(content)
    found = []
    for page in opened:
        boxes = []
        for item in page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT], max_depth=3):
            matrix = raw.FS_MATRIX()
            raw.FPDFPageObj_GetMatrix(item.raw, matrix)
            if abs(matrix.b) > 1e-6:
                continue
            numbers = [ctypes.c_float() for _ in range(4)]
            raw.FPDFPageObj_GetBounds(item.raw, *numbers)
            left, bottom, right, top = (v.value * MM for v in numbers)
            window = _window(item.raw)
            if window is not None:  # what a window leaves of it
                left, bottom = max(left, window[0]), max(bottom, window[1])
                right, top = min(right, window[2]), min(top, window[3])
                if left >= right or bottom >= top:
                    continue
            boxes.append((left, bottom, right, top, len(boxes)))
        found.append(((page.get_width() * MM, page.get_height() * MM), boxes))
    opened.close()
    return found


assert set(SHEETS) <= set(EXPORTS)
