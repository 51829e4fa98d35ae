"""Read a job file, TOML that a maker writes, into a `Job`. All mistakes are reported at once, each with its place and its remedy.

The table of keys is in the README of the project; places count tables from 1, as in `template[2].grind.height`.
"""

import re
import tomllib
from collections import Counter
from collections.abc import Iterator
from typing import Any

from workbook.document.records import SettingsRecord
from workbook.formats.fields import Key, Reader, choice, yes_no
from workbook.formats.job_keys import keys_of, named, read_of
from workbook.formats.job_template import OutlineReader, read_templates
from workbook.problems import JobError, Mistake
from workbook.region import USUAL
from workbook.sheath.fields import RULES
from workbook.sheath.rules import SheathRules
from workbook.shop.fields import MOST_BLANKS
from workbook.shop.job import MOST_SLANT, NOMINAL, Bar, Choice, Cutting, Edges, Job, Make, Measured, Rules, Saw, may_be_read
from workbook.structs import replace
from workbook.template.service import Service
from workbook.template.tools import Owned
from workbook.texts import _
from workbook.units import HABITS, show, size

_TOP = ("job", "saw", "settings", "tools", "service", "sheath", "template", "bar", "make")
_JOB = {
    "name": Key(read_of(SettingsRecord, "name"), "Untitled job"),
    "units": Key(choice(tuple(HABITS)), "in"),
    "currency": Key(read_of(SettingsRecord, "currency"), "USD"),
    "region": Key(read_of(SettingsRecord, "region"), USUAL),
}
_SAW, _SERVICE, _SHEATH = keys_of(Saw), keys_of(Service), keys_of(SheathRules)
_SETTINGS = keys_of(Rules)
_TOOLS = keys_of(Owned)
_BAR = keys_of(Bar) | {
    "name": Key(read_of(Bar, "name"), None),
    "steel": Key(read_of(Bar, "steel"), None),
    "buy": Key(yes_no, None),
    "measured": Key(lambda value, reader: value, {}),
}
_MEASURED = keys_of(Measured)
_NOMINAL = {"middle": "thickness", "far": "thickness"}  # the nominal size of a reading, where its name differs
_MAKE = keys_of(Make) | {"steel": Key(read_of(Make, "steel"), None), "quantity": Key(read_of(Make, "quantity"), 1)}


_MOST_DOTS = 100  # in one line: the time to read a dotted key grows with the square of its length


def read_job(source: str, outline: OutlineReader) -> Job:
    """Read the job in a TOML text. `outline` reads the outlines named in it. Raises JobError with every mistake."""
    data = _parsed(source)
    reader = Reader()
    for name in (name for name in data if name not in _TOP):
        reader.unknown("", name, list(_TOP))
    head = reader.table(data.get("job", {}), "job", _JOB)
    reader.unit = head["units"] or "in"
    templates = read_templates(reader, data.get("template"), outline)
    bars, make = _bars(reader, data.get("bar")), _make(reader, data.get("make"))
    bar_steels, make_steels = ({v["steel"] for _, v in tables if v["steel"]} for tables in (bars, make))
    wishes = [
        (place, wish) for place, values in make if (wish := _wish(reader, place, values, sorted(bar_steels or make_steels)))
    ]
    job = Job(
        name=head["name"],
        unit=reader.unit,
        currency=head["currency"].upper(),
        region=head["region"],
        saw=_saw(reader, data.get("saw", {})),
        settings=_settings(reader, data.get("settings", {})),
        tools=Owned(**reader.table(data.get("tools", {}), "tools", _TOOLS)),
        service=Service(**reader.table(data.get("service", {}), "service", _SERVICE)),
        sheath=_sheath(reader, data.get("sheath", {})),
        templates=templates,
        bars=tuple(b for b in (_bar(reader, place, values, sorted(make_steels or bar_steels)) for place, values in bars) if b),
        make=tuple(wish for _, wish in wishes),
    )
    job = replace(job, chosen=tuple(_chosen(reader, data.get("template"), job)))
    _cross_check(reader, job, [place for place, _ in wishes], _names(data.get("template")))
    if reader.mistakes:
        raise JobError(reader.mistakes)
    return replace(job, defaults=tuple(reader.defaults))


