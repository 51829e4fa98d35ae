"""Whether an evening is long enough to harden in: as quenched, steel may not wait for its temper."""

from collections.abc import Sequence

from workbook.heat.load import Bath, CycleKind, HeatCycle

WARM_UP = 120.0  # minutes until a furnace is at hardening heat: makers' own figures, common practice, no source
COOL_DOWN = 150.0  # minutes until the only furnace is down to temper heat, its door open: common practice, no source
_EACH = 5.0  # minutes a blade to quench, come back to heat and straighten: common practice, no source


def minutes_to_temper(cycles: Sequence[HeatCycle], blades: int, bath: Bath) -> float:
    """Minutes from lighting the furnace until the first temper is over; 0 where nothing is hardened."""
    kinds = [cycle.kind for cycle in cycles]
    if CycleKind.HARDEN not in kinds:
        return 0.0
    last = len(kinds) - 1 - kinds[::-1].index(CycleKind.HARDEN)
    temper = next((n for n, kind in enumerate(kinds) if n > last and kind is CycleKind.TEMPER), last)
    minutes = sum(cycle.minutes for cycle in cycles[: temper + 1])  # what is between, a cold treatment, takes its time too
    return WARM_UP + minutes + _EACH * blades + (0.0 if bath.temper_oven else COOL_DOWN)
