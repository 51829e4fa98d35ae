"""What every part of the search works on: poses, their shapes, their tables, and the room of bars in whole shifts."""

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from workbook.nesting.engine.intervals import ClashTables, tables
from workbook.nesting.engine.kernel import Floats, Ints
from workbook.nesting.engine.overlaps import Places, Room
from workbook.nesting.engine.poses import Poses, poses
from workbook.nesting.engine.slabs import Slabs, slabs
from workbook.nesting.model import NestingJob

_EXACT = 1e-6  # mm; a blank that fills its bar to the last bit still fits
_STAYING = 1e-3  # mm; so does a fixed one where it was verified, rounded as it is written
_MOST_ROWS = 24_000_000  # of the tables, 16 bytes each; beyond it cells are made coarser


class PartTables(Struct, frozen=True, eq=False):
    """Poses, shapes and tables of the parts of one group of a job."""

    poses: Poses
    shapes: Slabs
    tables: ClashTables

    @property
    def cell(self) -> float:
        """The length of a cell in mm."""
        return self.poses.cell

    def along(self, shift: Ints) -> Floats:
        """Convert whole shifts to mm."""
        return np.asarray(shift * self.cell, np.float64)

    @property
    def leans(self) -> bool:
        """Whether every pose is allowed, or only upright ones exist."""
        return bool((self.tables.last == self.poses.first[1:]).all())

    def leaning(self) -> "PartTables":
        """The same with every pose allowed, not only upright ones."""
        return PartTables(self.poses, self.shapes, self.tables._replace(last=self.poses.first[1:]))

    def room(self, sizes: Sequence[tuple[float, float]]) -> Room:
        """The room of bars with these inner lengths and widths (with half a separation all round), in mm."""
        length, width = np.array([s[0] for s in sizes]), np.array([s[1] for s in sizes])
        exact = np.where(self.poses.stays(np.arange(len(self.poses.part))), _STAYING, _EXACT)[:, None]
        shift = np.floor((length[None, :] - self.poses.right[:, None] + exact) / self.cell).astype(np.int64)
        height = width[None, :] - self.poses.height[:, None]
        fits = (shift >= 0) & (height >= -exact)
        return Room(np.where(fits, shift, -1), np.where(fits, np.maximum(height, 0.0), -1.0))

    def snapped(self, room: Room, pose: Ints, bar: Ints, x: Floats, y: Floats) -> Places:
        """Round continuous places (mm) to whole shifts within the room."""
        shift = np.rint(x / self.cell).astype(np.int64)
        return Places(pose.copy(), bar.copy(), np.clip(shift, 0, room.shift[pose, bar]), np.clip(y, 0.0, room.height[pose, bar]))


def field(job: NestingJob, parts: Sequence[int]) -> PartTables:
    """Build the field of some of a job's parts, with cells of 1 mm or as coarse as memory requires."""
    cell = 1.0
    while True:
        part_poses = poses(job, parts, cell)
        lengths = sum(float(body.x[-1] - body.x[0]) / cell + 2 for body in part_poses.shapes)
        if 2 * lengths * len(part_poses.shapes) <= _MOST_ROWS:
            break
        cell *= 2
    shapes = slabs(part_poses)
    return PartTables(part_poses, shapes, tables(part_poses, shapes, lean=False))
