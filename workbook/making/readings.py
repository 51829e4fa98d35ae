"""Readings of a blade as a maker types them: one number for each place."""

from collections.abc import Sequence

from workbook.length_in import LengthError, parse_length
from workbook.making.entry import MeasuredAt
from workbook.number_in import NumberError, parse_number
from workbook.shop.labour import ASKS_WORDS, StageAsks
from workbook.texts import _, labelled, ngettext
from workbook.units import HABITS, Unit, reading

PLACES: dict[StageAsks, tuple[str, ...]] = {
    StageAsks.NOTHING: (),
    StageAsks.EDGE: ("heel", "middle", "point"),
    StageAsks.BOW: ("",),
    StageAsks.HARDNESS: ("",),
}
_WHERE = {"heel": _("heel"), "middle": _("middle"), "point": _("tip")}
_EDGE, _BOW = 0.5, 0.25  # mm, as examples; in inches their round neighbours
_ROUND = 1.016  # 0.5 mm are 0.0197 in: shown as 0.020
_MOST = 20.0  # mm of an edge or a bow
_HARDNESS = (10.0, 75.0)  # HRC


def readings_in(text: str, asks: StageAsks, unit: Unit) -> tuple[MeasuredAt, ...]:
    """Read what was measured: "0.020 0.021 0.022" at heel, middle and tip; a dash where nothing was read.

    Raises ValueError, which says what is wrong and what would be right.
    """
    parts, places = text.replace(";", " ").split(), PLACES[asks]
    if not places:
        raise ValueError(_("this stage asks for no reading"))
    if len(parts) != len(places):
        wanted = ", ".join(where_words(place) for place in places if place) or ASKS_WORDS[asks]
        raise ValueError(ngettext("{count} needed: {wanted}", "{count} needed: {wanted}", len(places), wanted=wanted))
    found = [
        MeasuredAt(what=str(asks), where=where, value=_value(part, asks, unit))
        for part, where in zip(parts, places, strict=True)
        if part not in ("-", "–")
    ]
    if not found:
        raise ValueError(_("no reading is given"))
    return tuple(found)


def _value(text: str, asks: StageAsks, unit: Unit) -> float:
    if asks is StageAsks.HARDNESS:
        return float(parse_number(text, *_HARDNESS))
    try:
        return parse_length(text, unit, (0.0, _MOST))
    except LengthError as trouble:
        raise NumberError(str(trouble)) from None


def example_of(asks: StageAsks, unit: Unit) -> str:
    """What stands in the empty field."""
    edge, bow = (mm if HABITS[unit].metric else mm * _ROUND for mm in (_EDGE, _BOW))
    edges = " ".join([reading(edge, unit)] * len(PLACES[StageAsks.EDGE]))
    return {StageAsks.EDGE: edges, StageAsks.BOW: reading(bow, unit), StageAsks.HARDNESS: "61"}.get(asks, "")


def asked_words(asks: StageAsks, name: str) -> str:
    """What is to be read, and where: "edge: heel, middle, point"."""
    places = ", ".join(where_words(place) for place in PLACES[asks] if place)
    return labelled(name, places) if places else name


def where_words(place: str) -> str:
    """What a place of an edge is called; as it was stored, where it is another."""
    return _WHERE.get(place, place)


def _what_words(measured: MeasuredAt) -> str:
    return next((words for asks, words in ASKS_WORDS.items() if asks == measured.what), measured.what)


def reading_words(measured: MeasuredAt, unit: Unit) -> str:
    """A reading in words: "edge at the heel 0.020 in"."""
    hard = measured.what == StageAsks.HARDNESS
    value = _("{value:g} HRC", value=measured.value) if hard else f"{reading(measured.value, unit)} {unit}"
    if measured.where:
        return _("{what}, {where}: {value}", what=_what_words(measured), where=where_words(measured.where), value=value)
    return labelled(_what_words(measured), value)


def readings_words(measured: Sequence[MeasuredAt], unit: Unit) -> str:
    """The last readings of a stage in a line: "edge 0.020, 0.020, 0.018 in"."""
    last = {(each.what, each.where): each for each in measured}
    hard = [each for each in last.values() if each.what == StageAsks.HARDNESS]
    lengths = [each for each in last.values() if each.what != StageAsks.HARDNESS]
    parts = [reading_words(each, unit) for each in hard]
    for what in dict.fromkeys(_what_words(each) for each in lengths):
        values = ", ".join(reading(each.value, unit) for each in lengths if _what_words(each) == what)
        parts.append(_("{what} {values} {unit}", what=what, values=values, unit=unit))
    return ", ".join(parts)
