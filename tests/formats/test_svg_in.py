"""SVG outlines: sizes, transforms, curves and shapes as the SVG standard has them; what is hostile is refused."""

import random
import time
from math import pi

import numpy as np
import pytest
from PySide6.QtCore import QByteArray, Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtSvg import QSvgRenderer

from tests.counts import some, tries
from tests.mutation import mutated
from workbook.formats.family import family, family_ids
from workbook.formats.svg_in import read_svg
from workbook.geometry.path import Arc, bounds, flatten
from workbook.geometry.polygon import polygon
from workbook.problems import JobError
from workbook.tasks.exports.cutting import cut_svg
from workbook.tasks.guarded import guarded
from workbook.tasks.load import load_job
from workbook.template.drawn import assemble
from workbook.template.shape import shape

COUNT = tries(120, 10_000)
HEAD = '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm" viewBox="0 0 200 100">'


@pytest.fixture
def drawn(tmp_path):
    """Reads a drawing from its text."""

    def read(body, head=HEAD, unit=None):
        file = tmp_path / "plate.svg"
        file.write_text(f"{head}{body}</svg>", encoding="utf-8")
        return read_svg(file, unit)

    return read


@pytest.mark.parametrize("name", some(family_ids(), 4))
def test_what_this_program_writes_reads_as_it_was(name, tools, tmp_path):
    blank = shape(family(name), tools)
    (tmp_path / "own.svg").write_text(cut_svg(blank), encoding="utf-8")
    loops, remarks = read_svg(tmp_path / "own.svg", None)
    found = assemble(loops, "own.svg", remarks)
    assert polygon(found.outline).area == pytest.approx(polygon(blank.outline).area, rel=1e-5)
    assert len(found.circles) == len(blank.holes)
    assert sorted(d for _, d in found.circles) == pytest.approx(sorted(h.diameter for h in blank.holes), abs=1e-3)


@pytest.mark.parametrize(
    ("head", "mm"),
    [
        ('width="200mm" height="100mm" viewBox="0 0 200 100"', 1.0),
        ('width="20cm" height="10cm" viewBox="0 0 200 100"', 1.0),
        ('width="4in" height="2in" viewBox="0 0 4 2"', 25.4),
        ('width="4in" height="2in"', 25.4 / 96),
        ('width="288pt" height="144pt" viewBox="0 0 4 2"', 25.4),
        ('width="384px" height="192px" viewBox="0 0 4 2"', 25.4),
    ],
)
def test_the_size_of_a_unit_is_read_from_the_file(drawn, head, mm):
    """CSS Values and Units 3, 6.2: 1 in = 96 px = 72 pt = 2.54 cm; SVG 1.1, 7.2: width and height of the viewBox."""
    loops, remarks = drawn('<rect x="1" y="1" width="2" height="0.5"/>', f'<svg xmlns="http://www.w3.org/2000/svg" {head}>')
    x0, y0, x1, y1 = bounds(loops.closed[0].path)
    assert (x1 - x0, y1 - y0) == pytest.approx((2 * mm, 0.5 * mm))
    assert "unit from the file" in remarks[0]
    assert ("Check its length" in remarks[0]) == ("px" in head or "viewBox" not in head)


def test_without_a_real_size_the_unit_is_asked_for(drawn):
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="200" height="100%" viewBox="0 0 200 100">'
    with pytest.raises(JobError, match=r'has no unit\. Give its unit in the job: units = "mm"'):
        drawn('<rect width="20" height="5"/>', head)
    loops, remarks = drawn('<rect width="20" height="5"/>', head, "in")
    assert bounds(loops.closed[0].path)[2] == pytest.approx(508.0)
    assert remarks == ["read as in, as the job says"]


SHAPES = [
    '<path id="it" d="M10 20 L60 20 A15 15 0 0 1 60 50 H10 z"/>',
    '<path id="it" d="m10,20 c5-10 20-10 40,0 s20 20 0 30 q-10 10-20 0 t-20 -5z"/>',
    '<path id="it" d="M80 40 a30 12 25 1 0 20 25 z"/>',
    '<path id="it" d="M20 30a10 10 0 11.01 0z"/>',
    '<rect id="it" x="12" y="14" width="60" height="22" rx="5"/>',
    '<ellipse id="it" cx="60" cy="40" rx="25" ry="9" transform="rotate(30 60 40)"/>',
    '<circle id="it" cx="60" cy="40" r="9" transform="translate(10) scale(1.5 1.5)"/>',
    '<circle id="it" cx="30" cy="40" r="9" transform="scale(2 0.7)"/>',
    '<polygon id="it" points="10,10 40,12 35.5,30 -1e1,20" transform="matrix(0 1 -1 0 90 5)"/>',
    '<path id="it" d="M10 20 L60 20 A15 15 0 0 1 60 50 H10 z" transform="skewX(20) translate(4,3)"/>',
]


SHARP = 20  # pixels to the mm


def rendered(text):
    """Where Qt's own SVG reader puts black: an array of pixels, rows from the top."""
    image = QImage(200 * SHARP, 100 * SHARP, QImage.Format.Format_Grayscale8)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    QSvgRenderer(QByteArray(text.encode())).render(painter)
    painter.end()
    return np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())[:, : image.width()] < 128


