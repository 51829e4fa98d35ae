"""The ground blade as a height field: where both faces lie at every place of a grid over the blank, in either state."""

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from workbook.geometry.path import Points
from workbook.grind.depth import depth, faces
from workbook.grind.lines import grind_lines
from workbook.grind.stations import State, finished_spine, spine_before, stations
from workbook.template.shape import Shape

Heights = NDArray[np.float32]
_BLOCK = 120  # stations at a time: what is worked on stays in the processor's own memory


class HeightField(Struct, frozen=True, kw_only=True, eq=False):
    """z of both faces at columns x and rows y (rising): arrays (len(y), len(x)). Whether a place is steel, the outline says."""

    x: Points
    y: Points
    left: Heights
    right: Heights


def height_field(blank: Shape, bar: float, state: State, x: Points, y: Points) -> HeightField:
    """The faces over a grid of rising x. Below the edge and above the spine they run on; the outline bounds them."""
    template, curves, lines = blank.template, blank.curves, grind_lines(blank, bar)
    assert template is not None and curves is not None and lines is not None
    thick = (finished_spine if state is State.FINISHED else spine_before)(template, x, bar)
    right = np.repeat(np.float32(thick[:, None] / 2), len(y), axis=1)  # a station's places lie side by side in memory
    left = -right
    blade = int(np.searchsorted(x, lines.plunges.back, side="right"))
    at = stations(template, curves, bar, x[blade:])
    for begin in range(0, len(at.x), _BLOCK):
        some = at.some(np.s_[begin : begin + _BLOCK])
        up = y[None, :] - some.edge_y[:, None]
        there = np.s_[blade + begin : blade + begin + len(up)]
        left[there], right[there] = faces(some.stage(state), depth(some, state, up, lines.plunges))
    return HeightField(x=x, y=y, left=left.T, right=right.T)
