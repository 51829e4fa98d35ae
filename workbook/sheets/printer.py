"""The scale error of a printer, and the correction that makes its drawings true."""

from msgspec import Struct

from workbook.texts import _
from workbook.units import INCH

TRUE = 100.0  # mm drawn and measured with calipers
MARGIN = INCH / 4  # the margin that common printers cannot reach (common practice, no source)


class Printer(Struct, frozen=True, kw_only=True):
    """A printer: caliper readings of its check bar of 100 mm along X (across the page) and Y (up it), mm; and its margin."""

    name: str = ""
    x: float = TRUE
    y: float = TRUE
    margin: float = MARGIN  # mm from each edge of the paper
    roll: float = 24 * INCH  # width of the paper it has on a roll, mm

    @property
    def factors(self) -> tuple[float, float]:
        """The factors along X and Y by which drawings are stretched so that they come out true."""
        return TRUE / self.x, TRUE / self.y

    @property
    def words(self) -> str:
        """The correction in words for the foot of a sheet; "" if nothing is corrected."""
        if (self.x, self.y) == (TRUE, TRUE):
            return ""
        across, up = self.factors
        if self.name:
            return _("corrected for {printer}: X {across:.4f}, Y {up:.4f}", printer=self.name, across=across, up=up)
        return _("corrected for a printer: X {across:.4f}, Y {up:.4f}", across=across, up=up)
