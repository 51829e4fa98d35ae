"""Conversion of the search's own layouts (standings) to layouts of the job, and of layouts found elsewhere back."""

import numpy as np

from workbook.nesting.engine.fill import NOWHERE
from workbook.nesting.engine.ground import EngineLayout, Ground
from workbook.nesting.engine.intervals import TOUCH
from workbook.nesting.engine.lines import deepest
from workbook.nesting.engine.poses import corner
from workbook.nesting.fits import on_edges
from workbook.nesting.model import BarUse, Layout, NestingJob, Piece


def _on_edges(job: NestingJob, ground: Ground, standing: EngineLayout) -> EngineLayout:
    """Move every spine that can lie on the edge of its bar there, without moving others: it saves a cut."""
    poses, y = ground.field.poses, standing.y.copy()
    for i in np.flatnonzero((standing.bar != NOWHERE) & (ground.free == 1)).tolist():
        pose = int(standing.pose[i])
        sides = on_edges(job, int(poses.part[pose]), float(poses.angle[pose]), mirrored=poses.mirrored[pose])
        width = float(ground.kinds.width[standing.bars[standing.bar[i]]])
        for edge in (at for at, may in zip((0.0, width - poses.height[pose]), sides, strict=True) if may):
            others = (int(j) for j in standing.on(int(standing.bar[i])) if j != i)
            places = ((int(standing.pose[j]), standing.x[j] - standing.x[i], y[j] - edge) for j in others)
            if all(deepest(ground.field.shapes, pose, other, dx, dy) <= TOUCH for other, dx, dy in places):
                y[i] = edge
    return EngineLayout(standing.bars, standing.pose, standing.bar, standing.x, y)


def layout_of(job: NestingJob, ground: Ground, standing: EngineLayout) -> Layout:
    """Convert a standing to a layout: blanks in order from end A, those without a bar counted."""
    poses = ground.field.poses
    standing = _on_edges(job, ground, standing) if any(part.on_edge for part in job.parts) else standing
    uses = []
    for b, kind in enumerate(standing.bars):
        at = corner(job, int(ground.kinds.stock[kind]))
        blanks = sorted(standing.on(b), key=lambda i: (standing.x[i] + poses.left[standing.pose[i]], standing.y[i]))
        pieces = (poses.piece(int(standing.pose[i]), standing.x[i], standing.y[i], at) for i in blanks)
        uses.append(BarUse(int(ground.kinds.stock[kind]), tuple(pieces)))
    unplaced = {p: part_.quantity for p, part_ in enumerate(job.parts) if part_.quantity}
    for use in uses:
        for piece in use.pieces:
            unplaced[piece.part] -= 1
    return Layout(tuple(uses), tuple((p, n) for p, n in sorted(unplaced.items()) if n))


def standing_of(job: NestingJob, ground: Ground, layout: Layout) -> EngineLayout | None:
    """Convert this group's share of a layout to a standing; None when a piece lies in none of its poses."""
    stock, standing = ground.kinds.stock.tolist(), ground.nothing()
    standing = EngineLayout((), standing.pose.copy(), np.full(len(standing.bar), NOWHERE), standing.x.copy(), standing.y.copy())
    spare = {p: np.flatnonzero(ground.part == p).tolist() for p in range(len(ground.field.poses.upright))}
    for use in (use for use in layout.bars if use.stock in stock):
        standing = EngineLayout((*standing.bars, stock.index(use.stock)), standing.pose, standing.bar, standing.x, standing.y)
        for piece in use.pieces:
            pose = _pose_of(ground, piece)
            part = -1 if pose is None else int(np.searchsorted(ground.field.poses.first, pose, side="right")) - 1
            if pose is None or not spare[part]:
                return None
            standing = standing.with_blanks(
                np.array([spare[part].pop()]), len(standing.bars) - 1, *_frame(job, ground, use.stock, piece, pose)
            )
    return standing


def _pose_of(ground: Ground, piece: Piece) -> int | None:
    """The number of the pose in which a piece lies; None when there is no such pose."""
    poses = ground.field.poses
    staying = next((poses.free + k for k, stay in enumerate(poses.staying) if stay.piece == piece), None)
    if staying is not None:
        return staying
    same = (poses.part == piece.part) & (poses.angle == piece.angle) & (np.array(poses.mirrored) == piece.mirrored)
    matches = np.flatnonzero(same[: poses.free])
    return int(matches[0]) if len(matches) else None


def _frame(job: NestingJob, ground: Ground, stock: int, piece: Piece, pose: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """The pose and place (mm) of a piece's frame in the bar's room, as arrays of one."""
    poses, (left, bottom) = ground.field.poses, corner(job, stock)
    if pose >= poses.free:
        stay = poses.staying[pose - poses.free]
        return np.array([pose]), np.array([stay.x]), np.array([stay.y])
    x, y = piece.x + poses.origin[pose, 0] - left, piece.y + poses.origin[pose, 1] - bottom
    return np.array([pose]), np.array([x]), np.array([y])
