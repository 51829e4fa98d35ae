"""`Job` -> the text of a job file that reads as that job. Lengths are written in mm."""

import json
from collections.abc import Iterator, Mapping
from enum import StrEnum
from typing import Any

from msgspec.structs import fields

from workbook.formats.family import family
from workbook.shop.job import AnyTemplate, Bar, Job, Measured, Saw, Settings
from workbook.template.model import Bevel, Rolling, Template
from workbook.template.parameters import PARAMETERS, Kind
from workbook.template.pegs import free_of
from workbook.template.service import Service
from workbook.template.tools import Owned

_SAW_LENGTHS = ("kerf", "clean_up", "bar_end", "bar_edge", "sawn_edge", "sheared_edge", "band", "tightest_radius")
_SERVICE_LENGTHS = ("smallest_hole", "inside_radius", "drilled_under", "kerf", "tab")
_RULES = {"under": "bar_under", "over": "bar_over"}  # named otherwise in the file
_RULE_LENGTHS = ("keep_offcut", "under", "over", "tang_clearance", "smallest_radius", "web", "hand_breadth")


def job_text(job: Job, outlines: Mapping[str, str]) -> str:
    """The job as TOML. `outlines`: the file beside it that holds each drawn template's outline."""
    parts = [
        _table("[job]", {"name": job.name, "units": job.unit, "currency": job.currency}),
        _table("[saw]", _saw(job.saw)),
        _table("[settings]", _rules(job.settings)),
    ]
    if job.tools != Owned():
        parts.append(_table("[tools]", _tools(job.tools)))
    if job.service != Service():
        parts.append(_table("[service]", _service(job.service)))
    chosen = {name: choice.bar for name, choice in job.chosen if not choice.cut}  # what was cut is no job's
    parts += [part for template in job.templates for part in _template(template, outlines, chosen.get(template.name))]
    parts += [part for bar in job.bars for part in _bar(bar)]
    parts += [_table("[[make]]", {"template": m.template, "steel": m.steel, "quantity": m.quantity}) for m in job.make]
    return "\n".join(parts)


def _table(head: str, values: Mapping[str, Any]) -> str:
    """A table of what is not None."""
    lines = [f"{key} = {_value(value)}" for key, value in values.items() if value is not None]
    return "\n".join([head, *lines, ""])


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, tuple):
        return f"[{', '.join(_value(item) for item in value)}]"
    if isinstance(value, int | float):
        return repr(value)
    return json.dumps(str(value), ensure_ascii=False)  # JSON's escapes are TOML's


def _mm(value: float | None) -> str | None:
    """A length to the millionth of a mm."""
    return None if value is None else f"{round(value, 6) + 0.0:.6f}".rstrip("0").rstrip(".") + " mm"


def _saw(saw: Saw) -> dict[str, Any]:
    lengths = {name: _mm(getattr(saw, name)) for name in _SAW_LENGTHS}
    return {**lengths, "spine_on_edge": saw.spine_on_edge, "tilt": saw.tilt, "cutting": saw.cutting}


def _rules(rules: Settings) -> dict[str, Any]:
    lengths = {_RULES.get(name, name): _mm(getattr(rules, name)) for name in _RULE_LENGTHS}
    switches = {name: getattr(rules, name) for name in ("credit_offcuts", "offcuts_first", "use_openings")}
    return {**lengths, **switches, **{name: getattr(rules, name) for name in ("quench", "heat", "soak")}}


def _tools(tools: Owned) -> dict[str, Any]:
    """Those that were named."""
    lengths = ("gauge_step", "stone", "projection", "rest", "jig_offset")
    values: dict[str, Any] = {
        "wheels": tuple(_mm(size) for size in tools.wheels),
        "files": tuple(_mm(size) for size in tools.files),
    }
    values |= {"drills": tools.drills, "angle_step": tools.angle_step}
    values |= {name: _mm(getattr(tools, name)) for name in lengths}
    return {name: value for name, value in values.items() if getattr(tools, name) != getattr(Owned(), name)}


def _service(service: Service) -> dict[str, Any]:
    sizes = {name: _mm(getattr(service, name)) for name in _SERVICE_LENGTHS}
    return {**{name: getattr(service, name) for name in ("name", "version", "hole_share", "tabs")}, **sizes}


def _template(template: AnyTemplate, outlines: Mapping[str, str], bar: str | None) -> Iterator[str]:
    rolling = None if template.rolling is Rolling.ALONG else template.rolling
    if not isinstance(template, Template):
        own = {"name": template.name, "outline": outlines[template.name], "rolling": rolling, "bar": bar}
        yield _table("[[template]]", own)
        yield _table("[template.blade]", {"thickness": _mm(template.thickness)})
        return
    yield _table("[[template]]", {"name": template.name, "family": template.family, "rolling": rolling, "bar": bar})
    changed = _changed(template)
    for group in dict.fromkeys(path.split(".")[0] for path in changed):
        values = {path.split(".")[1]: value for path, value in changed.items() if path.startswith(f"{group}.")}
        yield _table(f"[template.{group}]", values)
    for point in free_of(template):
        pulled = {"along": _mm(point.x), "up": _mm(point.y)}
        yield _table("[[template.free]]", {"run": point.run, "at": float(point.at), **pulled})
    for hole in template.holes or ():
        values = {"purpose": hole.purpose, "size": _mm(hole.size), "x": _mm(hole.x), "y": _mm(hole.y)}
        yield _table("[[template.hole]]", values)


def _changed(template: Template) -> dict[str, Any]:
    """The parameters that are not as the family has them, as they are written."""
    base = family(template.family)
    found = {}
    for parameter in PARAMETERS:
        value = parameter.value(template)
        derived = parameter.path == "grind.height" and template.grind.bevel is Bevel.SCANDI  # a reader refuses it
        if value != parameter.value(base) and not derived:
            found[parameter.path] = _written(parameter.kind, value)
    return found


def _written(kind: Kind, value: Any) -> Any:
    if value is None:
        return "full"
    if isinstance(value, StrEnum):
        return value
    if kind is Kind.TEXT:
        return value
    return _mm(value) if kind in (Kind.LENGTH, Kind.FINE) else float(value)


def _bar(bar: Bar) -> Iterator[str]:
    sizes = {name: _mm(getattr(bar, name)) for name in ("thickness", "width", "length")}
    money = {name: getattr(bar, name) for name in ("price", "per", "shipping", "cut_charge")}
    rest = {"have": bar.have, "buy": bar.buy, "offcut": bar.offcut, "edges": bar.edges, "hot_rolled": bar.hot_rolled}
    said = {name: getattr(bar, name) or None for name in ("heat", "origin", "kept_at")}
    slant = {"slant": _mm(bar.slant) if bar.slant else None}
    yield _table("[[bar]]", {"name": bar.name, "steel": bar.steel, **sizes, **slant, **money, **rest, **said})
    if bar.measured != Measured():
        read = {field.name: _mm(getattr(bar.measured, field.name)) for field in fields(Measured)}
        yield _table("[bar.measured]", read)
