"""Laying out, whole: layout.json verified again from its own numbers, with shapely and nothing of ours but templates."""

import json
from decimal import Decimal
from itertools import combinations
from math import cos, radians, sin

import ezdxf
import numpy as np
import pytest
from shapely.geometry import LinearRing, Polygon

from tests.counts import some
from workbook.cli.main import main
from workbook.formats.family import family
from workbook.geometry.path import Placement, flatten
from workbook.model.laying import start
from workbook.nesting.model import written
from workbook.nesting.verify import faults
from workbook.problems import JobError
from workbook.tasks.load import load_job
from workbook.tasks.searching import search
from workbook.template.shape import shape as shape_of

METRIC = """
[job]
name = "Metric"
units = "mm"
[saw]
kerf = 1.1
clean_up = 1.3
bar_end = {end}
bar_edge = {edge}
tilt = {tilt}
cutting = "{cutting}"
[[template]]
name = "Petty"
family = "petty"
[[template]]
name = "Hunter"
family = "drop-point-hunter"
[template.blade]
thickness = 2
point_thickness = 1.5
[[bar]]
name = "narrow"
steel = "1095"
thickness = 2
width = 50
length = "700 mm"
price = "9.99"
have = 2
[[bar]]
name = "wide"
steel = "1095"
thickness = 2
width = "103 mm"
length = "480 mm"
price = "17.01"
[[make]]
template = "Petty"
quantity = 5
[[make]]
template = "Hunter"
quantity = 4
"""
CASES = {
    "tilted": METRIC.format(end=3.37, edge=2.11, tilt=2, cutting="line"),
    "straight cuts": METRIC.format(end=0, edge=0, tilt=0, cutting="straight"),
    "wide margins": METRIC.format(end=12.5, edge=6.25, tilt=0, cutting="service"),
    "margins finer than what is written": METRIC.format(end=1.190625, edge=0.396875, tilt=0, cutting="line"),
}


@pytest.fixture(scope="module", params=["demo", *CASES])
def laid(request, demo_file, lay_out_folder, tmp_path_factory):
    """A job's templates and its layout.json, read back."""
    if request.param == "demo":
        return load_job(demo_file), json.loads((lay_out_folder / "layout.json").read_text(encoding="utf-8"))
    folder = tmp_path_factory.mktemp("case")
    (folder / "job.toml").write_text(CASES[request.param], encoding="utf-8")
    assert main(["lay-out", str(folder / "job.toml"), "--out", str(folder / "out"), "--steps", "3", "--quiet"]) == 0
    return load_job(folder / "job.toml"), json.loads((folder / "out" / "layout.json").read_text(encoding="utf-8"))


def bars(laid):
    return [(bar, [Polygon(piece["outline"]) for piece in bar["pieces"]]) for bar in laid[1]["bars"]]


def test_every_outline_is_simple_and_written_to_a_ten_thousandth(laid):
    for bar, shapes in bars(laid):
        assert all(shape.is_valid and shape.area > 100 for shape in shapes)
        numbers = np.array([v for piece in bar["pieces"] for p in piece["outline"] for v in p])
        assert np.array_equal(numbers, np.round(numbers, 4))


def test_outlines_keep_the_separation(laid):
    straight = laid[0].job.saw.cutting == "straight"
    for _, shapes in bars(laid):
        solid = [shape.convex_hull if straight else shape for shape in shapes]
        assert all(a.distance(b) >= laid[0].job.saw.separation - 1e-6 for a, b in combinations(solid, 2))


def test_outlines_keep_the_margins(laid):
    saw = laid[0].job.saw
    for bar, shapes in bars(laid):
        for shape in shapes:
            x0, y0, x1, y1 = shape.bounds
            assert min(x0, bar["length"] - x1) >= saw.bar_end - 1e-6
            assert min(y0, bar["width"] - y1) >= saw.edge_margin - 1e-6


def test_place_angle_and_mirroring_give_the_outline_of_the_template(laid):
    for bar, _ in bars(laid):
        for piece in bar["pieces"]:
            points = flatten(laid[0].shapes[piece["template"]].outline) * ((1, -1) if piece["mirrored"] else (1, 1))
            a = radians(piece["angle"])
            turned = points @ np.array([[cos(a), sin(a)], [-sin(a), cos(a)]]) + (piece["x"], piece["y"])
            assert LinearRing(turned).hausdorff_distance(LinearRing(piece["outline"])) < 1e-3


def test_blanks_lean_no_more_than_asked(laid):
    for piece in (piece for bar in laid[1]["bars"] for piece in bar["pieces"]):
        lean = (piece["angle"] + 90) % 180 - 90
        assert abs(lean) <= laid[0].job.saw.tilt + 1e-9


def test_every_blank_is_there_once(laid):
    model, data = laid
    for template in {wish.template for wish in model.job.make}:
        placed = sum(piece["template"] == template for bar in data["bars"] for piece in bar["pieces"])
        assert placed == sum(wish.quantity for wish in model.job.make if wish.template == template)
    serials = [piece["serial"] for bar in data["bars"] for piece in bar["pieces"]]
    assert len(set(serials)) == len(serials)


