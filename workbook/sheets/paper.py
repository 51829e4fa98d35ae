"""Paper: sizes, the printable area, and what every sheet of one print run shares."""

from dataclasses import dataclass, field

from workbook.geometry.drawing import Drawing
from workbook.geometry.lettering import Measure
from workbook.sheets.printer import Printer
from workbook.units import INCH, Unit, built, reading, show


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper, upright, mm."""

    name: str
    width: float
    height: float


PAPERS = {
    "letter": Paper("letter", 8.5 * INCH, 11 * INCH),  # ANSI/ASME Y14.1 size A
    "a4": Paper("a4", 210.0, 297.0),  # ISO 216
}
MARGIN = INCH / 4  # what common printers cannot reach (common practice, no source)


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """What all sheets of one printing share."""

    paper: Paper
    unit: Unit
    measure: Measure
    job: str
    date: str = ""
    printer: Printer = field(default_factory=Printer)

    @property
    def wide(self) -> tuple[float, float]:
        """Width and height of the paper turned on its side."""
        return self.paper.height, self.paper.width

    def length(self, mm: float, *, fine: bool = False, unit: bool = False) -> str:
        """A length as it is printed, fractions marked for building."""
        return built(show(mm, self.unit, fine=fine)) + (f" {self.unit}" if unit else "")

    def reading(self, mm: float) -> str:
        """A caliper's reading as it was taken."""
        return reading(mm, self.unit)


@dataclass(frozen=True, slots=True)
class Page:
    """One printed page: its size in mm and its marks, origin at the lower left corner of the paper."""

    width: float
    height: float
    marks: Drawing
