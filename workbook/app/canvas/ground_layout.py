"""Where each view of the Grind page lies: from the board's size and the knife's, in mm of the screen, y down from the top."""

from msgspec import Struct

from workbook.geometry.path import Placement
from workbook.template.shape import Shape

_SIDE = 7.0  # mm left and right
_BEHIND = 0.36  # of the blade's length, how much of the handle is shown at least
_LABELS, _UNDER, _STRIP, _TAG = 16.5, 9.0, 6.5, 8.5
_SECTIONS = 46.0
_LEAST = 0.35  # px of screen mm to a mm of knife
_MOST = 4.0
_ROOMY = 165.0  # mm of height from which the strips are shown
_TALL = 115.0  # and the shaded picture


class ViewPlaces(Struct, frozen=True):
    """Placements of the views (mm, y up from the board's top, so negative), the part of the knife seen, where sections begin."""

    scale: float
    x0: float  # of the knife, at the left end of the views
    x1: float
    side: Placement
    edge_up: Placement | None
    above: Placement | None
    shaded: Placement | None
    line_top: float  # y where the section's line begins, and where it ends
    line_bottom: float
    sections: float  # y of the upper edge of the sections

    def knife_x(self, at: float) -> float:
        """Place along the knife of a place of the board, mm."""
        return (at - self.side.x) / self.scale


def layout(blank: Shape, wide: float, tall: float) -> ViewPlaces:
    """The views for a board of this size in mm. The knife is as large as both sides allow."""
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
