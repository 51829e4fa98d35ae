"""What the table of heat treatment says of a steel: ranges always, an aim only where its row was read at its source."""

import re
from collections.abc import Mapping

from msgspec import Struct

from workbook.handbook.degrees import Span, celsius, span

_AIM = re.compile(r"\((\d{3,4}) aim\)")


class Schedule(Struct, frozen=True, kw_only=True):
    """A steel's heat treatment as it is published; temperatures °C, None where no number is told."""

    steel: str
    normalise: Span | None
    harden: Span | None
    aim: float | None  # before the quench
    soak: str
    quench: str
    temper: Span | None
    as_quenched: str
    source: str
    sure: int
    read: bool  # whether somebody could read it at its source

    @property
    def in_air(self) -> bool:
        """Whether it hardens in air or between plates."""
        return self.quench.casefold().startswith(("air", "still", "plate"))


def schedule_of(row: Mapping[str, str]) -> Schedule:
    """The schedule of a row. A row that was derived or comes from memory gives ranges and no aim: ask the maker's own sheet."""
    read, aim = "seen" in row["basis"], _AIM.search(row["austenitise_F"])
    return Schedule(
        steel=row["steel"],
        normalise=span(row["normalise_F"]),
        harden=span(row["austenitise_F"]),
        aim=celsius(float(aim[1])) if aim and read else None,
        soak=row["soak"],
        quench=row["quench_class"],
        temper=span(row["temper_range_F"]),
        as_quenched=row["as_quenched_HRC"],
        source=row["source"],
        sure=int(row["sure_pct"] or 0),
        read=read,
    )
