"""One flat piece of a sheath."""

from msgspec import Struct

from workbook.geometry.path import Path, Point, bounds


class SheathHole(Struct, frozen=True, kw_only=True):
    """A round hole."""

    at: Point
    size: float  # diameter


class SheathPiece(Struct, frozen=True, kw_only=True):
    """A piece as it is cut out: lines and arcs, and what is marked on it."""

    key: str
    name: str
    outline: Path
    holes: tuple[SheathHole, ...] = ()
    count: int = 1
    fold: Path | None = None
    edges: tuple[Path, ...] = ()  # of the room for the knife: where the welt begins

    @property
    def size(self) -> tuple[float, float]:
        """Length and height, mm."""
        x0, y0, x1, y1 = bounds(self.outline)
        return x1 - x0, y1 - y0
