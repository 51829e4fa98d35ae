"""A load: blades that shared a fire, an oil and a temper. Asked and read stand side by side; None is not read."""

from enum import StrEnum

from msgspec import Struct


class CycleKind(StrEnum):
    """What a heat is for."""

    NORMALISE = "normalise"
    STRESS_RELIEF = "stress relief"
    HARDEN = "harden"
    COLD = "cold"
    TEMPER = "temper"


class Cover(StrEnum):
    """What keeps air off the blades."""

    NONE = "none"
    COATING = "coating"
    FOIL = "foil"
    ATMOSPHERE = "atmosphere"


class HeatCycle(Struct, frozen=True, kw_only=True):
    """One heat; °C and minutes."""

    kind: CycleKind
    asked: float
    minutes: float = 0.0
    read: float | None = None
    done: bool = True  # else it is still to come


class FileTest(StrEnum):
    """What a file did on the edge as quenched."""

    NOT_TRIED = "not tried"
    SKATES = "skates"
    BITES = "bites"


class Straightened(StrEnum):
    """When blades were straightened; never cold as quenched, which breaks them."""

    NOT = "not"
    HOT = "hot off the quench"
    IN_TEMPER = "in the temper"
    AFTER_TEMPER = "after a temper"


class HeatLoad(Struct, frozen=True, kw_only=True):
    """What a load went through. The oil's temperatures °C. None: not read."""

    cycles: tuple[HeatCycle, ...] = ()
    cover: Cover = Cover.NONE
    furnace: str = ""
    quench: str = ""  # the oil, water, air or plates
    quenched: str = ""  # time of day at which the last blade went in, "21:40"
    seconds: float | None = None  # from the furnace into the quench
    before: float | None = None  # of the oil
    after: float | None = None
    file: FileTest = FileTest.NOT_TRIED
    as_quenched: float | None = None  # HRC
    straightened: Straightened = Straightened.NOT
    until_temper: float | None = None  # minutes from the quench
    result: str = ""
    note: str = ""

    @property
    def done(self) -> tuple[CycleKind, ...]:
        """What was done, in its order."""
        return tuple(cycle.kind for cycle in self.cycles if cycle.done)

    @property
    def hardened(self) -> bool:
        """Whether it went through a quench."""
        return CycleKind.HARDEN in self.done

    @property
    def tempered(self) -> bool:
        """Whether a temper was done after the last hardening that was done."""
        if not self.hardened:
            return True
        last = len(self.done) - 1 - self.done[::-1].index(CycleKind.HARDEN)
        return CycleKind.TEMPER in self.done[last:]


class HeatRecipe(Struct, frozen=True, kw_only=True):
    """How a maker treats a steel, by the steel's own data sheet or by trials."""

    cycles: tuple[HeatCycle, ...] = ()
    cover: Cover = Cover.NONE
    source: str = ""
    date: str = ""  # ISO date it was last changed


class Bath(Struct, frozen=True, kw_only=True):
    """The shop's oil tank and its ovens. 0: not known, "": none."""

    oil: str = ""
    filled: str = ""  # when, in the maker's own words
    litres: float = 0.0
    depth: float = 0.0  # mm of oil
    start: float = 52.0  # °C at which it is used
    ceiling: float = 0.0  # °C, of the product's sheet
    furnace: str = ""
    offset: float = 0.0  # K by which its thermometer reads too high
    temper_oven: bool = False  # besides the furnace
