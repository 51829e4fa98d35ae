"""Whom a handle fits: its length and girth compared with measurements of many hands."""

from msgspec import Struct

from workbook.geometry.interpolation import interpolated
from workbook.template.contour import girth, station
from workbook.template.model import Handle

BESIDE = 10.0  # mm of handle beyond the hand's breadth (common practice, no source)
GRIP = (65.0, 100.0)  # mm round a knife's handle (common practice, no source; tools for a power grip are thicker)


class Hands(Struct, frozen=True):
    """Hand breadth of many people: breadths, mm, that given shares of their hands do not exceed, rising."""

    people: str
    shares: tuple[float, ...]
    breadths: tuple[float, ...]

    def share_under(self, breadth: float) -> float:
        """The share of hands no broader than a breadth, mm, interpolated between the published shares."""
        ends = (2 * self.breadths[0] - self.breadths[1], 2 * self.breadths[-1] - self.breadths[-2])
        return interpolated(breadth, [ends[0], *self.breadths, ends[1]], [0.0, *self.shares, 1.0])


class Fit(Struct, frozen=True):
    """How a handle fits: the share of each group of people it is long enough for, its girth, mm, and if that suits a grip."""

    shares: tuple[tuple[str, float], ...]
    girth: float
    suits: bool


def fit(handle: Handle, hands: tuple[Hands, ...]) -> Fit:
    """Compare a handle with the hands of several groups of people."""
    shares = tuple((group.people, group.share_under(handle.length - BESIDE)) for group in hands)
    round_palm = girth(handle, station(handle, "palm"))
    return Fit(shares, round_palm, GRIP[0] <= round_palm <= GRIP[1])
