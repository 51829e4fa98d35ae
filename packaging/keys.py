"""Writes the help's tables of the job file's keys and of a shop book's records from the rows that judge them.

Run with the project's environment: `.venv/bin/python packaging/keys.py`; a test fails while the table is another.
"""

import sys
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any, get_args, get_type_hints

from msgspec import NODEFAULT
from msgspec.structs import fields

from workbook.document.fields import FIELDS
from workbook.document.records import KINDS
from workbook.fields import LENGTHS, Field, Kind, limits_in_words
from workbook.formats.family import form_words
from workbook.region import REGIONS, USUAL
from workbook.sheath.rules import SheathRules
from workbook.shop.job import Bar, Make, Measured, Rules, Saw
from workbook.template.drawn import DrawnTemplate
from workbook.template.fields import widest
from workbook.template.model import FreePoint, HoleWish, Template
from workbook.template.parameters import PARAMETERS, Parameter
from workbook.template.service import Service
from workbook.template.tools import Owned
from workbook.units import INCH, as_fraction

HELP = Path(__file__).parents[1] / "resources" / "help"
_TABLES = (
    (FreePoint, "template.free"), (HoleWish, "template.hole"), (Bar, "bar"), (Measured, "bar.measured"), (Make, "make"),
)  # fmt: skip
HEAD = ("| key | takes | default | what it does |", "|---|---|---|---|")
_JOB = (
    ("job.name", "text", "Untitled job", ""),
    ("job.units", "in, mm", "in", "for bare numbers and for what is printed"),
    ("job.currency", "text", "USD", ""),
    ("job.region", ", ".join(REGIONS), USUAL, "whose way dates and amounts are written in"),
)
_TEMPLATE = (
    ("template.name", "text", "required", ""),
    ("template.family", "an id such as petty", "this or outline", "the ids are the file names in resources/templates"),
    ("template.rolling", "along, across, free", "along", "how blanks may lie to the bar's length, in which it was rolled"),
    ("template.bar", 'name of a [[bar]], or "nominal"', "the most likely", "on the rack before to buy, measured before nominal"),
    ("template.outline", "file name", "this or family", "an outline from a DXF or SVG"),
    ("template.units", "in, mm, cm, m, ft", "from the file", "the outline's unit, if the file states none"),
)
_BY_THE_JOB = {  # defaults that follow from the rest of the job
    "bar.name": "steel and sizes", "bar.steel": "the only steel of the job", "bar.buy": "true when have is 0",
    "make.steel": "the only steel of the job", "make.quantity": "1", "template.hole.y": "0",
}  # fmt: skip
RECORDS_HEAD = ("| table | columns |", "|---|---|")
_UNITS = {
    Kind.MONEY: "amount", Kind.SHARE: "share", Kind.DATE: "date", Kind.MOMENT: "date and time", Kind.SWITCH: "yes or no",
    Kind.COUNT: "whole number", Kind.ANGLE: "degrees", Kind.PLACE: "x, y in mm", Kind.CIRCLE: "place and diameter, mm",
}  # fmt: skip
_ELSEWHERE = (Template, DrawnTemplate, Saw, Rules, Owned, Service, SheathRules)  # whose keys are those of the job file, above
Row = tuple[str, str, str, str]


def rows() -> Iterator[Row]:
    """Every key of a job file, what it takes, its default, and what it does."""
    yield from _JOB
    for kind, before in ((Saw, "saw"), (Rules, "settings"), (Owned, "tools"), (Service, "service"), (SheathRules, "sheath")):
        yield from _of(kind, before)
    yield from _TEMPLATE
    for parameter in PARAMETERS:
        meaning = f"{parameter.label}: {parameter.meaning}"
        yield f"template.{parameter.path}", _parameter_takes(parameter), "family default", meaning
    for kind, before in _TABLES:
        yield from _of(kind, before)


def _of(kind: Any, before: str) -> Iterator[Row]:
    hints, own = get_type_hints(kind), {field.name: field for field in fields(kind)}
    for row in (row for row in FIELDS[kind] if row.kind is not Kind.PART):
        key = f"{before}.{row.named or row.key}"
        default = _BY_THE_JOB.get(key) or _default(row, own[row.key].default)
        yield key, _takes(row, hints[row.key]), default, row.meaning


