"""What is wrong with a maker's data, as values: where, what, how much, how much is allowed, and by what source."""

from collections.abc import Iterable
from enum import StrEnum

from msgspec import Struct

from workbook.system.names import shown
from workbook.texts import _, labelled


class Severity(StrEnum):
    """How much a problem matters."""

    STOP = "stop"  # cannot be made or measured
    WARN = "warn"  # workmanship
    NOTE = "note"


class WantedKind(StrEnum):
    """What the value wanted is for the measured one."""

    LIMIT = "limit"  # the least, or the most; which of the two follows from the measured value
    OWNED = "owned"  # the nearest that the maker owns
    EXACT = "exact"


NO_UNIT = _("has no unit.")  # of a drawing; the maker is then asked
UNIT_DOUBTED = _('Is the unit right? In a job file, write units = "mm" or units = "in".')  # likewise


class Problem(Struct, frozen=True, kw_only=True):
    """One finding of a check. `at` is in the template's frame, mm; `is_` and `wanted` are in mm unless `unit` differs."""

    what: str
    severity: Severity = Severity.WARN
    template: str = ""
    at: tuple[float, float] | None = None
    is_: float | None = None
    wanted: float | None = None
    unit: str = "mm"
    wanted_is: WantedKind = WantedKind.LIMIT
    source: str = ""
    cause: str = ""  # what is at fault, by which a remedy is found: "edge B1"


def worst_first(problems: Iterable[Problem]) -> list[Problem]:
    """Sort problems by severity, worst first; those of the same severity keep their order."""
    order = list(Severity)
    return sorted(problems, key=lambda p: order.index(p.severity))


class Mistake(Struct, frozen=True, kw_only=True):
    """One mistake in a file that a maker wrote: its place, what is wrong, and what would be right."""

    place: str
    what: str
    right: str = ""

    def __str__(self) -> str:
        if not self.right:
            return labelled(self.place, self.what)
        return _("{place}: {what} {right}", place=self.place, what=self.what, right=self.right)


TOO_LITTLE_MEMORY = Mistake(
    place=_("memory"),
    what=_("this computer does not have enough."),
    right=_("Close other programs, or make fewer blanks at a time."),
)


class JobError(Exception):
    """A job that cannot be carried out. Holds every mistake found, each one that a maker can act on."""

    def __init__(self, mistakes: list[Mistake], source: str = "") -> None:
        self.mistakes = mistakes
        self.source = source
        super().__init__("\n".join(self.lines()))

    def lines(self) -> list[str]:
        """One line per mistake, each with the file it is in."""
        prefix = f"{self.source}: " if self.source else ""
        return [shown(f"{prefix}{mistake}") for mistake in self.mistakes]
