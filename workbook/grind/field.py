"""The ground blade as a height field: where both faces lie at every place of a grid over the blank, in either state."""

from dataclasses import dataclass

import numpy as np

from workbook.geometry.path import Points
from workbook.grind.depth import depth, faces
from workbook.grind.lines import grind_lines
from workbook.grind.stations import State, finished_spine, spine_before, stations
from workbook.template.shape import Shape


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Field:
    """z of both faces at columns x and rows y (rising): arrays (len(y), len(x)). Whether a place is steel, the outline says."""

    x: Points
    y: Points
    left: Points
    right: Points


def height_field(blank: Shape, bar: float, state: State, x: Points, y: Points) -> Field:
    """The faces over a grid of rising x. Below the edge and above the spine they run on; the outline bounds them."""
    template, curves, lines = blank.template, blank.curves, grind_lines(blank, bar)
    assert template is not None and curves is not None and lines is not None
    thick = (finished_spine if state is State.FINISHED else spine_before)(template, x, bar)
    right = np.repeat(thick[:, None] / 2, len(y), axis=1)  # a station's places lie side by side in memory
    left = -right
    blade = int(np.searchsorted(x, lines.plunges.back, side="right"))
    if blade < len(x):
        at = stations(template, curves, bar, x[blade:])
        up = y[None, :] - at.edge_y[:, None]
        left[blade:], right[blade:] = faces(at.stage(state), depth(at, state, up, lines.plunges))
    return Field(x=x, y=y, left=left.T, right=right.T)
