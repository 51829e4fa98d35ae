"""How long things take. Run with `pytest tests/bench --benchmark-enable`; otherwise each runs once, as a test that it runs.

No figure is asserted: machines differ. The medians are to be read beside each other.
"""

import os
from itertools import cycle

import numpy as np
import pytest

from workbook.structs import replace

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtGui import QImage

from tests.written import bars_dxf, bars_pdf, templates_pdf
from workbook.app.canvas.board import Board
from workbook.app.canvas.scene import Scene
from workbook.app.canvas.shading import Light, shaded
from workbook.app.look import Look
from workbook.document.action import said
from workbook.document.document import replacing
from workbook.document.records import TemplateRecord
from workbook.formats.family import family, family_ids
from workbook.geometry.path import flatten
from workbook.grind.handle_mass import Densities
from workbook.grind.lines import grind_lines
from workbook.grind.mass import masses
from workbook.model.laying import finish, nesting_job
from workbook.nesting.search import layouts
from workbook.shop.job import Bar, Make
from workbook.storage.body import BookBody
from workbook.storage.opening import begin, open_path
from workbook.tasks.demo import demo_document
from workbook.tasks.exports import Wanted, exported
from workbook.tasks.load import shaped
from workbook.tasks.searching import search
from workbook.tasks.sheets import run_of
from workbook.template.checks import check
from workbook.template.parameters import changed
from workbook.template.shape import shape

LENGTHS = cycle(range(1, 100_000))


@pytest.mark.parametrize("name", ["petty", "chefs", "everyday-fixed-blade"])
def test_a_parameter_edit_outline_holes_and_checks(benchmark, tools, name):
    template = family(name)

    def edit():
        """Another length each time, so that nothing kept from before helps."""
        longer = changed(template, "blade.length", template.blade.length + next(LENGTHS) * 1e-3)
        return check(shape(longer, tools), tools)

    benchmark(edit)


@pytest.fixture(scope="module")
def long_history(tmp_path_factory):
    """A folder of sessions and a file with a thousand steps of a template's history."""
    folder = tmp_path_factory.mktemp("long")
    session = begin(folder / "sessions", BookBody(demo_document()))
    record = next(record for record in session.document.records.values() if isinstance(record, TemplateRecord))
    for number in range(1000):
        longer = replace(session.document.records[record.id], place=record.place + number / 1000)
        session.edit(replacing(session.document, said(f"step {number}"), [longer]), "2026-01-02")
    session.save_as(folder / "long.shopbook")
    session.close()
    return folder


def test_a_workbook_with_a_thousand_steps_opened(benchmark, long_history):
    def opened():
        open_path(long_history / "sessions", long_history / "long.shopbook", known=True).close()

    benchmark(opened)


def test_a_workbook_with_a_thousand_steps_saved(benchmark, long_history):
    session = open_path(long_history / "sessions", long_history / "long.shopbook", known=True)
    benchmark(session.publish)
    session.close()


@pytest.mark.parametrize("name", ["petty", "skinner", "camp-bowie"])
def test_a_grind_at_200_stations_with_mass_and_both_lines(benchmark, tools, name):
    template = family(name)

    def weigh(blank):
        """What follows when anything of a knife has changed: lines, ground steel, mass and balance."""
        grind_lines(blank, blank.thickness)
        return masses(blank, blank.thickness, Densities(steel=7.85, scales=1.35, fasteners=8.5, epoxy=1.15)).balance

    def another():
        longer = changed(template, "blade.length", template.blade.length + next(LENGTHS) * 1e-3)
        return (shape(longer, tools),), {}

    benchmark.pedantic(weigh, setup=another, rounds=60)


@pytest.mark.parametrize("name", ["petty", "skinner", "camp-bowie"])
def test_a_shaded_picture_1200_px_wide(benchmark, qapp, tools, name):
    blank = shape(family(name), tools)
    x0, y0, x1, y1 = blank.extent()
    x = np.linspace(x0, x1, 1200)
    y = np.arange(y0, y1, x[1] - x[0])
    benchmark(lambda: shaded(blank, blank.thickness, x, y, Light(), Look("light")))


def test_flattening_every_family(benchmark, tools):
    outlines = [shape(family(name), tools).outline for name in family_ids()]
    benchmark(lambda: [flatten(outline, 0.01 + next(LENGTHS) * 1e-9) for outline in outlines])


def test_a_frame_of_the_board(benchmark, qtbot, tools):
    board = Board(Look("light"))
    qtbot.addWidget(board)
    board.resize(900, 560)
    template = family("petty")
    image = QImage(900, 560, QImage.Format.Format_RGB32)

    def frame():
        """Edit, draw, paint: what a drag does."""
        longer = changed(template, "blade.length", template.blade.length + next(LENGTHS) * 1e-3)
        board.show_scene(Scene(blank=shape(longer, tools), unit="in", bar=2.0, lit="blade"), Look("light"))
        board.render(image)

    benchmark(frame)


def test_a_first_layout_of_the_demo(benchmark, demo):
    nesting = nesting_job(demo)
    benchmark(lambda: next(layouts(nesting, 0)))


def test_thirty_steps_of_the_demo(benchmark, demo):
    nesting = nesting_job(demo)
    benchmark(lambda: [p.step for p in search(nesting, 0, lambda step: step >= 30)])


@pytest.fixture(scope="module")
def laid(demo):
    nesting = nesting_job(demo)
    *_, last = search(nesting, 0, lambda step: step >= 10)
    return finish(demo, nesting, last, 0)


def test_bar_sheets(benchmark, laid):
    benchmark(lambda: bars_pdf(laid, "letter", ""))


def test_bars_as_dxf(benchmark, laid):
    benchmark(lambda: bars_dxf(laid))


def test_template_sheets(benchmark, demo):
    benchmark(lambda: templates_pdf(demo, "letter", ""))


def test_ten_bars_and_ten_templates_to_pdf_and_dxf(benchmark, demo):
    """Sheets of ten templates, bar sheets of their bars, and all as cutting files; to be read beside two seconds."""
    templates = tuple(replace(family(name), name=name) for name in family_ids()[: 10 if benchmark.enabled else 2])
    bars = tuple(
        Bar(name=t.name, steel="O1", thickness=t.blade.thickness, width=t.blade.height + 30.0, length=915.0, have=1, buy=False)
        for t in templates
    )
    make = tuple(Make(template=t.name, steel="O1", quantity=2) for t in templates)
    model = shaped(replace(demo.job, templates=templates, bars=bars, make=make))
    nesting = nesting_job(model)
    *_, last = search(nesting, 0, lambda step: step >= 3, repeatable=True)
    laid = finish(model, nesting, last, 0)
    run = run_of(model.job, "letter", "")

    def write():
        wanted = Wanted(model=model, run=run, keys=tuple(model.shapes), laid=laid)
        return exported(wanted, ["sheets", "bars", "bars-drawing", "bars-cut", "cutting"])

    benchmark(write)
