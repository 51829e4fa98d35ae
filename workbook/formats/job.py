"""The job file: TOML a maker writes -> `Job`. Every mistake is reported at once, with its place and what would be right.

The table of keys is in the README of the project; places count tables from 1, as in `template[2].grind.height`.
"""

import re
import tomllib
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from workbook.formats.family import as_form, family, family_ids, form_words
from workbook.formats.fields import REQUIRED, Key, Reader, choice, length, money, number, text, whole, yes_no
from workbook.problems import JobError, Mistake
from workbook.shop.job import AnyTemplate, Bar, Cutting, Job, Make, Measured, PricePer, Saw, Settings
from workbook.shop.money import NOTHING
from workbook.template.drawn import DrawnTemplate
from workbook.template.model import GROUPS, Bevel, HoleWish, Purpose, Template
from workbook.template.parameters import Kind, Parameter, of_group
from workbook.units import as_fraction, as_millimetres

OutlineReader = Callable[[str, str | None], DrawnTemplate]  # file name, unit asked for -> outline; raises JobError

_TOP = ("job", "saw", "settings", "template", "bar", "make")
_JOB = {
    "name": Key(text, "Untitled job"),
    "units": Key(choice(("in", "mm")), "in"),
    "currency": Key(text, "USD"),
}
_NEVER_NEGATIVE = length(0, 100)
_SAW = {
    "kerf": Key(length(0, 20), Saw().kerf),
    "clean_up": Key(length(0, 20), Saw().clean_up),
    "bar_end": Key(_NEVER_NEGATIVE, Saw().bar_end),
    "bar_edge": Key(_NEVER_NEGATIVE, None),
    "tilt": Key(number(0, 15, words="degrees"), 0.0),
    "cutting": Key(choice(tuple(Cutting), Cutting), Cutting.LINE),
}
_SETTINGS = {
    "keep_offcut": Key(length(0, 5000), Settings().keep_offcut),
    "credit_offcuts": Key(yes_no, True),
    "bar_under": Key(length(0, 5), Settings().under),
    "bar_over": Key(length(0, 10), Settings().over),
    "tang_clearance": Key(length(0, 3), Settings().tang_clearance),
    "smallest_radius": Key(length(0, 50), Settings().smallest_radius),
    "web": Key(length(0, 50), Settings().web),
}
_HOLE = {
    "purpose": Key(choice(tuple(Purpose), Purpose)),
    "size": Key(length(0.3, 40)),
    "x": Key(length(-1000, 1000)),
    "y": Key(length(-200, 200), 0.0),
}
_BAR = {
    "name": Key(text, None),
    "steel": Key(text, None),
    "thickness": Key(length(0.2, 60)),
    "width": Key(length(3, 1500)),
    "length": Key(length(10, 10000)),
    "price": Key(money, NOTHING),
    "per": Key(choice(tuple(PricePer), PricePer), PricePer.BAR),
    "shipping": Key(money, NOTHING),
    "cut_charge": Key(money, NOTHING),
    "have": Key(whole(0, 1000), 0),
    "buy": Key(yes_no, None),
    "offcut": Key(yes_no, False),
    "measured": Key(lambda value, reader: value, {}),
}
_MEASURED = {name: Key(length(0.1, 10000), None) for name in ("thickness", "width", "length")}
_MAKE = {"template": Key(text), "steel": Key(text, None), "quantity": Key(whole(1, 1000), 1)}


def read_job(source: str, outline: OutlineReader) -> Job:
    """The job in a TOML text. `outline` fetches outlines named in it. Raises JobError with every mistake."""
    data = _parsed(source)
    reader = Reader()
    for name in data.keys() - set(_TOP):
        reader.unknown("", name, list(_TOP))
    head = reader.table(data.get("job", {}), "job", _JOB)
    reader.unit = head["units"] or "in"
    templates = _templates(reader, data.get("template"), outline)
    bars, make = _bars(reader, data.get("bar")), _make(reader, data.get("make"))
    steels = sorted({m["steel"] for _, m in make if m["steel"]} | {b["steel"] for _, b in bars if b["steel"]})
    job = Job(
        name=head["name"],
        unit=reader.unit,
        currency=head["currency"].upper(),
        saw=Saw(**reader.table(data.get("saw", {}), "saw", _SAW)),
        settings=_settings(reader, data.get("settings", {})),
        templates=tuple(t for _, t in templates),
        bars=tuple(b for b in (_bar(reader, place, values, steels) for place, values in bars) if b),
        make=tuple(m for m in (_wish(reader, place, values, steels) for place, values in make) if m),
    )
    _cross_check(reader, job, [place for place, _ in make])
    if reader.mistakes:
        raise JobError(reader.mistakes)
    return replace(job, defaults=tuple(reader.defaults))


