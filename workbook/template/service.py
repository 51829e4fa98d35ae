"""The limits and settings of a cutting service. Lengths mm."""

from enum import StrEnum

from msgspec import Struct

from workbook.units import Unit


class DxfVersion(StrEnum):
    """The DXF version a service reads."""

    R12 = "R12"
    R2000 = "R2000"
    R2013 = "R2013"


class DxfUnit(StrEnum):
    """The unit of a cutting file."""

    MM = "mm"
    INCHES = "in"


class Service(Struct, frozen=True, kw_only=True):
    """Requirements of one service; with the defaults, none: every hole is cut to size.

    Smallest holes: three services' guides say 0.5, 1 and 1.5 times the thickness.
    """

    name: str = ""
    version: DxfVersion = DxfVersion.R2000
    hole_share: float = 0.0  # of the thickness, the smallest hole cut
    smallest_hole: float = 0.0
    inside_radius: float = 0.0
    drilled_under: float = 0.0  # holes are cut smaller by this, in diameter, to be drilled to size afterwards
    kerf: float = 0.0  # of the jet, where the outline is to be moved for it; 0: the service does that
    tabs: int = 0  # uncut places that hold a blank in its plate
    tab: float = 0.8  # width of each
    unit: DxfUnit = DxfUnit.MM  # of the file
    outline_layer: str = "OUTLINE"
    hole_layer: str = "HOLES"

    @property
    def file_unit(self) -> Unit:
        """The unit of its files, as lengths are shown in it."""
        return "mm" if self.unit is DxfUnit.MM else "in"

    @property
    def gap(self) -> float:
        """Length left uncut in the outline for a tab, mm: the jet takes half its kerf at either end of it."""
        return self.tab + self.kerf

    def least_hole(self, thickness: float) -> float:
        """Diameter of the smallest hole cut in steel of a thickness, mm."""
        return max(self.smallest_hole, self.hole_share * thickness)
