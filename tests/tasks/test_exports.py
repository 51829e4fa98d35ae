"""What the table of exports refuses of a bar that a layout takes, and what it proposes before anything is made."""

from decimal import Decimal

import pytest

from workbook.formats.family import family
from workbook.geometry.path import polyline
from workbook.model.laying import finish, nesting_job
from workbook.problems import JobError
from workbook.shop.job import Bar, Make
from workbook.structs import replace
from workbook.tasks.exports import EXPORTS, OF_A_JOB, Wanted, exported, proposed
from workbook.tasks.load import shaped
from workbook.tasks.searching import search
from workbook.tasks.sheets import run_of
from workbook.template.drawn import DrawnTemplate

THIN, THICK = 2.0, 2.45


@pytest.fixture(scope="module")
def on_two(demo):
    """Two blades whose edge can be sharpened on the thinner of two bars only, each bar long enough for one of them."""
    own = family("petty")
    ground = replace(own.grind, height=5.0, edge_angle=11.0)
    template = replace(own, name="Petty", blade=replace(own.blade, thickness=THIN), grind=ground)
    sizes = {"steel": "O1", "width": 60.0, "length": 300.0, "price": Decimal(10), "have": 1, "buy": False}
    bars = tuple(Bar(name=f"{thick}", thickness=thick, **sizes) for thick in (THIN, THICK))
    make = (Make(template="Petty", steel="O1", quantity=2),)
    model = shaped(replace(demo.job, templates=(template,), bars=bars, make=make))
    nesting = nesting_job(model)
    *_, last = search(nesting, 0, lambda step: step >= 1, repeatable=True)
    return finish(model, nesting, last, 0)


def wanted(model, **more):
    return Wanted(model=model, run=run_of(model.job, "a4", ""), keys=tuple(model.shapes), **more)


@pytest.mark.parametrize("key", ["sheets", "cards"])
def test_a_bar_on_which_a_blade_cannot_be_ground_is_refused(on_two, key):
    assert len(on_two.layout.bars) == 2
    assert exported(wanted(on_two.model), [key])  # of the bar in hand, the thinner one
    with pytest.raises(JobError, match="no edge can be sharpened") as refused:
        exported(wanted(on_two.model, laid=on_two), [key])
    assert len(refused.value.mistakes) == 1


@pytest.mark.parametrize("key", [key for key, export in EXPORTS.items() if export.of == "bars"])
def test_a_layout_is_judged_on_the_bars_its_blanks_lie_on(on_two, key):
    """Not on the bar in hand: the thinner one, on which the blade can be ground."""
    with pytest.raises(JobError, match="no edge can be sharpened"):
        exported(wanted(on_two.model, laid=on_two), [key])


@pytest.mark.parametrize("key", OF_A_JOB)
def test_the_name_proposed_is_that_of_the_file(demo, laid_demo, key):
    of = Wanted(model=demo, run=run_of(demo.job, "a4", ""), keys=("Santoku type",), laid=laid_demo, parts=("right", "left"))
    assert proposed(of, key) == next(iter(exported(of, [key])))


def test_an_outline_from_a_file_has_no_sheath_and_is_told_why(demo):
    outline = polyline([(0, 0), (150, 0), (150, 25), (0, 25)], closed=True)
    drawn = DrawnTemplate(name="Traced", source="traced.dxf", outline=outline, thickness=2.5)
    model = shaped(replace(demo.job, templates=(*demo.job.templates, drawn), ids=()))
    for key in ("sheath", "sheath-svg"):
        with pytest.raises(JobError, match="an imported outline has no handle"):
            exported(Wanted(model=model, run=run_of(model.job, "a4", ""), keys=("Traced",)), [key])
