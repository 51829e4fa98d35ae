"""One flat piece of a sheath."""

from msgspec import Struct

from workbook.geometry.path import Path, Placement, Point, bounds
from workbook.structs import replace

_MIRROR = Placement(0.0, 0.0, 0.0, mirrored=True)


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
    edges: tuple[Path, ...] = ()  # of the room for the knife; a welt lies along them
    strip: Path | None = None  # where the belt loop is sewn on

    @property
    def size(self) -> tuple[float, float]:
        """Length and height, mm."""
        x0, y0, x1, y1 = bounds(self.outline)
        return x1 - x0, y1 - y0

    def mirrored(self) -> "SheathPiece":
        """The same seen from its other face: mirrored at y = 0."""
        return replace(
            self,
            outline=_MIRROR.path(self.outline),
            holes=tuple(SheathHole(at=_MIRROR.point(hole.at), size=hole.size) for hole in self.holes),
            fold=_MIRROR.path(self.fold) if self.fold else None,
            edges=tuple(_MIRROR.path(edge) for edge in self.edges),
            strip=_MIRROR.path(self.strip) if self.strip else None,
        )
