"""A load's numbers in words, each with where it comes from; degrees as the unit has them."""

from collections.abc import Iterator, Sequence

from workbook.document.making_records import LoadRecord
from workbook.handbook.degrees import Span, shown
from workbook.heat.load import Cover, CycleKind, FileTest, HeatCycle, HeatLoad, HeatRecipe, Straightened
from workbook.heat.schedule import Schedule
from workbook.model.heating import HeatTold
from workbook.region import Region
from workbook.texts import _, ngettext
from workbook.units import HABITS, Unit, reading, show

CAUTION = _(
    "Fire, hot oil and fumes: work outdoors or with extraction. Use a metal tank on a floor that cannot "
    "burn, with its lid and dry powder or CO2 at hand, never water. Wear a face shield and gauntlets. "
    "Keep anything else that burns away. As quenched, steel can shatter: temper at once. Straighten only "
    "hot off the quench, or in and after the temper. Follow your own training, the oil's and the steel's "
    "data sheets and local rules."
)
CYCLES = {
    CycleKind.NORMALISE: _("normalize"),
    CycleKind.STRESS_RELIEF: _("stress relief"),
    CycleKind.HARDEN: _("harden"),
    CycleKind.COLD: _("cold"),
    CycleKind.TEMPER: _("temper"),
}
FILES = {
    FileTest.NOT_TRIED: _("not tried"),
    FileTest.SKATES: _("skates"),
    FileTest.BITES: _("bites"),
}
STRAIGHTENED = {
    Straightened.NOT: _("no"),
    Straightened.HOT: _("hot off the quench"),
    Straightened.IN_TEMPER: _("in the temper"),
    Straightened.AFTER_TEMPER: _("after a temper"),
}
_STRAIGHTENED_THEN = {
    Straightened.HOT: _("straightened hot off the quench"),
    Straightened.IN_TEMPER: _("straightened in the temper"),
    Straightened.AFTER_TEMPER: _("straightened after a temper"),
}
COVERS = {
    Cover.NONE: _("none"),
    Cover.COATING: _("coating"),
    Cover.FOIL: _("foil"),
    Cover.ATMOSPHERE: _("atmosphere"),
}


def told_words(told: HeatTold, unit: Unit) -> Iterator[str]:
    """What is known of a load before it is made, a line each."""
    if told.schedule is not None:
        yield from schedule_words(told.schedule, unit)
    mass = sum(told.masses)
    yield ngettext(
        "{count} blade, {mass:.0f} g before hardening (from its own bar).",
        "{count} blades, {mass:.0f} g before hardening (each from its own bar).",
        len(told.masses),
        mass=1000 * mass,
    )
    if told.longest is not None:
        yield _("The longest goes {longest} {unit} into the oil.", longest=show(told.longest, unit), unit=unit)
    if told.end is not None:
        yield _("The oil ends at about {end} if all are quenched one after another (energy balance, EN 1993-1-2, no " "losses).",
            end=degrees(told.end, unit))  # fmt: skip
    if told.band is not None:
        low, high = told.band
        yield _(
            "After the tempers about {low:.0f}–{high:.0f} HRC, ±1.5 (published points; full hardness before).",
            low=low,
            high=high,
        )
    carbon = _carbon_words(told, unit)
    if carbon:
        yield carbon
    yield from told.notes


_CLEAN = 0.254  # mm a side that is ground off after heat in air, 0.010 in: common practice, no source


def _carbon_words(told: HeatTold, unit: Unit) -> str:
    """How deep bare steel loses carbon, and what to leave for it; "" where nothing is said."""
    if told.decarb is None:
        return ""
    shallow, deep = (reading(each, unit) for each in (told.decarb.least, told.decarb.most))
    return _(
        "A bare face loses carbon to about {shallow}–{deep} {unit} per side (diffusion by two published "
        "sets, less than nine tenths left), plus scale. Leave {leave} {unit} or more to grind (common "
        "practice), or keep air off.",
        shallow=shallow, deep=deep, unit=unit, leave=reading(max(_CLEAN, told.decarb.most), unit),
    )  # fmt: skip


def schedule_words(schedule: Schedule, unit: Unit) -> Iterator[str]:
    """A steel's published schedule with its source."""
    parts = [
        _("harden {span}", span=_span(schedule.harden, unit)) if schedule.harden else "",
        _("target {aim}", aim=_span(Span(schedule.aim, schedule.aim), unit)) if schedule.aim is not None else "",
        _("soak {soak}", soak=schedule.soak) if schedule.soak else "",
        _("quench: {quench}", quench=schedule.quench) if schedule.quench else "",
        _("temper {span}", span=_span(schedule.temper, unit)) if schedule.temper else "",
    ]
    told = "; ".join(part for part in parts if part)
    if told:
        yield _("{steel}: {told}.", steel=schedule.steel, told=told)
        yield _("Source: {source} ({sure}% sure).", source=schedule.source, sure=schedule.sure)


