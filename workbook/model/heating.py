"""Heat treatment of the blades in hand: their masses before hardening, what the shop's oil takes, what the tables say."""

from collections.abc import Iterator, Sequence
from math import hypot

from msgspec import Struct

from workbook.document.shop_records import PieceRecord
from workbook.grind.heat import Lost, carbon_lost
from workbook.handbook.degrees import fahrenheit
from workbook.heat.enthalpy import HIGH, LOW
from workbook.heat.evening import minutes_to_temper
from workbook.heat.load import Bath, Cover, CycleKind, HeatCycle, HeatRecipe
from workbook.heat.oil import VEGETABLE_CEILING, Oil, Tank, after, at_once, oils_of, stops
from workbook.heat.schedule import Schedule, schedule_of
from workbook.heat.temper import BRITTLE, HardnessBand, as_long, falls_evenly, hardness, hours_at, points_of, temperatures_for
from workbook.making.minutes import minutes_words
from workbook.model.blade_checks import hand_of
from workbook.model.grinding import masses_of
from workbook.model.model import Model
from workbook.shop.facts import Facts
from workbook.texts import _
from workbook.units import Unit

NO_HEAT = _("At what temperature? Take it from the steel's own data sheet.")
NO_TEMPER = _("No temper is planned. As quenched, steel can shatter. Temper within the hour, as soon as the blade is hand-warm.")
_AUSTENITE = 727.0  # °C, the eutectoid: below it no carbon is lost so


class HeatAsked(Struct, frozen=True, kw_only=True):
    """What a maker means to do."""

    cycles: tuple[HeatCycle, ...]
    cover: Cover = Cover.NONE
    time: float | None = None  # minutes there are this evening; None: not said
    hardens: bool = True  # whether it is to be hardened, at a temperature that may not be told yet; else only tempered

    @property
    def harden(self) -> float | None:
        """°C before the quench."""
        return next((cycle.asked for cycle in reversed(self.cycles) if cycle.kind is CycleKind.HARDEN), None)

    @property
    def tempers(self) -> list[HeatCycle]:
        """The tempers after the quench, or all where there is none."""
        kinds = [cycle.kind for cycle in self.cycles]
        begin = len(kinds) - kinds[::-1].index(CycleKind.HARDEN) if CycleKind.HARDEN in kinds else 0
        return [cycle for cycle in self.cycles[begin:] if cycle.kind is CycleKind.TEMPER]


class HeatTold(Struct, frozen=True, kw_only=True):
    """What is known of a load before it is made."""

    schedule: Schedule | None
    stops: tuple[str, ...]  # why it must not be done so
    masses: tuple[float, ...]  # kg of each blade before hardening
    longest: float | None  # mm that goes under; None where none goes into oil
    end: float | None  # °C of the oil after all of them
    band: tuple[float, float] | None  # HRC
    decarb: Lost | None  # a side, of bare blades
    notes: tuple[str, ...]


TWO_HOURS, TEMPERS = 120.0, 2  # minutes of each temper, and how many: common practice, no source


def begun_with(schedule: Schedule | None, own: HeatRecipe | None) -> tuple[tuple[HeatCycle, ...], Cover]:
    """What a load begins with: the maker's own way with the steel, else the published aim, where there is one."""
    if own is not None:
        return own.cycles, own.cover
    aim = schedule.aim if schedule is not None else None
    return ((HeatCycle(kind=CycleKind.HARDEN, asked=aim),) if aim is not None else ()), Cover.NONE


def oil_of(facts: Facts, bath: Bath) -> Oil | None:
    """The shop's oil, as far as the table knows it."""
    return next((oil for oil in oils_of(facts.rows("look_up/quench_oils")) if oil.name == bath.oil), None)


def schedule_for(facts: Facts, steel: str) -> Schedule | None:
    """What the table says of a steel by any of its names; None where it says nothing."""
    entry = facts.steels.named(steel)
    rows = (
        row for row in facts.rows("look_up/heat_treatment") if entry is not None and entry in facts.steels.in_cell(row["steel"])
    )
    row = next(rows, None)
    return schedule_of(row) if row is not None else None


def temper_points(facts: Facts, steel: str) -> tuple[HardnessBand, ...]:
    """The published points of a steel's hardness; none where nobody published any."""
    entry = facts.steels.named(steel)
    rows = facts.rows("look_up/tempering")
    return points_of(row for row in rows if entry is not None and entry in facts.steels.in_cell(row["steel"]))


