"""The poses of each blank, as frames of whole cells, so that turning a pair of blanks maps cells to cells.

Every direction in which a blank may lie gives four poses: as it is, turned by half a turn, mirrored, both. A pose's frame
begins at (0, 0); it holds the finished outline with half the separation round it, and is a whole number of cells long. Poses
of one direction are adjacent: pose 4 d + o, where bit 0 of o turns and bit 1 mirrors. Turning reverses x and y in the
frame, mirroring reverses y.

Fixed blanks, which stay where they are, come last, each as a part of its own with one pose, its frame placed so that the
blank lies on a whole shift.
"""

from collections.abc import Iterator, Sequence
from math import ceil, floor, pi

import numpy as np
from msgspec import Struct

from workbook.geometry.path import Placement, Points
from workbook.geometry.polygon import Polygon, covers, grown, hull, placed, rings, simplified, turned
from workbook.nesting.engine.bodies import Body, bodies
from workbook.nesting.engine.kernel import Floats, Ints
from workbook.nesting.fits import inward, trims
from workbook.nesting.model import NestingJob, Piece, region

PAD = 0.001  # mm; more than the error of single precision and of the rounding of written outlines
COARSE = 0.005  # mm; how far the grown outline may be simplified, outwards only
FEW, MOST_COARSE = 8, 4.0  # with more than FEW parts, up to MOST_COARSE times COARSE: tables grow with the square of parts
SIMPLE, FINE = 40, 0.0005  # an outline of so few corners is simplified less: it stays nearly exact
TURNS = ((0.0, False), (pi, False), (0.0, True), (pi, True))
_EDGE = 0.05  # of a cell; a frame's border may cut this much off a grown outline's own reach


class Stay(Struct, frozen=True):
    """A fixed blank, with the place of its frame in the bar's room, in mm."""

    piece: Piece
    bar: int  # among the kept bars of this group
    x: float
    y: float


def corner(job: NestingJob, stock: int) -> tuple[float, float]:
    """Where the room of a bar begins, in mm: half a separation outside its margins."""
    half = job.separation / 2
    return inward(job.bar_end) - half, inward(job.edge(stock)) - half


class Poses(Struct, frozen=True, eq=False):
    """All poses of all parts, one entry each; lengths in mm, `start` and `stop` of bodies in cells."""

    cell: float
    free: int  # number of poses of movable blanks; those after them are fixed
    moving: int  # number of parts of movable blanks
    upright: Ints  # per part: poses first[p] .. upright[p] - 1 lie along their direction, those up to first[p + 1] lean
    first: Ints
    part: Ints
    angle: Floats
    mirrored: list[bool]
    cells: Ints  # length of the frame
    height: Floats  # of the finished outline and the separation
    left: Floats  # where the finished outline with half the separation begins and ends in the frame
    right: Floats
    origin: Floats  # where the frame's corner lies in the turned outline's own frame, (t, 2)
    body: Ints  # bodies body[t] .. body[t + 1] - 1
    shapes: list[Body]
    staying: tuple[Stay, ...]

    @property
    def free_bodies(self) -> int:
        """The number of bodies of movable blanks."""
        return int(self.body[self.free])

    def stays(self, pose: Ints) -> np.ndarray:
        """Which of some blanks are fixed, by their poses: bool (n,)."""
        return np.asarray(pose >= self.free)

    @property
    def standing(self) -> tuple[Ints, Floats, Floats]:
        """Bars (numbers among the kept ones), x and y of the frames of fixed blanks, in mm."""
        bar, x, y = zip(*((stay.bar, stay.x, stay.y) for stay in self.staying), strict=True) if self.staying else ((), (), ())
        return np.array(bar, np.int64), np.array(x, np.float64), np.array(y, np.float64)

    def piece(self, pose: int, x: float, y: float, corner: tuple[float, float]) -> Piece:
        """The piece of a pose whose frame lies at (x, y) from the corner of the bar's room."""
        if pose >= self.free:
            return self.staying[pose - self.free].piece
        at = (corner[0] + x - self.origin[pose, 0], corner[1] + y - self.origin[pose, 1])
        return Piece(int(self.part[pose]), float(at[0]), float(at[1]), float(self.angle[pose]), self.mirrored[pose])


class _Pose(Struct, frozen=True, eq=False):
    part: int
    angle: float
    mirrored: bool
    cells: int
    extent: tuple[float, float, float, float]  # left, right, height in the frame; then x of the frame's corner
    bodies: list[Body]
    bottom: float


