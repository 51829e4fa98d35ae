"""Words of the board's dimensions: on no other words and on no steel, at any zoom, for every family, in both units."""

import pytest
import shapely

from tests.counts import some
from workbook.app.canvas.knife_view import knife_marks
from workbook.app.canvas.scene import Scene
from workbook.app.look import Look
from workbook.formats.family import family, family_ids
from workbook.geometry.drawing import MM_PER_POINT, Text
from workbook.geometry.lettering import width
from workbook.geometry.path import Placement
from workbook.geometry.polygon import polygon
from workbook.template.shape import shape

_CAP = 0.72  # height of a figure for its size
_HAIR = 0.2  # mm2 two words may share: rounding of their widths


def words(marks, measure):
    """Each text with the box it takes."""
    for mark in marks:
        if isinstance(mark, Text):
            wide, tall = width(mark.text, mark.size, mark.bold, measure), mark.size * MM_PER_POINT * _CAP
            left = mark.at[0] + {"start": 0.0, "middle": -wide / 2, "end": -wide}[mark.anchor]
            yield shapely.box(left, mark.at[1], left + wide, mark.at[1] + tall), mark.text


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("name", some(family_ids(), 4))
def test_no_words_lie_on_others_or_on_the_steel(qtbot, tools, name, unit):
    blank, measure = shape(family(name), tools), Look().measure
    for zoom in (0.3, 0.45, 0.69, 1.0, 1.6, 2.5):
        scene = Scene(blank=blank, unit=unit, bar=blank.thickness, lit="contour")  # with the handle's sections
        found = list(words(knife_marks(scene, zoom, measure), measure))
        steel = polygon(Placement(scale=zoom).path(blank.outline))
        assert len(found) > 5
        for n, (box, text) in enumerate(found):
            assert box.intersection(steel).area < _HAIR, (zoom, text)
            assert [other for place, other in found[:n] if place.intersection(box).area > _HAIR] == [], (zoom, text)