def told_of(model: Model, bath: Bath, steel: str, pieces: Sequence[PieceRecord], asked: HeatAsked) -> HeatTold:
    """What is known of a load of blades of one steel."""
    facts = model.facts
    schedule, masses = schedule_for(facts, steel), tuple(_mass(model, piece) for piece in pieces)
    longest = max((_under(model, piece) for piece in pieces), default=0.0)
    oil, in_oil = oil_of(facts, bath), asked.hardens and (schedule is None or not schedule.in_air)
    tank = Tank(litres=bath.litres, depth=bath.depth, start=bath.start, ceiling=ceiling_of(oil, bath))
    heat = asked.harden if asked.harden is not None and LOW <= asked.harden <= HIGH else None
    why = [NO_HEAT] if asked.hardens and asked.harden is None else []
    why += _stops(oil, tank, masses, heat, longest, model.job.unit) if in_oil else []
    outside = _outside(schedule, asked)
    if outside:
        why.append(_("The hardening temperature is outside what is published for {steel}, so no hardness is given.", steel=steel))
    once = at_once(oil, tank, masses, heat) if in_oil and oil and bath.litres > 0 and heat and tank.ceiling else None
    if once and once < len(masses):
        why.append(_("After {count} of them the oil is at its working ceiling. Let it cool before the next.", count=once))
    why += _without_temper(asked) + _without_time(asked, len(pieces), bath)
    return HeatTold(
        schedule=schedule,
        stops=tuple(why),
        masses=masses,
        longest=longest if in_oil else None,
        end=after(oil, tank.litres, tank.start, sum(masses), heat) if in_oil and oil and bath.litres > 0 and heat else None,
        band=None if outside else _band(facts, steel, asked),
        decarb=_decarb(asked),
        notes=tuple(_notes(facts, steel, schedule, asked, bath)),
    )


def _mass(model: Model, piece: PieceRecord) -> float:
    """The blade's steel before hardening, kg, on the bar it was cut from."""
    if piece.of not in model.shapes:
        return 0.0
    own = masses_of(model, piece.of, hand_of(model, piece))
    return own.before.volume * own.density / 1e6


def _under(model: Model, piece: PieceRecord) -> float:
    """How much of a blade goes into the oil: from the point to the handle's front; a drawn outline's whole length."""
    shape = model.shapes.get(piece.of)
    if shape is None:
        return 0.0
    x0, _y0, x1, _y1 = shape.extent()
    return x1 if shape.template is not None else x1 - x0


def ceiling_of(oil: Oil | None, bath: Bath) -> float | None:
    """The working ceiling: the shop's own, else that of cooking oils by common practice."""
    if bath.ceiling > 0:
        return bath.ceiling
    return VEGETABLE_CEILING if oil is not None and oil.vegetable else None


def _outside(schedule: Schedule | None, asked: HeatAsked) -> bool:
    """Whether the heat before the quench is none that is published."""
    if schedule is None or schedule.harden is None or asked.harden is None:
        return False
    return not schedule.harden.low - 1 <= asked.harden <= schedule.harden.high + 1


def _stops(oil: Oil | None, tank: Tank, masses: Sequence[float], heat: float | None, longest: float, unit: Unit) -> list[str]:
    if tank.litres <= 0 or tank.depth <= 0:
        return [_("How much oil is there, and how deep? Measure the tank and enter it under Settings, Quench tank.")]
    return stops(oil, tank, masses, heat, longest, unit)


def _without_temper(asked: HeatAsked) -> list[str]:
    return [] if asked.tempers or not asked.hardens else [NO_TEMPER]


def _without_time(asked: HeatAsked, blades: int, bath: Bath) -> list[str]:
    """Steel that is hardened must be tempered in the same session."""
    least = minutes_to_temper(asked.cycles, blades, bath)
    if asked.time is None or least <= asked.time:
        return []
    return [
        _(
            "Not enough time. The first temper would be over in about {least} (two hours of it to heat the "
            "furnace, common practice), and you have {time}. Harden on another day: as quenched, steel cannot "
            "wait.",
            least=minutes_words(least), time=minutes_words(asked.time),
        )
    ]  # fmt: skip


def _decarb(asked: HeatAsked) -> Lost | None:
    """Of blades that are heated bare."""
    if asked.cover is not Cover.NONE:
        return None
    hot = [carbon_lost(cycle.asked, cycle.minutes) for cycle in asked.cycles if cycle.asked >= _AUSTENITE and cycle.minutes]
    return lost_together(hot) if hot else None


def lost_together(heats: Sequence[Lost]) -> Lost:
    """Depths of one heat after another: each is 2 z sqrt(D t), so together they are the root of the sum of their squares."""
    return Lost(least=hypot(*(each.least for each in heats)), most=hypot(*(each.most for each in heats)))


def _band(facts: Facts, steel: str, asked: HeatAsked) -> tuple[float, float] | None:
    tempers = asked.tempers
    return hardness(temper_points(facts, steel), _as_two_hours(facts, steel, tempers)) if tempers else None


