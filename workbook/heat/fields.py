"""The fields of a heat-treatment load and of the shop's bath: their limits, labels and meanings."""

from collections.abc import Iterator, Sequence

from workbook.fields import CELSIUS, MINUTES, NOTE, Field, Kind, Rule, Table, choice, length, number, parts, switch, text
from workbook.handbook.degrees import fahrenheit
from workbook.heat.load import Bath, CycleKind, HeatCycle, HeatLoad, HeatRecipe, Straightened
from workbook.texts import _

SINCE, LOGGED = 12, 13
HRC = (10.0, 75.0)
_COLDEST, _HOTTEST = -200.0, 1300.0

FIELDS: dict[type, Table] = {
    HeatCycle: (
        choice("kind", since=SINCE), number("asked", _COLDEST, _HOTTEST, unit=CELSIUS, since=SINCE),
        number("minutes", 0, 10_000, unit=MINUTES, since=SINCE),
        number("read", _COLDEST, _HOTTEST, unit=CELSIUS, none=_("not read"), since=SINCE),
        switch("done", since=LOGGED),
    ),
    HeatLoad: (
        parts("cycles", 20, since=SINCE), choice("cover", since=SINCE), text("quench", since=SINCE),
        number("before", 0, 300, unit=CELSIUS, none=_("not read"), since=SINCE),
        number("after", 0, 300, unit=CELSIUS, none=_("not read"), since=SINCE),
        text("result", NOTE, since=SINCE), text("note", NOTE, since=SINCE),
        text("furnace", since=LOGGED), text("quenched", since=LOGGED),
        number("seconds", 0, 600, unit=_("seconds"), none=_("not read"), since=LOGGED), choice("file", since=LOGGED),
        number("as_quenched", *HRC, unit="HRC", none=_("not read"), since=LOGGED), choice("straightened", since=LOGGED),
        number("until_temper", 0, 10_000, unit=MINUTES, none=_("not read"), since=LOGGED),
    ),
    HeatRecipe: (
        parts("cycles", 20, since=LOGGED), choice("cover", since=LOGGED), text("source", NOTE, since=LOGGED),
        Field(key="date", kind=Kind.DATE, since=LOGGED),
    ),
    Bath: (
        text("oil", since=SINCE, label=_("Quench oil"),
            meaning=_("a quench oil or a cooking oil, never motor oil")),
        number("litres", 0, 2000, unit=_("liters"), since=SINCE, zero=_("unknown"), label=_("Oil in the tank")),
        length("depth", 0, 3000, since=SINCE, zero=_("unknown"), label=_("Oil depth")),
        number("start", 0, 200, unit=CELSIUS, since=SINCE, label=_("Oil working temperature"),
            meaning=_("vegetable oil 120–130 °F, 49–54 °C: common practice")),
        number("ceiling", 0, 300, unit=CELSIUS, since=SINCE, zero=_("unknown"), label=_("Oil working ceiling"),
            meaning=_("from the product's sheet. Vegetable oil 150 °F, 66 °C: common practice")),
        text("filled", since=LOGGED, label=_("Date of the oil"),
        meaning=_("when the tank was filled. Old oil quenches differently")),
        text("furnace", since=LOGGED, label=_("Furnace or forge")),
        number("offset", -100, 100, unit=CELSIUS, since=LOGGED,
            label=_("Thermometer reads high by"), meaning=_("against one that was checked. Below 0, it reads low")),
        switch("temper_oven", since=SINCE, label=_("Separate temper oven")),
    ),
}  # fmt: skip


def _of_load(load: HeatLoad) -> Iterator[tuple[str, str]]:
    """Heats that cannot be what they are called, straightening where it breaks blades."""
    yield from _of_cycles(load.cycles)
    tempered = any(cycle.kind is CycleKind.TEMPER for cycle in load.cycles)
    if load.straightened in (Straightened.IN_TEMPER, Straightened.AFTER_TEMPER) and not tempered:
        yield "straightened", _("in or after a temper, but there is no temper. Cold as quenched, blades break.")


def _of_recipe(recipe: HeatRecipe) -> Iterator[tuple[str, str]]:
    yield from _of_cycles(recipe.cycles)


def _of_cycles(cycles: Sequence[HeatCycle]) -> Iterator[tuple[str, str]]:
    for n, cycle in enumerate(cycles, 1):
        if cycle.kind is CycleKind.TEMPER and cycle.asked > _HIGHEST_TEMPER:
            yield (
                "cycles",
                _(
                    "[{n}] is too hot for a temper: at most {most:.0f} °C ({fahrenheit:.0f} °F).",
                    n=n,
                    most=_HIGHEST_TEMPER,
                    fahrenheit=fahrenheit(_HIGHEST_TEMPER),
                ),
            )
        if cycle.kind is CycleKind.HARDEN and cycle.asked < _LEAST_HARDEN:
            yield (
                "cycles",
                _(
                    "[{n}] is too cold to harden: at least {least:.0f} °C ({fahrenheit:.0f} °F).",
                    n=n,
                    least=_LEAST_HARDEN,
                    fahrenheit=fahrenheit(_LEAST_HARDEN),
                ),
            )


_HIGHEST_TEMPER, _LEAST_HARDEN = 720.0, 700.0  # °C: steel goes over into austenite about there
RULES: dict[type, Rule] = {HeatLoad: _of_load, HeatRecipe: _of_recipe}
