"""Depth of the grind below each face of a blade, at any point of it, before hardening and finished."""

from math import sqrt

from msgspec import Struct

from workbook.geometry.path import Path, Points
from workbook.grind.plunge import Plunges, ahead_of, faded
from workbook.grind.stations import State, StateSizes, Stations, end_slope, faces_of
from workbook.later import np
from workbook.template.model import Bevel, Face

_SETS_IN = 0.35  # fraction of a swedge's length over which it reaches its full height


class Depth(Struct, frozen=True, kw_only=True, eq=False):
    """Depth below the right and the left flat, mm; arrays of shape (n, m): n stations, m heights at each."""

    right: Points
    left: Points


def bevel_depth(at: Stations, state: State, up: Points) -> Points:
    """Depth of the bevel below a ground face at heights `up` (n, m) above the edge, ignoring the plunge."""
    stage = at.stage(state)
    deep, slope, out = at.deep[:, None], at.true_slope[:, None], stage.out[:, None]
    most = (stage.thick / faces_of(at.template))[:, None]  # where both bevels would meet
    if at.arcs is None:
        depths = at.square.of(up)
        depths *= slope
        np.subtract(deep + out, depths, out=depths)
    else:
        depths = _arc_depth(at, up)
        depths += out
    return np.clip(depths, 0.0, most, out=depths)


def _arc_depth(at: Stations, up: Points) -> Points:
    arcs = at.arcs
    assert arcs is not None
    middle, radius = arcs.depth[:, None], arcs.radius[:, None]
    square = at.square.of(up)
    half = square - arcs.v[:, None]
    beyond = half >= radius
    np.square(half, out=half)  # in place: these arrays are large
    np.subtract(radius**2, half, out=half)
    np.sqrt(np.maximum(half, 0.0, out=half), out=half)
    if at.template.grind.bevel is Bevel.HOLLOW:
        half += middle
        half[beyond] = -np.inf
        return half
    top, falls = (at.deep / at.true_slope)[:, None], end_slope(arcs, at.deep, at.true_slope)[:, None]
    return np.where(square <= top, middle - half, -falls * (square - top))


def swedge_depth(at: Stations, up: Points) -> Points:
    """Depth of the swedge below either face; the same in both states, since it moves in with the faces."""
    return np.maximum((swedge_height(at) - (at.height - up.T)).T * swedge_slope(at)[:, None], 0.0)


def swedge_height(at: Stations) -> Points:
    """How far down from the spine the swedge reaches at each station; 0 where there is none."""
    grind = at.template.grind
    if grind.swedge <= 0:
        return np.zeros_like(at.x)
    along = (at.x - (at.template.blade.length - grind.swedge)) / (_SETS_IN * grind.swedge)
    share = np.clip(along, 0.0, 1.0)
    high: Points = np.minimum(grind.swedge_height * np.sin(share * np.pi / 2), 0.6 * at.height)
    return high


def swedge_slope(at: Stations) -> Points:
    """Tangent of the swedge's angle per face: its full height thins the finished spine to the specified thickness."""
    grind = at.template.grind
    slope: Points = np.maximum(at.finished.thick - grind.swedge_spine, 0.0) / 2 / max(grind.swedge_height, 0.1)
    return slope


def depth(at: Stations, state: State, up: Points, plunges: Plunges | None) -> Depth:
    """Depth below both faces at heights `up` (n, m); `plunges`: where the bevel begins, None if that is further back."""
    ground = bevel_depth(at, state, up)
    if plunges is not None:
        end = plunges.end + sqrt(2 * at.template.heel.plunge_radius * float(at.deep.max(initial=0.0)) + 1.0)
        near = at.x < end  # further forward the plunge has no effect
        ground[near] = _plunged(at.some(near), state, up[near], plunges)
    if at.template.grind.swedge <= 0:
        return _on_faces(at, ground, ground if faces_of(at.template) == 2 else np.zeros_like(ground))
    swedge = swedge_depth(at, up)
    if faces_of(at.template) == 2:
        both = np.maximum(ground, np.minimum(swedge, (at.stage(state).thick / 2)[:, None]))
        return Depth(right=both, left=both)
    remaining = at.finished.thick[:, None] - np.maximum(bevel_depth(at, State.FINISHED, up), swedge)  # finished, in both states
    return _on_faces(at, np.maximum(ground, swedge), np.minimum(swedge, np.maximum(remaining, 0.0)))


def _plunged(at: Stations, state: State, up: Points, plunges: Plunges) -> Points:
    """Depth of the bevel beside the plunge. The finished bevel is at least as deep as the one before hardening: its own plunge is
    rounded higher up and would stand proud of the other."""
    place, radius = at.edge_y[:, None] + up, at.template.heel.plunge_radius

    def begun(of: State, path: Path) -> Points:
        return faded(bevel_depth(at, of, up), ahead_of(path, at.x[:, None], place), radius)

    before = begun(State.BEFORE, plunges.before)
    if state is not State.FINISHED:
        return before
    off = (at.before.thick - at.finished.thick) / 2
    return np.maximum(begun(State.FINISHED, plunges.finished), before - off[:, None])


def _on_faces(at: Stations, ground: Points, back: Points) -> Depth:
    """Assign the bevel's depth to the face it is ground on, and `back` to the other face."""
    right = at.template.grind.face is Face.RIGHT or faces_of(at.template) == 2
    return Depth(right=ground, left=back) if right else Depth(right=back, left=ground)


def faces(stage: StateSizes, depth: Depth) -> tuple[Points, Points]:
    """z of the left and of the right face, arrays (n, m); z = 0 is the middle of the bar."""
    half = stage.thick[:, None] / 2
    return depth.left - half, half - depth.right
