"""Whom a handle fits: its length and girth beside the measures of many hands."""

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
        """The share of hands no broader than this, between the published shares in proportion."""
        ends = (2 * self.breadths[0] - self.breadths[1], 2 * self.breadths[-1] - self.breadths[-2])
        return interpolated(breadth, [ends[0], *self.breadths, ends[1]], [0.0, *self.shares, 1.0])


class Fit(Struct, frozen=True):
    """A handle beside hands: for which share of each people it is long enough, its girth, and whether that suits a grip."""

    shares: tuple[tuple[str, float], ...]
    girth: float
    suits: bool


def fit(handle: Handle, hands: tuple[Hands, ...]) -> Fit:
    """How a handle fits."""
    shares = tuple((own.people, own.share_under(handle.length - BESIDE)) for own in hands)
    round_palm = girth(handle, station(handle, "palm"))
    return Fit(shares, round_palm, GRIP[0] <= round_palm <= GRIP[1])
