"""The ground blade as a height field: the position of both faces at every point of a grid over the blank, in either state."""

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from workbook.geometry.path import Points
from workbook.grind.depth import depth, faces
from workbook.grind.lines import grind_lines
from workbook.grind.stations import State, finished_spine, spine_before, stations
from workbook.template.shape import Shape

Heights = NDArray[np.float32]
_BLOCK = 120  # stations at a time, so that the arrays stay in the processor's cache


class HeightField(Struct, frozen=True, kw_only=True, eq=False):
    """z of both faces at columns x and rows y (increasing): arrays (len(y), len(x)), mm. The outline says what is steel."""

    x: Points
    y: Points
    left: Heights
    right: Heights


def height_field(blank: Shape, bar: float, state: State, x: Points, y: Points) -> HeightField:
    """Compute the faces over a grid of increasing x. They run on below the edge and above the spine; the outline bounds them."""
    template, curves, lines = blank.template, blank.curves, grind_lines(blank, bar)
    assert template is not None and curves is not None and lines is not None
    thick = (finished_spine if state is State.FINISHED else spine_before)(template, x, bar)
    right = np.repeat(np.float32(thick[:, None] / 2), len(y), axis=1)  # a station's heights are contiguous in memory
    left = -right
    blade = int(np.searchsorted(x, lines.plunges.back, side="right"))
    at = stations(template, curves, bar, x[blade:])
    for begin in range(0, len(at.x), _BLOCK):
        block = at.some(np.s_[begin : begin + _BLOCK])
        up = y[None, :] - block.edge_y[:, None]
        rows = np.s_[blade + begin : blade + begin + len(up)]
        left[rows], right[rows] = faces(block.stage(state), depth(block, state, up, lines.plunges))
    return HeightField(x=x, y=y, left=left.T, right=right.T)
