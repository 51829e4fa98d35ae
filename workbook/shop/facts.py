"""Facts of the trade, passed as a value to the code that uses them: drills, densities, steels, hands, saw bands."""

from collections.abc import Callable, Mapping, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from msgspec import Struct

from workbook.later import library
from workbook.shop.densities import MaterialDensity, Weighed, materials_of, weighed
from workbook.shop.steels import Steels, steels_of
from workbook.template.drills import Drill
from workbook.template.hand import Hands
from workbook.units import INCH

if TYPE_CHECKING:
    import fractions
else:
    fractions = library("fractions")

Rows = Sequence[Mapping[str, str]]


class Facts(Struct, frozen=True, dict=True):
    """Tables of facts. Each is read when it is first used: few are needed at the start.

    `rows`: the rows of a table by its name, such as "look_up/steels"; the shipped ones are in resources/data with their sources.
    """

    rows: Callable[[str], Rows]

    @cached_property
    def drills(self) -> tuple[Drill, ...]:
        """All standard drills, smallest first."""
        drills = [Drill(row["label"], float(row["diameter_mm"]), row["series"]) for row in self.rows("drills")]
        return tuple(sorted(drills, key=lambda d: (d.diameter, d.series != "fraction")))

    @cached_property
    def steels(self) -> Steels:
        """All steels."""
        return steels_of(self.rows("look_up/steels"))

    @cached_property
    def densities(self) -> dict[str, float]:
        """Density in g/cm3 by material."""
        return {row["material"]: float(row["g_per_cm3"]) for row in self.rows("densities")}

    @cached_property
    def _materials(self) -> tuple[MaterialDensity, ...]:
        return materials_of(self.rows("look_up/woods"), self.rows("densities"))

    def weighed(self, material: str) -> Weighed | None:
        """The density of a handle material or a pin: the one written after its name, else that of its row; None without one."""
        return weighed(material, self._materials)

    @cached_property
    def _known_densities(self) -> dict[str, float | None]:
        return {}  # by steel, filled on first use

    def known_density(self, steel: str) -> float | None:
        """Density in g/cm3 of a steel by any of its names; None where no table has it and one has to be assumed."""
        if steel not in self._known_densities:
            self._known_densities[steel] = self._density(steel)
        return self._known_densities[steel]

    def _density(self, steel: str) -> float | None:
        entry = self.steels.named(steel)
        if entry is not None:
            return entry.density
        name = steel.strip().casefold().removeprefix("aisi ").strip()
        return next((density for key, density in self.densities.items() if key.casefold() == name), None)

    def density(self, steel: str) -> float:
        """Density in g/cm3 of a steel by any of its names; that of plain carbon steel where no table has it."""
        density = self.known_density(steel)
        return self.densities["carbon steel"] if density is None else density

    @cached_property
    def hands(self) -> tuple[Hands, ...]:
        """The breadth of hands by percentile, of men and of women."""
        rows = [row for row in self.rows("hands") if row["measure"] == "handbreadth"]
        words = {"male": "men", "female": "women"}
        columns = [name for name in rows[0] if name[:1] == "p" and name[1:].isdigit()]
        shares = tuple(int(name[1:]) / 100 for name in columns)
        return tuple(Hands(words[row["sex"]], shares, tuple(float(row[name]) for name in columns)) for row in rows)

    @cached_property
    def saw_bands(self) -> tuple[tuple[float, float], ...]:
        """The widths of saw bands and the least radius each can turn, mm, narrowest first."""
        return tuple((float(row["band_in"]) * INCH, float(row["least_radius_in"]) * INCH) for row in self.rows("saw_bands"))

    def least_saw_radius(self, band: float) -> float:
        """Least radius a band of this width can turn, mm: between two rows that of the wider; past the last, in proportion."""
        widest, its_radius = self.saw_bands[-1]
        return next((radius for width, radius in self.saw_bands if width >= band - 1e-6), its_radius * band / widest)

    @cached_property
    def _skins(self) -> tuple[tuple[float, float, float], ...]:
        """Thickness and width up to which a row applies, and the allowance on each face, mm."""
        rows = self.rows("look_up/hot_rolled_allowance")
        ends = [(_end(row["thickness_in"]), _end(row["width_in"]), float(row["A_on_thickness_faces_in"])) for row in rows]
        return tuple(sorted((thick * INCH, wide * INCH, face * INCH) for thick, wide, face in ends))

    def hot_rolled_skin(self, thickness: float, width: float) -> float | None:
        """Steel to take off each face of a hot-rolled bar, mm; None where the table has no such size."""
        return next((f for thick, wide, f in self._skins if thickness <= thick + 1e-6 and width <= wide + 1e-6), None)

    @cached_property
    def _quenches(self) -> tuple[tuple[str, str], ...]:
        return tuple((row["steel"], row["quench_class"]) for row in self.rows("look_up/heat_treatment"))

    def quench_words(self, steel: str) -> str:
        """What a steel is quenched in, from the table of heat treatment; "" for a steel that is not in it."""
        entry = self.steels.named(steel)
        return next((words for row, words in self._quenches if entry is not None and entry in self.steels.in_cell(row)), "")


def _end(span: str) -> float:
    """The upper end of a span such as ">1/2-1"."""
    return float(fractions.Fraction(span.rpartition("-")[2]))
