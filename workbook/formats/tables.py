"""The shipped tables of facts: drills, densities, steels, each row with its source."""

import csv
from functools import cache

from workbook.formats.steels import steel_named, steels_in
from workbook.paths import resource
from workbook.template.drills import Drill
from workbook.template.hand import Hands
from workbook.units import INCH


@cache
def drills() -> tuple[Drill, ...]:
    """All standard drills, smallest first (resources/data/drills.csv)."""
    with resource("data", "drills.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    found = [Drill(row["label"], float(row["diameter_mm"]), row["series"]) for row in rows]
    return tuple(sorted(found, key=lambda d: (d.diameter, d.series != "fraction")))


@cache
def densities() -> dict[str, float]:
    """Density in g/cm3 by material (resources/data/densities.csv)."""
    with resource("data", "densities.csv").open(encoding="utf-8", newline="") as file:
        return {row["material"]: float(row["g_per_cm3"]) for row in csv.DictReader(file)}


@cache
def saw_bands() -> tuple[tuple[float, float], ...]:
    """Width of a saw's band and the least radius it turns in, mm, narrowest first (resources/data/saw_bands.csv)."""
    with resource("data", "saw_bands.csv").open(encoding="utf-8", newline="") as file:
        return tuple((float(row["band_in"]) * INCH, float(row["least_radius_in"]) * INCH) for row in csv.DictReader(file))


def least_saw_radius(band: float) -> float:
    """Least radius a band of this width turns in: between two of the table, that of the wider; beyond its end, in proportion."""
    widest, its_radius = saw_bands()[-1]
    return next((radius for width, radius in saw_bands() if width >= band - 1e-6), its_radius * band / widest)


@cache
def _skins() -> tuple[tuple[float, float, float], ...]:
    """Thickness and width up to which a row holds, and the allowance on each face, mm (look_up/hot_rolled_allowance.csv)."""
    with resource("data", "look_up", "hot_rolled_allowance.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    ends = [(_end(row["thickness_in"]), _end(row["width_in"]), float(row["A_on_thickness_faces_in"])) for row in rows]
    return tuple(sorted((thick * INCH, wide * INCH, face * INCH) for thick, wide, face in ends))


def _end(span: str) -> float:
    """The upper end of a span such as ">1/2-1"."""
    from fractions import Fraction

    return float(Fraction(span.rpartition("-")[2]))


def hot_rolled_skin(thickness: float, width: float) -> float | None:
    """Steel to take off each face of a hot-rolled bar, mm; None where the table has no such size."""
    return next((f for thick, wide, f in _skins() if thickness <= thick + 1e-6 and width <= wide + 1e-6), None)


@cache
def hands() -> tuple[Hands, ...]:
    """Breadth of many hands (resources/data/hands.csv)."""
    with resource("data", "hands.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["measure"] == "handbreadth"]
    words = {"male": "men", "female": "women"}
    columns = [name for name in rows[0] if name[:1] == "p" and name[1:].isdigit()]
    shares = tuple(int(name[1:]) / 100 for name in columns)
    return tuple(Hands(words[row["sex"]], shares, tuple(float(row[name]) for name in columns)) for row in rows)


@cache
def _quenches() -> tuple[tuple[str, str], ...]:
    with resource("data", "look_up", "heat_treatment.csv").open(encoding="utf-8", newline="") as file:
        return tuple((row["steel"], row["quench_class"]) for row in csv.DictReader(file))


def quench_words(steel: str) -> str:
    """What the table of heat treatment says a steel is quenched in; "" for a steel it has not."""
    named = steel_named(steel)
    return next((words for row, words in _quenches() if named is not None and named in steels_in(row)), "")


@cache
def density_of_steel_known(steel: str) -> float | None:
    """Density in g/cm3 of a steel by any of its names; None where no table has it, and one has to be assumed."""
    named = steel_named(steel)
    if named is not None:
        return named.density
    return next((d for key, d in densities().items() if key.casefold() == _bare(steel)), None)


def _bare(steel: str) -> str:
    return steel.strip().casefold().removeprefix("aisi ").strip()


def density_of_steel(steel: str) -> float:
    """Density in g/cm3 of a steel by any of its names; plain carbon steel's where no table has it."""
    known = density_of_steel_known(steel)
    return densities()["carbon steel"] if known is None else known