@pytest.mark.parametrize("body", SHAPES)
def test_curves_lie_where_another_reader_has_them(body, drawn):
    """Qt's own SVG reader, rendered: the same bounds to a pixel, and the same area, under transforms of shape and group."""
    body = body.replace("/>", ' fill="black" stroke="none"/>')
    whole = f'<g transform="translate(35 0) rotate(7) scale(0.9)">{body}</g>'
    loops, _ = drawn(whole)
    (piece,) = loops.closed
    black = rendered(f"{HEAD}{whole}</svg>")
    rows, columns = np.flatnonzero(black.any(axis=1)), np.flatnonzero(black.any(axis=0))
    theirs = (columns[0] / SHARP, -(rows[-1] + 1) / SHARP, (columns[-1] + 1) / SHARP, -rows[0] / SHARP)
    points = flatten(piece.path, 0.001)
    assert (*points.min(axis=0), *points.max(axis=0)) == pytest.approx(theirs, abs=1.5 / SHARP)
    assert polygon(piece.path).area == pytest.approx(black.sum() / SHARP**2, rel=0.004)


def test_round_arcs_stay_arcs_and_squeezed_ones_become_points(drawn):
    body = "M10 20 L60 20 A15 15 0 0 1 60 50 H10 z"
    loops, _ = drawn(f'<path d="{body}" transform="rotate(30) scale(-2 2)"/>')
    arcs = [s for s in loops.closed[0].path.segments if isinstance(s, Arc)]
    assert [abs(arc.bulge) for arc in arcs] == pytest.approx([1.0])
    assert polygon(loops.closed[0].path).area == pytest.approx(4 * (50 * 30 + pi * 15**2 / 2), rel=1e-4)
    loops, _ = drawn(f'<path d="{body}" transform="scale(1 2)"/>')
    assert not [s for s in loops.closed[0].path.segments if isinstance(s, Arc)]
    assert polygon(loops.closed[0].path).area == pytest.approx(2 * (50 * 30 + pi * 15**2 / 2), rel=1e-4)


def test_what_is_hidden_or_not_drawn_here_is_said(drawn):
    body = """<defs><rect id="r" width="9" height="9"/></defs><g style="display: none"><rect width="5" height="5"/></g>
    <use href="#r"/><text>words</text><!-- a remark --><rect x="1" width="50" height="20"/>
    <rect visibility="hidden" width="1" height="1"/>"""
    loops, remarks = drawn(body)
    assert len(loops.closed) == 1
    assert remarks[1:] == ["left out: 1 hidden g", "left out: 1 hidden rect", "left out: 1 text", "left out: 1 use"]


BOMB = "".join(f'<!ENTITY a{n} "{f"&a{n - 1};" * 10}">' for n in range(1, 9))
HOSTILE = [
    (f'<!DOCTYPE svg [<!ENTITY a0 "boom">{BOMB}]>{HEAD}<text>&a8;</text></svg>', "defines its own entities"),
    (f'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]>{HEAD}<text>&x;</text></svg>', "defines its own entities"),
    (HEAD + "<g>" * 50_000 + "</g>" * 50_000 + "</svg>", "too deep"),
    (HEAD + '<rect width="9" height="9"/>' * 30_000 + "</svg>", "too many pieces"),
    (HEAD + '<path d="M0 0 L nan 1 z"/></svg>', "not a valid SVG file"),
    (HEAD + '<path d="' + "M0 0 " * 3 + 'L1"/></svg>', "not a valid SVG file"),
    (HEAD + '<rect width="1e999" height="2"/></svg>', "has no outline|not a valid SVG file"),
    (HEAD + '<rect width="9" height="2" transform="spin(3)"/></svg>', "is not in SVG"),
    (HEAD + '<rect width="9" height="2"', "not sound XML"),
    ("<html/>", "not an SVG drawing"),
    ("", "not sound XML"),
    (HEAD.replace('"0 0 200 100"', '"0 0 200 50" preserveAspectRatio="none"') + "</svg>", "is stretched"),
]


@pytest.mark.parametrize(("text", "why"), some(HOSTILE, 7))
def test_hostile_and_broken_files_are_refused_with_a_word(text, why, tmp_path):
    file = tmp_path / "bad.svg"
    file.write_text(text, encoding="utf-8")
    began = time.monotonic()
    with pytest.raises(JobError, match=why):
        assemble(guarded(read_svg, file, None)[0], "bad.svg", [])
    assert time.monotonic() - began < 20


def test_a_drawing_changed_at_random_is_read_or_refused(tmp_path):
    whole = f'{HEAD}<g transform="rotate(2)"><path d="M10 20 L60 20 A15 15 0 0 1 60 50 C40 60 30 55 10 50 z"/>'
    data, chance = f'{whole}<circle cx="30" cy="35" r="4"/></g></svg>'.encode(), random.Random(9)
    pieces = [b"<g>", b"</g>", b"1e999", b"nan", b"&lt;", b"<use/>", b"A0 0 0 1 1 5 5", b'"', b"\x00", b"-", b"z", "é".encode()]
    file = tmp_path / "mutated.svg"
    for _ in range(COUNT):
        file.write_bytes(mutated(data, chance, pieces))
        began = time.monotonic()
        try:
            loops, remarks = read_svg(file, None)
            assemble(loops, file.name, remarks)
        except JobError as trouble:
            assert trouble.lines()
        assert time.monotonic() - began < 5


def test_a_job_takes_an_svg_outline(tmp_path):
    (tmp_path / "old.svg").write_text(f'{HEAD}<rect x="5" y="5" width="180" height="30"/></svg>', encoding="utf-8")
    (tmp_path / "job.toml").write_text(
        '[[template]]\nname = "Old"\noutline = "old.svg"\n[template.blade]\nthickness = "3 mm"\n'
        '[[bar]]\nsteel = "O1"\nthickness = "3 mm"\nwidth = "50 mm"\nlength = "900 mm"\n[[make]]\ntemplate = "Old"\n',
        encoding="utf-8",
    )
    model = load_job(tmp_path / "job.toml")
    assert polygon(model.shapes["Old"].outline).area == pytest.approx(5400.0)
