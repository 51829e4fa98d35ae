"""The vertices of a polyline in a DXF, set and written all at once: the library does both number by number, and takes more than
a second for 300 outlines of 250 vertices.
"""

from collections.abc import Iterator, Sequence

from ezdxf.entities.lwpolyline import LWPolylinePoints
from ezdxf.lldxf.types import DXFTag


class Together(LWPolylinePoints):  # type: ignore[misc]  # the library has no types
    """Vertices given by x, y and bulge; their text is the same as the library's own, to the letter."""

    __slots__ = ()

    def __init__(self, rows: Sequence[tuple[float, float, float]]) -> None:
        super().__init__([(x, y, 0.0, 0.0, bulge) for x, y, bulge in rows])

    def dxftags(self) -> Iterator[DXFTag]:
        """One tag for all vertices."""
        yield _Text(0, "".join(_written(x, y, bulge) for x, y, _, _, bulge in self.values.tolist()))


class _Text(DXFTag):  # type: ignore[misc]
    """A tag whose text is already written."""

    __slots__ = ()

    def dxfstr(self) -> str:
        return str(self.value)


def _written(x: float, y: float, bulge: float) -> str:
    return f" 10\n{x}\n 20\n{y}\n 42\n{bulge}\n" if bulge else f" 10\n{x}\n 20\n{y}\n"
