"""Layout of the Grind page's views from the sizes of board and knife, in mm of the screen."""

from msgspec import Struct

from workbook.geometry.path import Placement
from workbook.template.shape import Shape

_SIDE = 7.0  # mm of margin left and right
_BEHIND = 0.36  # of the blade's length: the part of the handle shown at least
_LABELS, _UNDER, _STRIP, _TAG = 16.5, 9.0, 6.5, 8.5
_SECTIONS = 46.0
_LEAST = 0.35  # mm of screen per mm of knife
_MOST = 4.0
_ROOMY = 165.0  # mm of board height needed for the strips
_TALL = 115.0  # and for the shaded picture


class ViewPlaces(Struct, frozen=True):
    """Placements of the views (mm, y up from the board's top, so negative) and the visible part of the knife."""

    scale: float
    x0: float  # of the knife, mm, at the left and right ends of the views
    x1: float
    side: Placement
    edge_up: Placement | None
    above: Placement | None
    shaded: Placement | None
    line_top: float  # y of the upper and lower end of the section's line
    line_bottom: float
    sections: float  # y of the upper edge of the sections

    def knife_x(self, at: float) -> float:
        """Convert an x on the board to an x along the knife, both in mm."""
        return (at - self.side.x) / self.scale


def layout(blank: Shape, wide: float, tall: float) -> ViewPlaces:
    """Lay out the views on a board of this size in mm, with the knife as large as width and height allow."""
    x0, y0, x1, y1 = blank.extent()
    template = blank.template
    assert template is not None
    begin = max(x0, -max(_BEHIND * template.blade.length, 25.0))
    high, thick = y1 - y0, blank.thickness
    strips, picture = tall >= _ROOMY, tall >= _TALL
    fixed = _LABELS + _UNDER + _TAG + _SECTIONS + (2 * _STRIP if strips else 0.0) + (4.0 if picture else 0.0)
    views = high * (2 if picture else 1) + (2 * thick if strips else 0.0)
    scale = min((wide - 2 * _SIDE) / (x1 - begin), (tall - fixed) / views, _MOST)
    scale = max(scale, _LEAST)
    left = (wide - (x1 - begin) * scale) / 2 - begin * scale
    y = -_LABELS
    side = Placement(left, y - y1 * scale, scale=scale)
    y -= high * scale + _UNDER
    edge_up = above = shaded = None
    if strips:
        y -= _STRIP
        edge_up = Placement(left, y - thick * scale / 2, scale=scale)
        y -= thick * scale + _STRIP
        above = Placement(left, y - thick * scale / 2, scale=scale)
        y -= thick * scale
    if picture:
        y -= 4.0
        shaded = Placement(left, y - y1 * scale, scale=scale)
        y -= high * scale
    return ViewPlaces(
        scale=scale,
        x0=begin,
        x1=x1,
        side=side,
        edge_up=edge_up,
        above=above,
        shaded=shaded,
        line_top=-2.6,
        line_bottom=y - 2.0,
        sections=y - _TAG,
    )