def test_lengths_used_and_left_follow_from_the_outlines(laid):
    saw = laid[0].job.saw
    for bar, shapes in bars(laid):
        reach = max(shape.bounds[2] for shape in shapes)
        used = min(bar["length"], reach + saw.clean_up + saw.kerf)
        assert bar["used_length"] == pytest.approx(used, abs=1e-4)
        assert bar["offcut_length"] == pytest.approx(bar["length"] - used, abs=1e-4)


def test_utilisation_is_the_area_of_outlines_over_that_of_whole_bars(laid):
    found = bars(laid)
    for bar, shapes in found:
        share = sum(s.area for s in shapes) / (bar["length"] * bar["width"])
        assert bar["utilisation"] == pytest.approx(share, abs=1e-6)
    covered = sum(s.area for _, shapes in found for s in shapes)
    whole = sum(bar["length"] * bar["width"] for bar, _ in found)
    assert laid[1]["utilisation"] == pytest.approx(covered / whole, abs=1e-6)


def test_money_adds_up_to_the_cent(laid):
    data = laid[1]
    pieces = sum(Decimal(piece["cost"]) for bar in data["bars"] for piece in bar["pieces"])
    assert pieces == Decimal(data["material_cost"]) == Decimal(data["bars_price"]) - Decimal(data["offcut_credit"])
    assert Decimal(data["bars_price"]) == sum(Decimal(bar["price"]) for bar in data["bars"])
    assert Decimal(data["lower_bound"]["cost"]) <= Decimal(data["bars_price"])


def test_offcuts_worth_keeping_are_credited_by_their_area(laid):
    rules, worth = laid[0].job.settings, []
    for bar in laid[1]["bars"]:
        kept = bar["offcut_length"] * bar["width"] if bar["offcut_length"] >= rules.keep_offcut else 0.0
        beside = [(each["length"], each["width"]) for each in bar.get("offcuts_beside", ())]
        assert all(long >= rules.keep_offcut and wide >= rules.keep_width for long, wide in beside)
        area = kept + sum(long * wide for long, wide in beside)
        worth.append(Decimal(bar["price"]) * Decimal(area / (bar["length"] * bar["width"])))
    assert abs(sum(worth) - Decimal(laid[1]["offcut_credit"])) <= Decimal("0.01") * len(laid[1]["bars"])


def test_the_rack_is_not_overdrawn(laid):
    for bar in laid[0].job.bars:
        taken = sum(b["name"] == bar.name and b["from"] == "rack" for b in laid[1]["bars"])
        assert taken <= bar.have


def test_a_bar_from_the_rack_has_its_measured_size(demo_file, lay_out_folder):
    data = json.loads((lay_out_folder / "layout.json").read_text(encoding="utf-8"))
    rack = next(bar for bar in data["bars"] if bar["from"] == "rack" and bar["steel"] == "52100")
    assert (rack["thickness"], rack["width"], rack["length"]) == pytest.approx((0.0775 * 25.4, 2.505 * 25.4, 36.06 * 25.4))


@pytest.mark.parametrize("turned", some([25, 90, -60, 180, 0], 2))
def test_an_outline_drawn_askew_is_laid_along_the_bar(tmp_path, tools, turned):
    """A petty's outline, turned in its file; the bar is too narrow for it in any other direction."""
    document = ezdxf.new(units=ezdxf.units.MM)
    at = Placement(40.0, -10.0, np.radians(turned), mirrored=False)
    document.modelspace().add_lwpolyline(at.points(flatten(shape_of(family("petty"), tools).outline)).tolist(), close=True)
    document.saveas(tmp_path / "petty.dxf")
    (tmp_path / "job.toml").write_text(
        '[[template]]\nname = "Askew"\noutline = "petty.dxf"\n[template.blade]\nthickness = "2 mm"\n[[bar]]\nsteel = "1095"\n'
        'thickness = "2 mm"\nwidth = "80 mm"\nlength = "900 mm"\n[[make]]\ntemplate = "Askew"\nquantity = 4\n'
    )
    model = load_job(tmp_path / "job.toml")
    nesting = start(model)
    *_, last = search(nesting, 0, lambda step: step >= 10)
    assert not last.best.left_over
    assert faults(nesting, last.best) == []
    for piece in last.best.bars[0].pieces:
        across = np.ptp(written(nesting, piece)[:, 1])
        assert across < 50


def test_a_blank_too_long_for_every_bar_is_told_the_length_it_takes_as_it_would_lie(tmp_path):
    document = ezdxf.new(units=ezdxf.units.MM)
    document.modelspace().add_lwpolyline([(0, 0), (30, 0), (30, 300), (0, 300)], close=True)
    document.saveas(tmp_path / "upright.dxf")
    (tmp_path / "job.toml").write_text(
        '[job]\nunits = "mm"\n[[template]]\nname = "Upright"\noutline = "upright.dxf"\n[template.blade]\nthickness = "2 mm"\n'
        '[[bar]]\nsteel = "1095"\nthickness = "2 mm"\nwidth = "40 mm"\nlength = "200 mm"\n[[make]]\ntemplate = "Upright"\n'
    )
    with pytest.raises(JobError, match=r"too short: 200\.00 mm \(min\. 306\.35 mm\)"):
        start(load_job(tmp_path / "job.toml"))
