"""Paper: sizes, the printable area, and what every sheet of one print run shares."""

from collections.abc import Callable, Sequence
from math import inf

from msgspec import Struct, field

from workbook.geometry.drawing import Drawing
from workbook.geometry.lettering import Measure
from workbook.sheets.printer import Printer
from workbook.template.hole_places import Datum
from workbook.units import INCH, Unit, built, exact, reading, show

Code = Sequence[Sequence[bool]]  # rows of a two-dimensional bar code from the top, dark or not


class Paper(Struct, frozen=True):
    """A sheet of paper in portrait, mm; one from a roll is as long as it needs to be."""

    name: str
    width: float
    height: float


PAPERS = {
    "letter": Paper("letter", 8.5 * INCH, 11 * INCH),  # ANSI/ASME Y14.1 size A
    "legal": Paper("legal", 8.5 * INCH, 14 * INCH),  # common practice
    "tabloid": Paper("tabloid", 11 * INCH, 17 * INCH),  # ANSI/ASME Y14.1 size B
    "a4": Paper("a4", 210.0, 297.0),  # ISO 216
    "a3": Paper("a3", 297.0, 420.0),  # ISO 216
}
ROLL = "roll"
_SHORTEST = 420.0  # mm, the shortest piece torn off a roll, so that words have room


def paper_of(name: str, printer: Printer) -> Paper:
    """The paper of this name; a roll is as wide as the printer's."""
    return Paper(ROLL, printer.roll, inf) if name == ROLL else PAPERS[name]


def _no_code(words: str) -> Code:
    return ()


class PrintRun(Struct, frozen=True, kw_only=True):
    """The settings shared by all sheets of one print run."""

    paper: Paper
    unit: Unit
    measure: Measure
    job: str
    date: str = ""
    printer: Printer = field(default_factory=Printer)
    code: Callable[[str], Code] = _no_code  # encodes words as a two-dimensional bar code
    mirrored: bool = False  # mirrors true-size drawings, for printing on the back of clear film
    datum: Datum = field(default_factory=Datum)  # what holes are measured from
    cut_line: bool = False  # a line to cut card along, outside the outline
    sender: str = ""  # the shop with its address, phone and e-mail, on notes that leave it

    @property
    def margin(self) -> float:
        """The margin that the printer cannot reach, mm from each edge."""
        return self.printer.margin

    @property
    def wide(self) -> tuple[float, float]:
        """Width and height of the paper in landscape; from a roll, of the shortest piece."""
        return self.wide_for(0.0)

    def wide_for(self, length: float) -> tuple[float, float]:
        """The same; from a roll, of a piece with room for a drawing of this length."""
        if self.paper.height == inf:
            return max(length + 2 * self.margin, _SHORTEST), self.paper.width
        return self.paper.height, self.paper.width

    @property
    def upright(self) -> tuple[float, float]:
        """Width and height of the paper in portrait; from a roll, of the shortest piece."""
        return self.paper.width, self.paper.height if self.paper.height < inf else max(self.paper.width, _SHORTEST)

    def length(self, mm: float, *, fine: bool = False, unit: bool = False) -> str:
        """A length as printed, with fractions marked so that they are set as built-up fractions."""
        return built(show(mm, self.unit, fine=fine)) + (f" {self.unit}" if unit else "")

    def exact(self, mm: float) -> str:
        """A size as it is sold, without a unit: "3/16", "6.35"."""
        return built(exact(mm, self.unit))

    def reading(self, mm: float) -> str:
        """A caliper reading as it was taken, without a unit."""
        return reading(mm, self.unit)


class SheetPage(Struct, frozen=True):
    """One printed page: its size in mm and its marks, origin at the lower left corner of the paper."""

    width: float
    height: float
    marks: Drawing
    mirrored: bool = False


class Draft(Struct, frozen=True):
    """A page before the number of pages is known: its foot is still to be added."""

    width: float
    height: float
    marks: Drawing
    foot: str
    mirrored: bool = False
