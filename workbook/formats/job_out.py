"""Write a `Job` as the text of a job file that reads back as that job. Lengths are written in mm."""

import json
from collections.abc import Iterator, Mapping
from enum import StrEnum
from typing import Any

from workbook.document.fields import FIELDS
from workbook.fields import LENGTHS, Field
from workbook.formats.family import family
from workbook.sheath.rules import SheathRules
from workbook.shop.job import AnyTemplate, Bar, Job
from workbook.structs import replace
from workbook.template.model import Bevel, Rolling, Template
from workbook.template.parameters import PARAMETERS, Kind
from workbook.template.pegs import free_of
from workbook.template.service import Service
from workbook.template.tools import Owned


def job_text(job: Job, outlines: Mapping[str, str]) -> str:
    """The job as TOML. `outlines`: by template name, the file beside it that holds each drawn outline."""
    parts = [
        _table("[job]", {"name": job.name, "units": job.unit, "currency": job.currency, "region": job.region}),
        _table("[saw]", _values(job.saw)),
        _table("[settings]", _values(job.settings)),
    ]
    if job.tools != Owned():
        tools = {name: value for name, value in _values(job.tools).items() if getattr(job.tools, name) != getattr(Owned(), name)}
        parts.append(_table("[tools]", tools))
    if job.service != Service():
        parts.append(_table("[service]", _values(job.service)))
    if job.sheath != SheathRules():
        parts.append(_table("[sheath]", _values(job.sheath)))
    bar_names = {key: choice.bar for key, choice in job.chosen if not choice.cut}  # cut blanks are not part of a job file
    for key, template in zip(job.keys, job.templates, strict=True):
        parts += _template(template, outlines, bar_names.get(key))
    parts += [part for bar in job.bars for part in _bar(bar)]
    parts += [_table("[[make]]", _values(replace(m, template=job.template(m.template).name))) for m in job.make]
    return "\n".join(parts)


def _table(head: str, values: Mapping[str, Any]) -> str:
    """A table of the values that are not None."""
    lines = [f"{key} = {_value(value)}" for key, value in values.items() if value is not None]
    return "\n".join([head, *lines, ""])


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, tuple):
        return f"[{', '.join(_value(item) for item in value)}]"
    if isinstance(value, int | float):
        return repr(value)
    return json.dumps(str(value), ensure_ascii=False)  # TOML has the escapes of JSON


def _mm(value: float | None) -> str | None:
    """A length in mm to six decimals."""
    return None if value is None else f"{round(value, 6) + 0.0:.6f}".rstrip("0").rstrip(".") + " mm"


def _values(owner: Any) -> dict[str, Any]:
    """The fields of a struct as a job file has them; None for one to leave out. A part has a table of its own."""
    rows = (row for row in FIELDS[type(owner)] if row.kind is not Kind.PART)
    return {row.named or row.key: _written(row, getattr(owner, row.key)) for row in rows}


def _written(row: Field, value: Any) -> Any:
    if row.entries:
        return tuple(_one(row.kind, item) for item in value)
    return None if value == "" or (row.zero and not value) else _one(row.kind, value)


def _one(kind: Kind, value: Any) -> Any:
    return _mm(value) if kind in LENGTHS else value


def _template(template: AnyTemplate, outlines: Mapping[str, str], bar: str | None) -> Iterator[str]:
    rolling = None if template.rolling is Rolling.ALONG else template.rolling
    if not isinstance(template, Template):
        head = {"name": template.name, "outline": outlines[template.name], "rolling": rolling, "bar": bar}
        yield _table("[[template]]", head)
        yield _table("[template.blade]", {"thickness": _mm(template.thickness)})
        return
    yield _table("[[template]]", {"name": template.name, "family": template.family, "rolling": rolling, "bar": bar})
    changed = _changed(template)
    for group in dict.fromkeys(path.split(".")[0] for path in changed):
        values = {path.split(".")[1]: value for path, value in changed.items() if path.startswith(f"{group}.")}
        yield _table(f"[template.{group}]", values)
    yield from (_table("[[template.free]]", _values(point)) for point in free_of(template))
    yield from (_table("[[template.hole]]", _values(hole)) for hole in template.holes or ())


def _changed(template: Template) -> dict[str, Any]:
    """The parameters that differ from the family's, as they are written."""
    base = family(template.family)
    changes = {}
    for parameter in PARAMETERS:
        value = parameter.value(template)
        derived = parameter.path == "grind.height" and template.grind.bevel is Bevel.SCANDI  # the reader refuses it
        if value != parameter.value(base) and not derived:
            changes[parameter.path] = _of_parameter(parameter.kind, value)
    return changes


def _of_parameter(kind: Kind, value: Any) -> Any:
    if value is None:
        return "full"
    if isinstance(value, StrEnum):
        return value
    if kind is Kind.TEXT:
        return value
    return _mm(value) if kind in (Kind.LENGTH, Kind.FINE) else float(value)


def _bar(bar: Bar) -> Iterator[str]:
    yield _table("[[bar]]", _values(bar))
    if bar.measured.anything:
        yield _table("[bar.measured]", _values(bar.measured))
