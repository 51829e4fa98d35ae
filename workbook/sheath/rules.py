"""How the shop makes its sheaths. The defaults are common practice, no source: settings, each with its meaning beside it."""

from enum import StrEnum
from math import ceil

from msgspec import Struct

from workbook.units import INCH

THIN = 1.0  # mm by which a welt may be thinner than the blade


class SheathForm(StrEnum):
    """How a sheath is put together."""

    FOLDED = "fold-over"  # one piece, folded along the spine's side
    FLAT = "two pieces"  # joined round the edge and the spine's side


class SheathOf(StrEnum):
    """What a sheath is made of."""

    LEATHER = "leather"
    THERMOPLASTIC = "thermoplastic"


class SheathHand(StrEnum):
    """The side a sheath is worn on: its back against the body, the edge of the blade to the rear."""

    RIGHT = "right"
    LEFT = "left"


class SheathRules(Struct, frozen=True, kw_only=True):
    """The sheath that is drawn for a knife, and what its making needs."""

    form: SheathForm = SheathForm.FOLDED
    of: SheathOf = SheathOf.LEATHER
    hand: SheathHand = SheathHand.RIGHT
    reach: float = INCH  # the throat behind the handle's front
    clearance: float = INCH / 16  # from the knife to welt or rivets' line
    leather: float = INCH / 8  # thickness: 8 oz
    welt: float = 3 * INCH / 8  # its width
    layers: int = 0  # of welt; 0: as the blade's thickness needs
    inset: float = 5 * INCH / 32  # stitches from the outer edge
    stitch: float = 3 * INCH / 16  # from stitch to stitch
    stitch_hole: float = INCH / 16
    plastic: float = 0.080 * INCH  # thickness of thermoplastic sheet
    flange: float = 3 * INCH / 4  # thermoplastic outside the knife, for the rivets
    rivet: float = 1.5 * INCH  # from rivet to rivet
    rivet_hole: float = INCH / 4
    drain: float = 3 * INCH / 16  # hole at the point; 0: none
    belt: float = 1.5 * INCH  # width of the belt; 0: no loop
    loop: float = 1.25 * INCH  # width of the strip of the loop

    @property
    def stitched(self) -> bool:
        """Whether it is sewn, with a welt between its layers."""
        return self.of is SheathOf.LEATHER

    @property
    def thickness(self) -> float:
        """Thickness of its material, mm."""
        return self.leather if self.stitched else self.plastic

    @property
    def margin(self) -> float:
        """Material outside the room for the knife, mm."""
        return self.welt if self.stitched else self.flange

    @property
    def line(self) -> float:
        """Distance of the holes' centers from the room for the knife, mm."""
        return self.welt - self.inset if self.stitched else self.flange / 2

    @property
    def spacing(self) -> float:
        """From hole to hole, mm."""
        return self.stitch if self.stitched else self.rivet

    @property
    def hole(self) -> float:
        """Diameter of a hole, mm."""
        return self.stitch_hole if self.stitched else self.rivet_hole

    def welts(self, spine: float) -> int:
        """How many layers of welt lie between both sides, for a blade as thick as this, mm."""
        if not self.stitched:
            return 0
        return self.layers or max(1, ceil((spine - THIN) / self.leather))