def poses(job: NestingJob, parts: Sequence[int], cell: float) -> Poses:
    """Build the poses of some of a job's parts, in their order, and of their fixed blanks; `part` holds the job's own numbers."""
    entries: list[_Pose] = []
    first, upright = [0], []
    coarse = COARSE * min(max(1.0, len(parts) / FEW), MOST_COARSE)
    for part in parts:
        clear = _clear(job, part, coarse)
        for lean in _leans(job):
            for along in job.parts[part].directions:
                entries += _four(job, part, clear, along + lean, cell)
            if lean == 0.0:
                upright.append(len(entries))
        first.append(len(entries))
    free, staying = len(entries), []
    for bar, use in enumerate(use for use in job.kept if any(piece.part in parts for piece in use.pieces)):
        for piece in use.pieces:
            pose, x, y = _staying(job, use.stock, piece, cell, coarse)
            staying.append(Stay(piece, bar, x, y))
            entries.append(pose)
            upright.append(len(entries))
            first.append(len(entries))
    counts = np.cumsum([0, *(len(p.bodies) for p in entries)])
    return Poses(
        cell=cell,
        free=free,
        moving=len(parts),
        upright=np.array(upright, np.int64),
        first=np.array(first, np.int64),
        part=np.array([p.part for p in entries], np.int64),
        angle=np.array([p.angle for p in entries]),
        mirrored=[p.mirrored for p in entries],
        cells=np.array([p.cells for p in entries], np.int64),
        height=np.array([p.extent[2] for p in entries]),
        left=np.array([p.extent[0] for p in entries]),
        right=np.array([p.extent[1] for p in entries]),
        origin=np.array([(p.extent[3], p.bottom) for p in entries]),
        body=counts.astype(np.int64),
        shapes=[body for p in entries for body in p.bodies],
        staying=tuple(staying),
    )


def _leans(job: NestingJob) -> tuple[float, ...]:
    return (0.0, job.tilt, -job.tilt) if job.tilt else (0.0,)


def _clear(job: NestingJob, part: int, coarse: float) -> Polygon:
    """The outline (its hull where cuts are straight), grown by half the separation and simplified, never inwards."""
    shape = region(job.parts[part])
    shape = hull(shape) if job.hulls else shape
    need = grown(shape, job.separation / 2 + PAD / 2)
    coarse = FINE if len(job.parts[part].outline) <= SIMPLE else coarse
    extra = coarse
    while True:
        result = simplified(grown(shape, job.separation / 2 + PAD + extra), coarse)
        if covers(result, need):
            return result
        extra *= 1.25


def _four(job: NestingJob, part: int, clear: Polygon, lean: float, cell: float) -> Iterator[_Pose]:
    """Yield the four poses of one direction, an angle from the bar's length in radians."""
    half = job.separation / 2
    x0, y0, x1, y1 = _extent(job.parts[part].outline, lean, mirrored=False)
    trim = trims(job, part, lean, mirrored=False)
    length, height = x1 - x0 + 2 * half, y1 - y0 + 2 * half - sum(trim)
    cells = max(1, ceil(length / cell - 1e-9))
    shapes = [body.moved(half - x0, half - y0 - trim[0]) for body in bodies(*rings(turned(clear, lean)))]
    for turn, mirrored in TURNS:
        angle = turn - lean if mirrored else turn + lean
        extent = _extent(job.parts[part].outline, angle, mirrored=mirrored)
        left = cells * cell - length if turn else 0.0
        reverse_y = bool(turn) != mirrored
        turned_bodies = [_reversed(body, cells * cell if turn else None, height if reverse_y else None) for body in shapes]
        bottom = extent[1] - half + trim[1 if reverse_y else 0]
        yield _Pose(part, angle, mirrored, cells, (left, left + length, height, extent[0] - half - left), turned_bodies, bottom)


def _staying(job: NestingJob, stock: int, piece: Piece, cell: float, coarse: float) -> tuple[_Pose, float, float]:
    """The only pose of a fixed blank, and where its frame lies in the bar's room, in mm."""
    half, (corner_x, corner_y) = job.separation / 2, corner(job, stock)
    x0, y0, x1, y1 = _extent(job.parts[piece.part].outline, piece.angle, mirrored=piece.mirrored)
    below, above = trims(job, piece.part, piece.angle, mirrored=piece.mirrored)
    along, across = piece.x + x0 - half - corner_x, piece.y + y0 - half + below - corner_y
    shift = max(0, floor(along / cell + 1e-9))
    left, length = along - shift * cell, x1 - x0 + 2 * half
    lying = placed(_clear(job, piece.part, coarse), Placement(0.0, 0.0, piece.angle, piece.mirrored))
    shapes = [body.moved(left + half - x0, half - y0 - below) for body in bodies(*rings(lying))]
    extent = (left, left + length, y1 - y0 + 2 * half - below - above, x0 - half - left)
    cells = max(1, ceil((left + length) / cell - 1e-9))
    pose = _Pose(piece.part, piece.angle, piece.mirrored, cells, extent, shapes, y0 - half + below)
    return pose, shift * cell, across


def _extent(outline: Points, angle: float, *, mirrored: bool) -> tuple[float, float, float, float]:
    points = Placement(0.0, 0.0, angle, mirrored).points(outline)
    (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
    return float(x0), float(y0), float(x1), float(y1)


def _reversed(body: Body, length: float | None, height: float | None) -> Body:
    """A body in its frame with x reversed, y reversed, or both."""
    x, y = body.x, body.y
    if length is not None:
        x, y = length - x[::-1], y[::-1][:, [1, 0, 3, 2]]
    if height is not None:
        y = height - y[:, [2, 3, 0, 1]]
    return Body(x, y)


def reach(body: Body, cell: float) -> tuple[int, int]:
    """The first and last cell border of a body in its frame."""
    return floor(body.x[0] / cell + _EDGE), ceil(body.x[-1] / cell - _EDGE)