def _parsed(source: str) -> dict[str, Any]:
    if not source.strip():
        raise JobError([Mistake(place="file", what="is empty.", right="A job needs [[template]], [[bar]] and [[make]].")])
    try:
        return tomllib.loads(source)
    except tomllib.TOMLDecodeError as trouble:
        where = re.search(r"\(at (.*)\)", str(trouble))
        what = re.sub(r"\s*\(at .*\)", "", str(trouble)).lower()
        right = 'Each line reads key = "value"; texts and lengths with units stand in quotes.'
        place = where[1] if where else "file"
        raise JobError([Mistake(place=place, what=f"cannot be read as TOML: {what}.", right=right)]) from None
    except RecursionError:
        raise JobError([Mistake(place="file", what="is nested too deeply to be a job.")]) from None


def _settings(reader: Reader, data: Any) -> Settings:
    values = reader.table(data, "settings", _SETTINGS)
    return Settings(under=values.pop("bar_under"), over=values.pop("bar_over"), **values)


def _templates(reader: Reader, data: Any, outline: OutlineReader) -> list[tuple[str, AnyTemplate]]:
    if data is None:
        reader.wrong(
            "template",
            "is missing.",
            'A job needs at least one [[template]] with a name and a family, such as "petty".',
        )
        return []
    read = [(place, _template(reader, place, item, outline)) for place, item in reader.each(data, "template")]
    found = [(place, t) for place, t in read if t is not None]
    for name, count in Counter(t.name for _, t in found).items():
        if count > 1:
            reader.wrong("template", f"the name “{name}” stands on {count} templates;", "give each its own.")
    return found


def _template(reader: Reader, place: str, data: Any, outline: OutlineReader) -> AnyTemplate | None:
    if not isinstance(data, dict):
        reader.wrong(place, "a table of keys is wanted here")
        return None
    if "outline" in data:
        return _drawn(reader, place, data, outline)
    keys = {"name": Key(text), "family": Key(choice(family_ids()))}
    parts = {group: data[group] for group in GROUPS if group in data}
    own = {k: v for k, v in data.items() if k not in GROUPS and k != "hole"}
    head = reader.table(own, place, keys)
    groups = {group: _group(reader, f"{place}.{group}", group, part) for group, part in parts.items()}
    holes = _holes(reader, place, data["hole"]) if "hole" in data else None
    if not head["family"] or not head["name"]:
        return None
    base = family(head["family"])
    for group in GROUPS:
        _note_defaults(reader, place, base, group, groups.get(group, {}))
    changed = {group: replace(getattr(base, group), **values) for group, values in groups.items()}
    template = replace(base, name=head["name"], holes=holes, **changed)
    _scandi_height(reader, place, template, groups.get("grind", {}))
    return template


def _note_defaults(reader: Reader, place: str, base: Template, group: str, given: dict[str, Any]) -> None:
    for parameter in of_group(group):
        if parameter.key not in given and parameter.applies(base):
            value = parameter.value(base)
            shown = value if parameter.kind in (Kind.LENGTH, Kind.FINE) else str(value)
            reader.used_default(f"{place}.{parameter.path}", "full" if value is None else shown)


def _scandi_height(reader: Reader, place: str, template: Template, given: dict[str, Any]) -> None:
    if template.grind.bevel is Bevel.SCANDI and given.get("height") is not None:
        reader.wrong(
            f"{place}.grind.height",
            "a Scandi bevel's height follows from its angle;",
            "leave out height, or choose another bevel.",
        )


def _group(reader: Reader, place: str, group: str, data: Any) -> dict[str, Any]:
    """Only the values given: what is left out stays as the family has it."""
    parameters = {p.key: p for p in of_group(group)}
    if not isinstance(data, dict):
        reader.wrong(place, "a table of keys is wanted here")
        return {}
    for name in data.keys() - parameters.keys():
        reader.unknown(place, name, list(parameters))
    keys = {name: Key(_kind(parameters[name]), REQUIRED) for name in data.keys() & parameters.keys()}
    given = {name: data[name] for name in parameters if name in keys and not (group == "grind" and data[name] == "full")}
    values = reader.table(given, place, {name: keys[name] for name in given})
    whole_height = {"height": None} if group == "grind" and data.get("height") == "full" else {}
    return {**{name: value for name, value in values.items() if value is not None}, **whole_height}


def _kind(parameter: Parameter) -> Any:
    """How a parameter is written in a job: lengths with units; shares and angles as plain numbers."""
    low = parameter.low if isinstance(parameter.low, (int, float)) else 0.0
    high = parameter.high if isinstance(parameter.high, (int, float)) else 1000.0
    group = type(getattr(family(family_ids()[0]), parameter.group))
    match parameter.kind:
        case Kind.LENGTH | Kind.FINE:
            return length(low, high)
        case Kind.SHARE | Kind.NUMBER:
            return number(low, min(high, 1.0))
        case Kind.ANGLE:
            return number(low, high, words="degrees")
        case Kind.CHOICE:
            return choice(form_words(group, parameter.key) or (), lambda word: as_form(group, parameter.key, word))
        case Kind.TEXT:
            return text


