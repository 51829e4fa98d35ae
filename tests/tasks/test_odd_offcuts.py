"""An L-shaped and a slanting offcut from the job file to the sheets: used as they are, drawn as they are, booked as they are."""

from decimal import Decimal

import ezdxf
import pytest
from shapely.geometry import Point, Polygon

from workbook.cli.main import main
from workbook.geometry.drawing import Text
from workbook.model.laying import finish, start
from workbook.model.results import layout_json
from workbook.nesting.model import written
from workbook.problems import JobError
from workbook.sheets.bar_sheet import all_pages
from workbook.sheets.bar_words import sizes_words
from workbook.tasks.load import load_job
from workbook.tasks.marking import offcuts_of
from workbook.tasks.searching import search
from workbook.tasks.sheets import bar_plans, run_of

JOB = """
[job]
name = "odd"
units = "mm"
[[template]]
name = "Petty"
family = "petty"
[[template]]
name = "Paring"
family = "paring"
[[bar]]
steel = "52100"
thickness = 2.0
width = 80
length = 620
corner_length = 330
corner_width = 35
have = 1
offcut = true
price = "12"
[[bar]]
steel = "52100"
thickness = 2.0
width = 60
length = 420
slant = 120
have = 1
offcut = true
price = "6"
[[bar]]
steel = "52100"
thickness = 2.0
width = 50
length = 900
price = "30"
[[make]]
template = "Petty"
steel = "52100"
quantity = {petty}
[[make]]
template = "Paring"
steel = "52100"
quantity = {paring}
"""
L_SHAPE = Polygon([(0, 0), (620, 0), (620, 45), (290, 45), (290, 80), (0, 80)])
TRAPEZIUM = Polygon([(0, 0), (420, 0), (300, 60), (0, 60)])


def laid(read_job, petty, paring, steps=120):
    model = read_job(JOB.format(petty=petty, paring=paring))
    nesting = start(model)
    *_, last = search(nesting, 0, lambda step: step >= steps, repeatable=True)
    return finish(model, nesting, last, 0)


@pytest.fixture(scope="module")
def read_job(tmp_path_factory):
    def read(text):
        file = tmp_path_factory.mktemp("odd") / "job.toml"
        file.write_text(text, encoding="utf-8")
        return load_job(file)

    return read


@pytest.fixture(scope="module")
def both(read_job):
    return laid(read_job, 3, 4)


def test_all_lie_on_the_offcuts_as_they_are_and_none_is_bought(both):
    shapes = {"52100 2 x 80 x 620": L_SHAPE, "52100 2 x 60 x 420": TRAPEZIUM}
    found = {both.nesting.stock[use.stock].name: use for use in both.layout.bars}
    assert set(found) == set(shapes)
    beyond = 0
    for name, use in found.items():
        for piece in use.pieces:
            outline = Polygon(written(both.nesting, piece))
            assert outline.within(shapes[name])
            assert outline.distance(shapes[name].exterior) >= 1.5
            beyond += outline.bounds[2] > (290 if name.endswith("620") else 300)
    assert beyond >= 2, "blanks lie in the leg and under the slope"
    assert both.costs.bars == Decimal("18.00")


def test_the_shares_are_of_what_is_there(both):
    (cost,) = (c for use, c in zip(both.layout.bars, both.costs.each, strict=True) if both.nesting.stock[use.stock].width == 80.0)
    (use,) = (use for use in both.layout.bars if both.nesting.stock[use.stock].width == 80.0)
    blanks = sum(Polygon(written(both.nesting, piece)).area for piece in use.pieces)
    assert cost.utilisation == pytest.approx(blanks / L_SHAPE.area, rel=1e-6)


def test_the_file_and_the_sheets_say_what_is_beyond(both):
    plans = bar_plans(both)
    data = {bar["width"]: bar for bar in layout_json(both, plans)["bars"]}
    assert data[80.0]["beyond"] == {"length": 330.0, "width": 45.0}
    assert data[60.0]["beyond"] == {"length": 120.0, "width": 0.0}
    run = run_of(both.model.job, "a4", "")
    said = " ".join(mark.text for page in all_pages(run, plans, ("scribing",)) for mark in page.marks if isinstance(mark, Text))
    assert "lay its longer edge below" in " ".join(said.split())
    words = {plan.size[1]: sizes_words(plan, "mm") for plan in plans}
    assert words[80.0].endswith("290.0 mm long at full width")
    assert words[60.0].endswith("300.0 mm long at the shorter edge")


def test_the_drawing_has_the_bars_as_they_are(tmp_path):
    (tmp_path / "odd.toml").write_text(JOB.format(petty=3, paring=4), encoding="utf-8")
    assert main(["lay-out", str(tmp_path / "odd.toml"), "--out", str(tmp_path / "out"), "--steps", "120", "--quiet"]) == 0
    drawing = ezdxf.readfile(tmp_path / "out" / "bars.dxf").modelspace()
    drawn = [Polygon([place[:2] for place in line.get_points()]).area for line in drawing.query("LWPOLYLINE[layer=='BAR']")]
    assert sorted(drawn) == pytest.approx(sorted([L_SHAPE.area, TRAPEZIUM.area]), rel=1e-6)


def test_no_line_between_blanks_leaves_the_steel_and_comes_back(both):
    for plan in bar_plans(both):
        steel = L_SHAPE if plan.size[1] == 80.0 else TRAPEZIUM
        for line in plan.between:
            assert all(steel.distance(Point(place)) < 0.01 for place in line.points)


def test_what_is_left_of_an_l_shaped_offcut_is_one_again(read_job):
    """One paring knife at end A: what is behind it keeps its missing corner, and is worth its steel."""
    done = laid(read_job, 1, 1, 20)
    for use, cost in zip(done.layout.bars, done.costs.each, strict=True):
        stock = done.nesting.stock[use.stock]
        bar = next(bar for bar in done.model.job.bars if bar.name == stock.name)
        rest = list(offcuts_of(bar, stock, cost, done, "layout 1"))
        if stock.beyond and cost.offcut >= done.model.job.settings.keep_offcut:
            assert (rest[0].corner_length, rest[0].corner_width, rest[0].slant) == (
                bar.corner_length,
                bar.corner_width,
                bar.slant,
            )
            assert rest[0].true_length == pytest.approx(cost.offcut, abs=0.01)
            assert rest[0].beyond == bar.beyond
        assert sum((each.price for each in rest), Decimal(0)) == cost.credit
    assert any(done.nesting.stock[use.stock].beyond for use in done.layout.bars)


@pytest.mark.parametrize(
    ("line", "said"),
    [("corner_length = 330", "bar[1].corner_length: is as much as the bar itself"), ("corner_width = 35", "bar[1].corner_width")],
)
def test_a_corner_as_large_as_the_bar_is_refused(read_job, line, said):
    key = line.split(" = ")[0]
    with pytest.raises(JobError, match="is as much as the bar itself") as trouble:
        read_job(JOB.format(petty=1, paring=1).replace(line, f"{key} = 700"))
    assert said in str(trouble.value)