def _parsed(source: str) -> dict[str, Any]:
    if not source.strip():
        raise JobError(
            [Mistake(place=_("file"), what=_("is empty."), right=_("A job needs [[template]], [[bar]] and [[make]]."))]
        )
    for row, line in enumerate(source.split("\n"), 1):
        if line.count(".") > _MOST_DOTS:
            raise JobError(
                [
                    Mistake(
                        place=_("line {row}", row=row),
                        what=_("has more than {most_dots} dots, too many for a line of a job.", most_dots=_MOST_DOTS),
                    )
                ]
            )
    try:
        return tomllib.loads(source)
    except tomllib.TOMLDecodeError as trouble:
        position = re.search(r"\(at (.*)\)", str(trouble))
        text = re.sub(r"\s*\(at .*\)", "", str(trouble)).lower()
        right = _('Each line reads key = "value". Put text and lengths with units in quotes.')
        place = position[1] if position else _("file")
        raise JobError([Mistake(place=place, what=_("cannot be read as TOML: {what}.", what=text), right=right)]) from None
    except ValueError:
        raise JobError([Mistake(place=_("file"), what=_("has a number that is too long."))]) from None
    except RecursionError:
        raise JobError([Mistake(place=_("file"), what=_("is nested too deeply for a job."))]) from None


def _sheath(reader: Reader, data: Any) -> SheathRules:
    before = len(reader.mistakes)
    values = reader.table(data, "sheath", _SHEATH)
    if len(reader.mistakes) > before:
        return SheathRules()
    rules = SheathRules(**values)
    for key, what in RULES[SheathRules](rules):
        reader.mistakes.append(Mistake(place=f"sheath.{key}", what=what))
    return rules


def _saw(reader: Reader, data: Any) -> Saw:
    saw = Saw(**reader.table(data, "saw", _SAW))
    if saw.bar_edge is None:
        reader.used_length("saw.bar_edge", saw.edge_margin)
    return saw


def _settings(reader: Reader, data: Any) -> Rules:
    return Rules(**named(Rules, reader.table(data, "settings", _SETTINGS)))


def _bars(reader: Reader, data: Any) -> list[tuple[str, dict[str, Any]]]:
    if data is None:
        reader.wrong("bar", _("is missing."), _("A job needs at least one [[bar]] with thickness, width and length."))
        return []
    return [(place, reader.table(item, place, _BAR)) for place, item in reader.each(data, "bar")]


def _bar(reader: Reader, place: str, values: dict[str, Any], steels: list[str]) -> Bar | None:
    measured = Measured(**reader.table(values.pop("measured") or {}, f"{place}.measured", _MEASURED))
    steel = values.pop("steel") or _only(reader, f"{place}.steel", steels)
    for name in ("thickness", "middle", "far", "width", "length"):
        _near_nominal(reader, f"{place}.measured.{name}", getattr(measured, name), values[_NOMINAL.get(name, name)])
    if steel is None or None in (values["thickness"], values["width"], values["length"]):
        return None
    if (values["slant"] or 0.0) > MOST_SLANT * values["length"]:
        reader.wrong(f"{place}.slant", _("is more than half the bar's length."), _("Is the unit right?"))
        return None
    for name, whole in (("corner_length", "length"), ("corner_width", "width")):
        if (values[name] or 0.0) >= values[whole]:
            reader.wrong(f"{place}.{name}", _("is as much as the bar itself."), _("Is the unit right?"))
            return None
    buy = values.pop("buy")
    if buy is None:
        reader.used_default(f"{place}.buy", str(values["have"] == 0).lower())
    name = values.pop("name")
    if name is None:
        name = f"{steel} {_size(values, reader)}"
        reader.used_default(f"{place}.name", name)
    return Bar(name=name, steel=steel, buy=values["have"] == 0 if buy is None else buy, measured=measured, **values)


def _near_nominal(reader: Reader, place: str, measured: float | None, nominal: float | None) -> None:
    """Record a reading that cannot be of this bar: a slipped decimal point, or another unit."""
    if measured and nominal and not may_be_read(measured, nominal):
        what = _(
            "{length} {unit} was measured on a bar of {nominal} {unit}.",
            length=show(measured, reader.unit, fine=True),
            nominal=show(nominal, reader.unit, fine=True),
            unit=reader.unit,
        )
        reader.wrong(place, what, _("Is the decimal point or the unit right?"))


