"""Bench settings, mass and balance as rows of words and values: one wording for screen, card and command line."""

from collections.abc import Iterator
from math import degrees, isfinite

from workbook.grind.bench import Bench
from workbook.grind.mass import Masses
from workbook.shop.in_hand import InHand, Source
from workbook.texts import _, labelled
from workbook.units import HABITS, INCH, Unit, reading, show

Row = tuple[str, str]
_SLANTING = 0.99  # cosine of the edge's slope angle
_OUNCE, _OUNCE_INCH = 28.349523125, 7.0615518  # g; N mm (avoirdupois ounce under standard gravity)


def thickness_words(bar: InHand, unit: Unit) -> str:
    """A bar's thickness, and whether it was measured."""
    thickness = reading(bar.thickness, unit)
    if bar.read:
        return _("{thickness} {unit} measured", thickness=thickness, unit=unit)
    return _("{thickness} {unit} nominal: measure yours", thickness=thickness, unit=unit)


def bar_words(bar: InHand, unit: Unit) -> str:
    """The bar that blades are made from, its thickness, and the blades' serials."""
    origin = _origin_words(bar, thickness_words(bar, unit))
    return labelled(", ".join(bar.serials), origin) if bar.serials else origin


def _origin_words(bar: InHand, thickness: str) -> str:
    match bar.source:
        case Source.CUT:
            return _("cut from “{name}”, {thickness}", name=bar.bar, thickness=thickness)
        case Source.LAID:
            return _("on “{name}”, {thickness}", name=bar.bar, thickness=thickness)
        case Source.RACK:
            return _("on the rack: “{name}”, {thickness}", name=bar.bar, thickness=thickness)
        case Source.SALE:
            return _("to buy: “{name}”, {thickness}", name=bar.bar, thickness=thickness)
        case Source.NOMINAL:
            return _("no suitable bar: {thickness}", thickness=thickness)


def over_words(bar: InHand, bench: Bench, unit: Unit) -> str:
    """The effect of a bar thicker or thinner than the template's nominal; "" if it is neither."""
    if not bar.over:
        return ""
    scribe, more = reading(bench.scribe_set, unit), reading(abs(bar.over), unit)
    sizes = _(
        "Bar {bar}, template {nominal} {unit}", bar=reading(bar.thickness, unit), nominal=show(bar.nominal, unit), unit=unit
    )
    if bar.over > 0:
        effect = _("{more} {unit} more to grind, or a thicker blade. Scribe {scribe}", more=more, unit=unit, scribe=scribe)
    else:
        effect = _("the blade comes out {more} {unit} thinner. Scribe {scribe}", more=more, unit=unit, scribe=scribe)
    return labelled(sizes, effect)


def bench_rows(bench: Bench, unit: Unit) -> list[Row]:
    """All the settings, then the results to expect."""
    return [*_to_set(bench, unit), *_lines(bench, unit), *_hollow(bench, unit), *_edge(bench, unit), *_stone(bench, unit)]


def first_rows(bench: Bench, unit: Unit) -> list[Row]:
    """The three numbers a maker needs first."""
    if bench.faces == 1:
        return [
            (_("Scribe one line, from the back"), f"{reading(bench.scribe_set, unit)} {unit}"),
            (_("Bevel, on its one face"), angle_words(bench.angle)),
        ]
    return [
        (_("Scribe from each face"), f"{reading(bench.scribe_set, unit)} {unit}"),
        (_("Between the two lines"), f"{reading(bench.edge_set, unit)} {unit}"),
        (_("Bevel, each side"), angle_words(bench.angle)),
    ]


def angle_words(radians: float) -> str:
    """An angle in degrees, to a tenth, as it is set."""
    return f"{degrees(radians):.1f}°"


def rest_rows(bench: Bench, unit: Unit) -> list[Row]:
    """All rows except those of `first_rows`."""
    return bench_rows(bench, unit)[2 if bench.faces == 1 else 3 :]


def _to_set(bench: Bench, unit: Unit) -> Iterator[Row]:
    yield from first_rows(bench, unit)
    yield _("Bevel slope"), f"1:{bench.run_for_one:.1f}"
    if abs(bench.set_angle - bench.angle) > 1e-4:
        lines = " / ".join(show(line, unit, fine=True) for line in bench.lines_as_set)
        yield _("Line with the jig at {degrees:g}°, before / finished", degrees=degrees(bench.set_angle)), f"{lines} {unit}"
    if bench.hollow is None:
        yield _("Shim under spine (starting gap)"), f"{reading(bench.gap, unit)} {unit}"


def _lines(bench: Bench, unit: Unit) -> Iterator[Row]:
    before, finished = _("Grind line, before hardening"), _("Grind line, finished")
    if bench.upright < _SLANTING:
        before = _("Grind line, before hardening, square to the edge")
        finished = _("Grind line, finished, square to the edge")
    for words, value in ((before, bench.line_before), (finished, bench.line_finished)):
        full = value >= bench.blade_height - 1e-6
        yield words, _("at the spine") if full else f"{show(value, unit, fine=True)} {unit}"
    rise = f"{show(bench.creep * HABITS[unit].ground, unit, fine=True)} {unit}"
    yield _("Grind line climbs, per {least} off the edge", least=_least(unit)), rise


