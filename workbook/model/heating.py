"""Heat treatment of the blades in hand: their masses before hardening, what the shop's oil takes, what the tables say."""

from collections.abc import Sequence

from msgspec import Struct

from workbook.document.shop_records import PieceRecord
from workbook.heat.load import Bath
from workbook.heat.oil import VEGETABLE_CEILING, Oil, Tank, after, at_once, oils_of, stops
from workbook.heat.schedule import Schedule, schedule_of
from workbook.heat.temper import BRITTLE, HardnessBand, as_long, falls_evenly, hardness, points_of
from workbook.model.blade_checks import hand_of
from workbook.model.grinding import masses_of
from workbook.model.model import Model
from workbook.shop.facts import Facts
from workbook.texts import _
from workbook.units import Unit

NO_HEAT = _("At what temperature? Type it, from the steel's own data sheet.")
NO_TEMPER = _("No temper is planned: as quenched, steel can shatter. Temper within the hour, hand-warm at the latest.")


class HeatAsked(Struct, frozen=True, kw_only=True):
    """What a maker means to do: °C, hours of each temper, how many."""

    harden: float | None
    temper: float | None
    hours: float = 2.0
    times: int = 2


class HeatTold(Struct, frozen=True, kw_only=True):
    """What is known of a load before it is made."""

    schedule: Schedule | None
    stops: tuple[str, ...]  # why it must not be done so
    masses: tuple[float, ...]  # kg of each blade before hardening
    longest: float  # mm that goes under
    end: float | None  # °C of the oil after all of them
    at_once: int | None  # blades until the oil is at its ceiling
    band: tuple[float, float] | None  # HRC
    notes: tuple[str, ...]


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
    oil, in_oil = oil_of(facts, bath), schedule is None or not schedule.in_air
    tank = Tank(litres=bath.litres, depth=bath.depth, start=bath.start, ceiling=ceiling_of(oil, bath))
    known = in_oil and oil is not None and bath.litres > 0 and asked.harden is not None
    why = _stops(oil, tank, masses, asked, longest, model.job.unit) if in_oil else []
    why += _without_temper(asked)
    return HeatTold(
        schedule=schedule,
        stops=tuple(why),
        masses=masses,
        longest=longest,
        end=after(oil, tank.litres, tank.start, sum(masses), asked.harden) if known and oil and asked.harden else None,
        at_once=at_once(oil, tank, masses, asked.harden) if known and oil and asked.harden and tank.ceiling is not None else None,
        band=_band(facts, steel, asked),
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


def _stops(oil: Oil | None, tank: Tank, masses: Sequence[float], asked: HeatAsked, longest: float, unit: Unit) -> list[str]:
    found = [NO_HEAT] if asked.harden is None else []
    if tank.litres <= 0 or tank.depth <= 0:
        return [*found, _("How much oil is there, and how deep? Measure the tank, and write it down in Settings, Quench tank.")]
    return found + stops(oil, tank, masses, asked.harden, longest, unit)


def _without_temper(asked: HeatAsked) -> list[str]:
    return [NO_TEMPER] if asked.temper is None or asked.times < 1 else []


def _band(facts: Facts, steel: str, asked: HeatAsked) -> tuple[float, float] | None:
    if asked.temper is None:
        return None
    return hardness(temper_points(facts, steel), _as_two_hours(facts, steel, asked))


def _as_two_hours(facts: Facts, steel: str, asked: HeatAsked) -> float:
    """The temperature at which two hours temper as much as all tempers together; as it is where times are not reckoned."""
    entry, hours = facts.steels.named(steel), asked.hours * asked.times
    assert asked.temper is not None
    if entry is None or not falls_evenly(entry.group) or hours <= 0:
        return asked.temper
    return as_long(asked.temper, hours, 2.0)


def _notes(facts: Facts, steel: str, schedule: Schedule | None, asked: HeatAsked, bath: Bath) -> list[str]:
    notes = []
    entry = facts.steels.named(steel)
    if schedule is None or schedule.harden is None:
        notes.append(_("No published heat treatment of {steel} is known here: use the maker's own sheet.", steel=steel))
    elif not schedule.read:
        notes.append(_("Nobody could read {steel}'s row at its source: it gives no aim. Use the maker's own sheet.", steel=steel))
    elif asked.harden is not None and not schedule.harden.low - 1 <= asked.harden <= schedule.harden.high + 1:
        notes.append(_("The temperature lies outside what is published for {steel}.", steel=steel))
    if asked.temper is not None and not temper_points(facts, steel):
        notes.append(_("No published hardness of {steel} after tempering: test a piece of your own bar.", steel=steel))
    elif asked.temper is not None and _band(facts, steel, asked) is None:
        notes.append(_("That temper lies beyond the published points: nothing is said of the hardness."))
    if asked.temper is not None and entry is not None and falls_evenly(entry.group) and BRITTLE[0] < asked.temper < BRITTLE[1]:
        notes.append(_("Between 450 and 700 °F (232 and 371 °C) carbon steels lose toughness (from memory)."))
    if not bath.temper_oven:
        notes.append(_("With one furnace it must first cool to temper heat, which takes hours: plan the evening for that."))
    return notes