def _size(values: dict[str, Any], reader: Reader) -> str:
    sizes = (values[key] for key in ("thickness", "width", "length"))
    return " x ".join(size(v, reader.unit) for v in sizes)


def _only(reader: Reader, place: str, steels: list[str]) -> str | None:
    """The only steel of the job, where a steel was left out; None, with a mistake recorded, when there is not exactly one."""
    if len(steels) == 1:
        reader.used_default(place, steels[0])
        return steels[0]
    reader.wrong(place, _("is missing."), _('Write the steel, e.g. steel = "52100".'))
    return None


def _make(reader: Reader, data: Any) -> list[tuple[str, dict[str, Any]]]:
    if data is None:
        reader.wrong("make", _("is missing."), _("A job needs at least one [[make]] with template, steel and quantity."))
        return []
    return [(place, reader.table(item, place, _MAKE)) for place, item in reader.each(data, "make")]


def _wish(reader: Reader, place: str, values: dict[str, Any], steels: list[str]) -> Make | None:
    steel = values["steel"] or _only(reader, f"{place}.steel", steels)
    if values["template"] is None or steel is None or values["quantity"] is None:
        return None
    return Make(template=values["template"], steel=steel, quantity=values["quantity"])


def _chosen(reader: Reader, templates: Any, job: Job) -> Iterator[tuple[str, Choice]]:
    """The bar each template's blades are made from, where the file names one."""
    names = [bar.name for bar in job.bars]
    for n, item in enumerate(templates if isinstance(templates, list) else (), 1):
        bar_name = item.get("bar") if isinstance(item, dict) else None
        if not bar_name or not isinstance(bar_name, str):
            continue
        if bar_name != NOMINAL and bar_name not in names:
            listed = ", ".join(f"“{name}”" for name in names)
            right = _('Allowed: "{nominal}", or one of {names}.', nominal=NOMINAL, names=listed)
            reader.wrong(f"template[{n}].bar", _("no [[bar]] is named “{wanted}”.", wanted=bar_name[:40]), right)
        elif isinstance(item.get("name"), str):
            yield item["name"], Choice(bar_name)


def _names(templates: Any) -> list[str]:
    """Every name given to a template, including one that could not be read."""
    return [
        t["name"]
        for t in (templates if isinstance(templates, list) else ())
        if isinstance(t, dict) and isinstance(t.get("name"), str)
    ]


def _cross_check(reader: Reader, job: Job, places: list[str], names: list[str]) -> None:
    """Record mistakes that show only across tables, such as templates and steels that are named but missing."""
    steels = {b.steel.casefold(): b.steel for b in job.bars}
    for place, wish in zip(places, job.make, strict=True):
        if names and wish.template not in names:
            right = _("The job has {names}.", names=", ".join(f"“{name}”" for name in names))
            reader.wrong(f"{place}.template", _("no [[template]] is named “{template}”.", template=wish.template), right)
        if steels and wish.steel.casefold() not in steels:
            right = _("Steels of the bars: {names}.", names=", ".join(sorted(steels.values())))
            reader.wrong(f"{place}.steel", _("no [[bar]] is of “{steel}”.", steel=wish.steel), right)
    for name, count in Counter(b.name for b in job.bars).items():
        if count > 1:
            reader.wrong(
                "bar",
                _("the name “{name}” is on {count} bars.", name=name, count=count),
                _("Give each its own name. Use have for the number on the rack."),
            )
    if job.saw.spine_on_edge and any(bar.edges is not Edges.MILL for bar in job.bars):
        right = _('Use false, or give every bar edges = "mill".')
        reader.wrong("saw.spine_on_edge", _("is for bars with mill edges only."), right)
    if job.settings.use_openings and job.saw.cutting is not Cutting.SERVICE:
        right = _('Use false, or cut with cutting = "service".')
        reader.wrong("settings.use_openings", _("needs a jet or a laser. No saw can reach into an opening."), right)
    if sum(wish.quantity for wish in job.make) > MOST_BLANKS:
        reader.wrong(
            "make", _("more than {most_blanks} blanks in one job.", most_blanks=MOST_BLANKS), _("Split it into several jobs.")
        )