def _as_two_hours(facts: Facts, steel: str, tempers: Sequence[HeatCycle]) -> float:
    """The temperature at which two hours temper as much as all tempers together; the hottest where times are not reckoned."""
    entry, hottest = facts.steels.named(steel), max(cycle.asked for cycle in tempers)
    timed = [cycle for cycle in tempers if cycle.minutes > 0]
    if entry is None or not falls_evenly(entry.group) or not timed:
        return hottest
    return as_long(hottest, sum(hours_at(cycle.asked, cycle.minutes / 60, hottest) for cycle in timed), _OF_POINTS)


_OF_POINTS = 2.0  # hours of the published points


def tempers_for(facts: Facts, steel: str, wanted: float, minutes: Sequence[float]) -> list[float]:
    """The temperatures, °C, of tempers of these minutes for a wanted hardness, coolest first; none where no points cross it."""
    entry, hours = facts.steels.named(steel), sum(minutes) / 60
    found = temperatures_for(temper_points(facts, steel), wanted)
    if entry is None or not falls_evenly(entry.group) or hours <= 0:
        return found
    return [as_long(at, _OF_POINTS, hours) for at in found]


def _notes(facts: Facts, steel: str, schedule: Schedule | None, asked: HeatAsked, bath: Bath) -> Iterator[str]:
    yield from _of_row(steel, schedule, asked)
    if asked.tempers:
        yield from _of_tempers(facts, steel, schedule, asked)
    if asked.hardens and not bath.temper_oven:
        yield _(
            "Only one furnace. It takes hours to cool to tempering temperature, and quenched steel cannot wait "
            "so long. Have another oven hot for the first temper, one never used for food (common practice)."
        )
    if bath.offset:
        yield from _of_thermometer(asked, bath.offset)


def _of_thermometer(asked: HeatAsked, offset: float) -> Iterator[str]:
    """What a thermometer that is off must show."""
    celsius, degrees_f = f"{abs(offset):g}", f"{1.8 * abs(offset):.0f}"
    example = asked.harden if asked.harden is not None else next((cycle.asked for cycle in asked.tempers), None)
    if example is None:
        if offset > 0:
            yield _("Your thermometer reads {celsius} °C ({fahrenheit} °F) too high.", celsius=celsius, fahrenheit=degrees_f)
        else:
            yield _("Your thermometer reads {celsius} °C ({fahrenheit} °F) too low.", celsius=celsius, fahrenheit=degrees_f)
        return
    at, shows = (f"{each:.0f} °C ({fahrenheit(each):.0f} °F)" for each in (example, example + offset))
    if offset > 0:
        yield _(
            "Your thermometer reads {celsius} °C ({fahrenheit} °F) too high: at {at} it shows {shows}.",
            celsius=celsius,
            fahrenheit=degrees_f,
            at=at,
            shows=shows,
        )
    else:
        yield _(
            "Your thermometer reads {celsius} °C ({fahrenheit} °F) too low: at {at} it shows {shows}.",
            celsius=celsius,
            fahrenheit=degrees_f,
            at=at,
            shows=shows,
        )


def _of_row(steel: str, schedule: Schedule | None, asked: HeatAsked) -> Iterator[str]:
    """What the table's row does not carry."""
    if schedule is None or schedule.harden is None:
        yield _("No published heat treatment of {steel} is known. Use the data sheet of the steel you bought.", steel=steel)
    elif not schedule.read:
        yield _(
            "The values of {steel} could not be read at their source, so no target is given. Use the data sheet "
            "of the steel you bought.",
            steel=steel,
        )
    normal = any(cycle.kind is CycleKind.NORMALISE for cycle in asked.cycles)
    if normal and schedule is not None and schedule.in_air:
        yield _("{steel} hardens in air and is not normalized.", steel=steel)


def _of_tempers(facts: Facts, steel: str, schedule: Schedule | None, asked: HeatAsked) -> Iterator[str]:
    """What the published points do not carry."""
    temper, published = max(cycle.asked for cycle in asked.tempers), schedule.temper if schedule is not None else None
    if not temper_points(facts, steel):
        yield _("No published hardness of {steel} after tempering. Test a piece of your own bar.", steel=steel)
    elif _band(facts, steel, asked) is None:
        yield _("That temper is outside the published points, so no hardness is given.")
    if published is not None and not published.low - 1 <= temper <= published.high + 1:
        yield _("The temper is outside what is published for {steel}.", steel=steel)
    if (schedule is None or not schedule.in_air) and BRITTLE[0] < temper < BRITTLE[1]:
        yield _("Between 450 and 700 °F (232 and 371 °C) carbon and low-alloy steels lose toughness (from memory).")