def own_words(recipe: HeatRecipe, unit: Unit, local: Region) -> str:
    """The maker's own way with a steel, and where it comes from."""
    heats, source = "; ".join(_cycle(cycle, unit) for cycle in recipe.cycles), recipe.source or _("not noted")
    return _("Your recipe of {date}: {heats}. Source: {source}.", date=local.short_day(recipe.date), heats=heats, source=source)


def controller_words(cycles: Sequence[HeatCycle], unit: Unit) -> Iterator[str]:
    """The steps to type into a controller: each heat is a program of its own."""
    steps = [_step(cycle, unit) for cycle in cycles if cycle.kind is not CycleKind.COLD]
    if steps:
        yield _("Controller program: {steps}. Take rates and preheats from the steel's sheet and the furnace's manual.",
            steps="; ".join(steps))  # fmt: skip


def _step(cycle: HeatCycle, unit: Unit) -> str:
    heat, asked, minutes = CYCLES[cycle.kind], degrees(cycle.asked, unit), f"{cycle.minutes:.0f}"
    match bool(cycle.minutes), cycle.kind is CycleKind.HARDEN:
        case True, False:
            return _("{heat} at {asked}, hold {minutes} min", heat=heat, asked=asked, minutes=minutes)
        case True, True:
            return _(
                "{heat} at {asked}, hold {minutes} min and until the last blade is out", heat=heat, asked=asked, minutes=minutes
            )
        case False, True:
            return _("{heat} at {asked}, hold as the steel's sheet says and until the last blade is out", heat=heat, asked=asked)
        case _:
            return _("{heat} at {asked}, hold as the steel's sheet says", heat=heat, asked=asked)


def load_words(record: LoadRecord, unit: Unit) -> str:
    """A load in a line: what was asked, what was read."""
    load = record.load
    parts = [_cycle(cycle, unit) for cycle in load.cycles]
    if load.cover is not Cover.NONE:
        parts.append(COVERS[load.cover])
    if load.quench:
        oil = [degrees(at, unit) for at in (load.before, load.after) if at is not None]
        parts.append(_("{quench} ({temperatures})", quench=load.quench, temperatures="–".join(oil)) if oil else load.quench)
    parts += [*read_words(load), load.result, load.note]
    return "; ".join(part for part in parts if part)


def heats_words(load: HeatLoad, unit: Unit) -> str:
    """The heats that were done, and the quench, without what was read or noted."""
    parts = [_cycle(cycle, unit) for cycle in load.cycles if cycle.done]
    return "; ".join([*parts, *([load.quench] if load.quench and load.hardened else [])])


def read_words(load: HeatLoad) -> Iterator[str]:
    """What was read and done besides temperatures."""
    if load.furnace:
        yield load.furnace
    if load.quenched:
        yield _("quenched at {time}", time=load.quenched)
    if load.seconds is not None:
        yield _("{seconds:.0f} s to the quench", seconds=load.seconds)
    if load.file is not FileTest.NOT_TRIED:
        yield _("a file skates as quenched") if load.file is FileTest.SKATES else _("a file bites as quenched")
    if load.as_quenched is not None:
        yield _("{hardness:g} HRC as quenched", hardness=load.as_quenched)
    if load.straightened is not Straightened.NOT:
        yield _STRAIGHTENED_THEN[load.straightened]
    if load.until_temper is not None:
        yield _("{minutes:.0f} min until the temper", minutes=load.until_temper)


def _cycle(cycle: HeatCycle, unit: Unit) -> str:
    heat, at = CYCLES[cycle.kind], degrees(cycle.asked, unit)
    words = (
        _("{heat} {at}", heat=heat, at=at)
        if cycle.read is None
        else _("{heat} {at} (read {read})", heat=heat, at=at, read=degrees(cycle.read, unit))
    )
    if cycle.minutes:
        words = _("{heat}, {minutes:.0f} min", heat=words, minutes=cycle.minutes)
    return words if cycle.done else _("{heat} (to come)", heat=words)


def degrees(celsius: float, unit: Unit) -> str:
    """A temperature in what goes with a unit: "1475 °F"."""
    return shown(celsius, celsius, unit)


def _span(span: Span, unit: Unit) -> str:
    """A published temperature in both degrees, the unit's first."""
    first, second = (shown(span.low, span.high, each) for each in (unit, HABITS[unit].beside))
    return f"{first} ({second})"
