"""SVG, true to size, parsed back."""

from math import atan
from xml.etree import ElementTree

import numpy as np
import pytest

from workbook.formats.family import family, family_ids
from workbook.formats.svg import svg
from workbook.geometry.drawing import Curve, Disc, Text
from workbook.geometry.path import Arc, Bezier, Line, Path, arc_circle, flatten, polyline
from workbook.tasks.exports.cutting import cut_svg
from workbook.template.shape import shape

NS = "{http://www.w3.org/2000/svg}"


def parsed(text):
    return ElementTree.fromstring(text)


def points_of(data, height):
    """End points of a path's commands, y up again."""
    words, found, numbers = data.replace("Z", "").split(), [], {"M": 2, "L": 2, "C": 6, "A": 7}
    while words:
        count = numbers[words.pop(0)]
        values, words = [float(w) for w in words[:count]], words[count:]
        found.append((values[-2], height - values[-1]))
    return np.array(found)


@pytest.mark.parametrize("name", family_ids())
def test_a_cutting_file_has_the_templates_corners_at_true_size(name, tools):
    blank = shape(family(name), tools)
    root = parsed(cut_svg(blank))
    _, _, w, h = (float(v) for v in root.get("viewBox").split())
    assert (root.get("width"), root.get("height")) == (f"{w:.4f}mm", f"{h:.4f}mm")
    x0, y0, x1, y1 = blank.extent()
    assert (w, h) == pytest.approx((x1 - x0 + 10, y1 - y0 + 10), abs=0.12)
    outline = points_of(root.findall(f".//{NS}path")[0].get("d"), h)
    wanted = np.array([s.start for s in blank.outline.segments])
    shift = outline[0] - wanted[0]
    assert np.allclose(outline[:-1] - shift, wanted, atol=2e-5)
    circles = root.findall(f".//{NS}circle")
    assert [2 * float(c.get("r")) for c in circles] == pytest.approx([hole.diameter for hole in blank.holes], abs=3e-5)
    for circle, hole in zip(circles, blank.holes, strict=True):
        at = np.array((float(circle.get("cx")), h - float(circle.get("cy")))) - shift
        assert at == pytest.approx(np.array(hole.centre), abs=3e-5)


def test_layers_are_classes_and_paths_close():
    root = parsed(svg([Curve(polyline([(0, 0), (9, 0), (9, 9)], closed=True)), Disc((3, 3), 1)], "t"))
    (path,), (circle,) = root.findall(f".//{NS}path"), root.findall(f".//{NS}circle")
    assert (path.get("class"), circle.get("class")) == ("OUTLINE", "HOLES")
    assert path.get("d").endswith("Z")


@pytest.mark.parametrize(("bulge", "large", "sweep"), [(0.4, "0", "0"), (-0.4, "0", "1"), (1.5, "1", "0"), (-1.5, "1", "1")])
def test_an_arc_has_its_radius_and_runs_its_way(bulge, large, sweep):
    """SVG 1.1, elliptical arc: y runs down, so a counter-clockwise arc has sweep flag 0."""
    arc = Arc((0.0, 0.0), (10.0, 0.0), bulge)
    data = parsed(svg([Curve(Path((arc,), closed=False))], "t")).find(f".//{NS}path").get("d").split()
    at = data.index("A")
    assert float(data[at + 1]) == pytest.approx(arc_circle(arc)[1], abs=1e-5)
    assert data[at + 4 : at + 6] == [large, sweep]
    assert (abs(4 * atan(bulge)) > np.pi) == (large == "1")


def test_a_bezier_keeps_its_control_points():
    curve = Bezier((0.0, 0.0), (1.0, 8.0), (9.0, 8.0), (10.0, 0.0))
    made = [Curve(Path((curve, Line((10.0, 0.0), (0.0, 0.0))), closed=True))]
    data = parsed(svg(made, "t")).find(f".//{NS}path").get("d")
    top = flatten(made[0].path, 0.05)[:, 1].max() + 5
    assert data.startswith("M 5 ")
    assert "C 6 " in data
    assert f" 14 {top - 8:.5f}".rstrip("0") in data


def test_names_cannot_break_the_file():
    title = '<b> & "Ham\'s" ]]>'
    root = parsed(svg([Curve(polyline([(0, 0), (1, 1)])), Text((0, 0), "a<b & 1⁄2", 9)], title))
    assert root.find(f"{NS}title").text == title
    assert root.find(f".//{NS}text").text == "a<b & 1/2"


def test_the_same_template_is_the_same_text(tools):
    blank = shape(family("chefs"), tools)
    assert cut_svg(blank) == cut_svg(blank)