def _holes(reader: Reader, place: str, data: Any) -> tuple[HoleWish, ...]:
    read = [reader.table(item, spot, _HOLE) for spot, item in reader.each(data, f"{place}.hole")]
    return tuple(HoleWish(**values) for values in read if None not in values.values())


def _drawn(reader: Reader, place: str, data: dict[str, Any], outline: OutlineReader) -> DrawnTemplate | None:
    keys = {
        "name": Key(text),
        "outline": Key(text),
        "units": Key(choice(("in", "mm", "cm", "m", "ft")), None),
        "blade": Key(lambda value, reader: value, {}),
    }
    for group in data.keys() & {"grind", "handle", "point", "heel", "tang", "hole", "family"}:
        reader.wrong(f"{place}.{group}", "does not go with an outline from a file;", "leave it out, or name a family instead.")
    head = reader.table({k: v for k, v in data.items() if k in keys or k not in (*GROUPS, "hole", "family")}, place, keys)
    blade = reader.table(head["blade"], f"{place}.blade", {"thickness": Key(length(0.2, 60))})
    if not head["outline"] or not head["name"] or not blade["thickness"]:
        return None
    try:
        found = outline(head["outline"], head["units"])
    except JobError as trouble:
        reader.mistakes += [replace(m, place=f"{place}.outline: {head['outline']}, {m.place}") for m in trouble.mistakes]
        return None
    return replace(found, name=head["name"], thickness=blade["thickness"])


def _bars(reader: Reader, data: Any) -> list[tuple[str, dict[str, Any]]]:
    if data is None:
        reader.wrong("bar", "is missing.", "A job needs at least one [[bar]] with thickness, width and length.")
        return []
    return [(place, reader.table(item, place, _BAR)) for place, item in reader.each(data, "bar")]


def _bar(reader: Reader, place: str, values: dict[str, Any], steels: list[str]) -> Bar | None:
    measured = Measured(**reader.table(values.pop("measured") or {}, f"{place}.measured", _MEASURED))
    steel = values.pop("steel") or _only(reader, f"{place}.steel", steels)
    if steel is None or None in (values["thickness"], values["width"], values["length"]):
        return None
    buy = values.pop("buy")
    name = values.pop("name") or f"{steel} {_size(values, reader)}"
    return Bar(name=name, steel=steel, buy=values["have"] == 0 if buy is None else buy, measured=measured, **values)


def _size(values: dict[str, Any], reader: Reader) -> str:
    shown = as_fraction if reader.unit == "in" else as_millimetres
    return " x ".join(shown(values[key]) for key in ("thickness", "width", "length"))


def _only(reader: Reader, place: str, steels: list[str]) -> str | None:
    """The one steel the job speaks of, where a steel was left out."""
    if len(steels) == 1:
        reader.used_default(place, steels[0])
        return steels[0]
    reader.wrong(place, "is missing.", 'Write the steel, as in steel = "52100".')
    return None


def _make(reader: Reader, data: Any) -> list[tuple[str, dict[str, Any]]]:
    if data is None:
        reader.wrong("make", "is missing.", "A job needs at least one [[make]] with template, steel and quantity.")
        return []
    return [(place, reader.table(item, place, _MAKE)) for place, item in reader.each(data, "make")]


def _wish(reader: Reader, place: str, values: dict[str, Any], steels: list[str]) -> Make | None:
    steel = values["steel"] or _only(reader, f"{place}.steel", steels)
    if values["template"] is None or steel is None or values["quantity"] is None:
        return None
    return Make(template=values["template"], steel=steel, quantity=values["quantity"])


def _cross_check(reader: Reader, job: Job, places: list[str]) -> None:
    """What only shows when the tables are seen together: templates and steels that are named but not there."""
    names = [t.name for t in job.templates]
    steels = {b.steel.casefold(): b.steel for b in job.bars}
    for place, wish in zip(places, job.make, strict=False):
        if names and wish.template not in names:
            right = f"the job has {', '.join(f'“{n}”' for n in names)}."
            reader.wrong(f"{place}.template", f"no [[template]] is called “{wish.template}”;", right)
        if steels and wish.steel.casefold() not in steels:
            right = f"the bars are of {', '.join(sorted(steels.values()))}."
            reader.wrong(f"{place}.steel", f"no [[bar]] is of “{wish.steel}”;", right)
    for name, count in Counter(b.name for b in job.bars).items():
        if count > 1:
            reader.wrong(
                "bar",
                f"the name “{name}” stands on {count} bars;",
                "give each its own, and use have for how many there are.",
            )
    if sum(wish.quantity for wish in job.make) > 2000:
        reader.wrong("make", "more than 2000 blanks in one job;", "split it into several.")