def _default(row: Field, value: Any) -> str:
    if value is NODEFAULT:
        return "required"
    if value is None:
        return row.none
    if isinstance(value, bool):
        return str(value).lower()
    if row.kind in LENGTHS and isinstance(value, float):
        return _length(value)
    if isinstance(value, float | Decimal):
        return f"{value:f}" if isinstance(value, Decimal) else f"{value:g}"
    return str(value) if value not in ("", ()) else "none"


def _length(mm: float) -> str:
    """As a fraction of an inch where it is one, else in thousandths or mm, whichever is exact."""
    if not mm:
        return "0"
    if abs(mm - round(mm / INCH * 64) / 64 * INCH) < 1e-9:
        return f"{as_fraction(mm)} in"
    return f"{mm / INCH:g} in" if abs(mm / INCH - round(mm / INCH, 3)) < 1e-9 else f"{mm:g} mm"


def _takes(row: Field, hint: Any) -> str:
    if row.kind is Kind.SWITCH:
        return "true, false"
    if row.kind is Kind.CHOICE:
        words = row.words or tuple(get_args(hint) or hint)
        return f"{'list of ' if row.entries else ''}{', '.join(words)}"
    if row.kind is Kind.TEXT:
        return "text"
    if row.kind is Kind.MONEY:
        return "amount"
    named = {Kind.COUNT: "whole number", Kind.SHARE: "share"}
    what = "length" if row.kind in LENGTHS else named.get(row.kind, "number")
    return f"{'list of lengths, each' if row.entries else what + ','} {limits_in_words(row)}"


def _parameter_takes(parameter: Parameter) -> str:
    if parameter.kind is Kind.CHOICE:
        return ", ".join(form_words(get_type_hints(Template)[parameter.group], parameter.key) or ())
    if parameter.kind is Kind.TEXT:
        return "text"
    low, high = widest(parameter)
    unit = "degrees" if parameter.kind is Kind.ANGLE else ""
    row = Field(key=parameter.key, kind=parameter.kind, low=low, high=high, unit=unit)
    own = _takes(row, float)
    return f'{own}, or "full"' if parameter.path == "grind.height" else own


def records() -> Iterator[tuple[str, str]]:
    """Every kind of record of a workbook, and its columns with what each holds."""
    for kind, record in KINDS.items():
        yield kind.replace(" ", "-"), "; ".join(_columns(record, ""))


def _columns(kind: Any, before: str) -> Iterator[str]:
    hints = get_type_hints(kind)
    for row in FIELDS[kind]:
        name, hint = f"{before}{row.key}", hints[row.key]
        if row.kind is not Kind.PART:
            yield f"`{name}` {_holds(row)}".rstrip()
            continue
        inner = next(each for each in (hint, *get_args(hint)) if each in FIELDS)
        if row.entries:
            yield f"`{name}` list of {', '.join(f'`{each.key}`' for each in FIELDS[inner])}, as JSON"
        elif inner in _ELSEWHERE:
            yield f"`{name}.…` a column for each key"
        else:
            yield from _columns(inner, f"{name}.")


def _holds(row: Field) -> str:
    several = "list, " if row.entries else ""
    if row.kind is Kind.REFERENCE:
        return f"{several}id of {' or '.join(row.of)}"
    return several + ("mm" if row.kind in LENGTHS else _UNITS.get(row.kind, row.unit))


def records_table() -> str:
    """The table of records in Markdown."""
    return "\n".join([*RECORDS_HEAD, *(f"| `{kind}` | {columns} |" for kind, columns in records())])


def table() -> str:
    """The table in Markdown."""
    return "\n".join([*HEAD, *(f"| `{key}` | {' | '.join(more)} |" for key, *more in rows())])


def written() -> Iterator[tuple[Path, str]]:
    """The pages that have a table, each with its text as it should be."""
    for name, head, new in (("job-file.md", HEAD[0], table()), ("files.md", RECORDS_HEAD[0], records_table())):
        text = (HELP / name).read_text(encoding="utf-8")
        begin = text.index(head)
        yield HELP / name, f"{text[:begin]}{new}\n"


def main(arguments: list[str]) -> int:
    """Writes the tables, each at the end of its page; with `--check` says by its exit code whether they are there."""
    wrong = [(page, text) for page, text in written() if page.read_text(encoding="utf-8") != text]
    if "--check" not in arguments:
        for page, text in wrong:
            page.write_text(text, encoding="utf-8")
        return 0
    return int(bool(wrong))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
