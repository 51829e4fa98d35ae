"""What a printer makes of a true drawing, and the correction that makes it true again."""

from dataclasses import dataclass

TRUE = 100.0  # mm drawn and measured with calipers


@dataclass(frozen=True, slots=True, kw_only=True)
class Printer:
    """What calipers read on a printed check bar of 100 mm, along X (across the page) and Y (up it)."""

    x: float = TRUE
    y: float = TRUE

    @property
    def factors(self) -> tuple[float, float]:
        """What drawings are stretched by along X and Y so that they come out true."""
        return TRUE / self.x, TRUE / self.y

    @property
    def words(self) -> str:
        """For the foot of a sheet; "" where nothing is corrected."""
        if (self.x, self.y) == (TRUE, TRUE):
            return ""
        across, up = self.factors
        return f"corrected for a printer: X {across:.4f}, Y {up:.4f}"
