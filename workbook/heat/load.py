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


class HeatLoad(Struct, frozen=True, kw_only=True):
    """What a load went through. The oil's temperatures °C."""

    cycles: tuple[HeatCycle, ...] = ()
    cover: Cover = Cover.NONE
    quench: str = ""  # the oil, water, air or plates
    before: float | None = None  # of the oil
    after: float | None = None
    result: str = ""
    note: str = ""

    @property
    def tempered(self) -> bool:
        """Whether a temper follows the last hardening."""
        kinds = [cycle.kind for cycle in self.cycles]
        if CycleKind.HARDEN not in kinds:
            return True
        last = len(kinds) - 1 - kinds[::-1].index(CycleKind.HARDEN)
        return CycleKind.TEMPER in kinds[last:]


class Bath(Struct, frozen=True, kw_only=True):
    """The shop's oil tank and its ovens. 0: not known, "": none."""

    oil: str = ""
    litres: float = 0.0
    depth: float = 0.0  # mm of oil
    start: float = 52.0  # °C at which it is used
    ceiling: float = 0.0  # °C, of the product's sheet
    temper_oven: bool = False  # besides the furnace