def _hollow(bench: Bench, unit: Unit) -> Iterator[Row]:
    if bench.hollow is not None:
        yield _("Contact wheel"), f"{show(bench.hollow.wheel, unit)} {unit}"
        yield _("Wheel contact, above the edge"), f"{show(bench.hollow.middle, unit, fine=True)} {unit}"
        yield _("Hollow depth, at its middle"), f"{reading(bench.hollow.deep, unit)} {unit}"
        least = bench.hollow.thinnest
        if least.above_edge > 0 and isfinite(least.thickness):
            thickness, above = reading(least.thickness, unit), show(least.above_edge, unit, fine=True)
            at = _("{thickness} at {above} {unit}", thickness=thickness, above=above, unit=unit)
            yield _("Thinnest, above the edge"), at


def _edge(bench: Bench, unit: Unit) -> Iterator[Row]:
    spine = f"{reading(bench.thickness_before, unit)} / {reading(bench.thickness_finished, unit)} {unit}"
    yield _("Spine before / finished"), spine
    yield from _along(bench, unit)
    edge = f"{reading(bench.edge_before, unit)} / {reading(bench.edge_finished, unit)} {unit}"
    yield _("Edge: before hardening / before sharpening"), edge
    yield _("Off each face after hardening"), f"{reading(bench.face_allowance, unit)} {unit}"
    sharpen = _("Sharpen at, on the one face") if bench.faces == 1 else _("Sharpen at, each side")
    yield sharpen, f"{bench.edge_angle:g}°"
    if bench.facet is not None and bench.facet.width > 0:
        facet = f"{reading(bench.facet.width, unit)} / {reading(bench.facet.height, unit)} {unit}"
        yield _("Edge facet, width / height"), facet
    yield (
        _("Height lost, per {least} off each facet", least=_least(unit)),
        f"{reading(bench.sharpening * HABITS[unit].ground, unit)} {unit}",
    )


def _along(bench: Bench, unit: Unit) -> Iterator[Row]:
    """The grinds of the spine: distal taper and swedge."""
    if bench.taper is not None:
        yield _("Distal taper begins, from the front"), f"{show(bench.taper.begins, unit)} {unit}"
        both = f"{reading(bench.taper.before, unit)} / {reading(bench.taper.finished, unit)} {unit}"
        yield _("Spine {length} {unit} behind tip", length=show(INCH / 2, unit), unit=unit), both
    if bench.swedge is not None:
        length, high, thickness = bench.swedge
        yield _("Swedge, length / height"), f"{show(length, unit)} / {show(high, unit)} {unit}"
        yield _("Spine left at the swedge"), f"{reading(thickness, unit)} {unit}"


def _stone(bench: Bench, unit: Unit) -> Iterator[Row]:
    plain, in_jig = bench.rests
    if plain is not None:
        stone = f"{show(bench.stone, unit)} {unit}"
        yield _("Round stone of {stone}, center to rest", stone=stone), f"{show(plain, unit, fine=True)} {unit}"
    if in_jig is not None:
        yield _("Same, with the jig's offset"), f"{show(in_jig, unit, fine=True)} {unit}"


def mass_rows(weighed: Masses, unit: Unit, piece: float | None = None) -> list[Row]:
    """Mass, balance and steel ground away; `piece`: mm3 of bar that the blank takes, if the bar is known."""
    x, ground = weighed.balance[0], weighed.ground_before + weighed.ground_after
    balance = _("Balance, ahead of the handle front") if x >= 0 else _("Balance, behind the handle front")
    rows = [
        (_("Blank, cut to the line"), mass_words(weighed.blank_mass, unit)),
        (_("Steel, finished"), mass_words(weighed.blade_mass, unit)),
        (_("With handle"), mass_words(weighed.knife_mass, unit)),
        (balance, f"{show(abs(x), unit)} {unit}"),
        (_("Moment about the front"), _moment(weighed.moment, unit)),
        (_("Ground away before hardening"), _ground(weighed.ground_before, weighed.density, unit)),
        (_("Ground away after hardening"), _ground(weighed.ground_after, weighed.density, unit)),
        (_("Ground away, of the blank"), f"{ground / weighed.cut_to_line.volume:.0%}"),
    ]
    return [*rows, (_("Ground away, of its piece of bar"), f"{ground / piece:.0%}")] if piece else rows


def _least(unit: Unit) -> str:
    """The smallest step to grind by."""
    return f"{HABITS[unit].ground / HABITS[unit].mm:.3g} {unit}"


def heat_words(celsius: float, unit: Unit) -> str:
    """A temperature in degrees Celsius; with inches, in Fahrenheit first."""
    return f"{celsius:g} °C" if HABITS[unit].metric else f"{celsius * 1.8 + 32:.0f} °F ({celsius:g} °C)"


def grams(mass: float) -> str:
    """A mass to the gram, or to the tenth below 20 g."""
    return f"{mass:.1f} g" if mass < 20 else f"{mass:.0f} g"


def mass_words(mass: float, unit: Unit) -> str:
    """A mass in grams; with inches, in ounces first."""
    return grams(mass) if HABITS[unit].metric else f"{mass / _OUNCE:.1f} oz, {grams(mass)}"


def change_words(mass: float, unit: Unit) -> str:
    """A change of mass with its sign."""
    return f"{mass:+.1f} g" if HABITS[unit].metric else f"{mass / _OUNCE:+.2f} oz"


def _moment(moment: float, unit: Unit) -> str:
    return f"{moment:+.0f} N mm" if HABITS[unit].metric else f"{moment / _OUNCE_INCH:+.1f} oz in"


def _ground(volume: float, density: float, unit: Unit) -> str:
    room = _("{volume:.1f} cm³", volume=volume / 1000) if HABITS[unit].metric else _("{volume:.2f} in³", volume=volume / INCH**3)
    return f"{grams(volume * density / 1000)}, {room}"
