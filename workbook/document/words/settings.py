"""The words of changes to the whole workbook: its settings, the maker's tools, the shop's rates, the import of a job.

A field goes by its label in forms.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from workbook.document.fields import FIELDS
from workbook.document.records import Prices, SettingsRecord, Steps
from workbook.document.words.telling import Fields, Words, choice
from workbook.fields import Field, Kind, short_unit
from workbook.heat.load import Bath
from workbook.sheath.rules import SheathRules
from workbook.sheets.printer import Printer
from workbook.shop.charges import Charges
from workbook.shop.job import Rules, Saw
from workbook.shop.pricing import Pricing
from workbook.template.service import Service
from workbook.template.tools import Owned
from workbook.texts import _, labelled

_TOLD = {
    Kind.LENGTH: "length",
    Kind.FINE: "fine",
    Kind.SHARE: "per_cent",
    Kind.ANGLE: "angle",
    Kind.NUMBER: "number",
    Kind.COUNT: "n",
    Kind.SWITCH: "yes",
}
_RATES, _OF_A_LINE = _("Rates"), "target"  # a target price belongs to one line only


def _words(row: Field, group: str) -> Words:
    """Build the words for a field's label and new value: "Saw kerf: 1/32 in"."""
    label = _("{group} – {label}", group=group, label=row.label) if group else row.label
    if row.kind is Kind.CHOICE and row.entries:
        return lambda fields: labelled(label, _series(fields, row))
    if row.options and row.kind is not Kind.LENGTH:
        return choice(labelled(label, "{}"), dict(row.options))
    spec = "step" if row.options else "lengths" if row.entries else _TOLD.get(row.kind, "")
    if row.none and row.zero:
        spec = f"{spec} {row.zero}"
    unit = short_unit(row) if row.kind is not Kind.ANGLE else ""
    value = f"{{value:{spec}}}"
    return labelled(label, _("{value} {unit}", value=value, unit=unit) if unit else value)


def _series(fields: Fields, row: Field) -> str:
    """The name of the series of values chosen, or the values themselves."""
    words = next((words for values, words in row.options if list(values) == fields.value("value")), "")
    return words or fields.tell("{value:names}")


def _of(kind: type, path: str, group: str = "") -> Iterator[tuple[str, Words]]:
    """The words of all labelled fields of a struct, by the ids of their actions."""
    return ((f"settings.{path}{row.key}", _words(row, group)) for row in FIELDS[kind] if row.label and row.key != _OF_A_LINE)


_WHOLE: Mapping[str, Words] = {  # of several fields at once
    "settings.printer": _("printer {value:or unnamed}"),
    "settings.service": _("cutting service {value:or none: holes to size}"),
    "settings.charges.stages": _("rates: stages"),
    "settings.charges.outside": _("rates: outside work"),
    "settings.hours": _("shop hours"),
}
SETTINGS: dict[str, Words] = {
    "job.brought_in": _("job {job} imported"),
    **dict(_of(SettingsRecord, "")),
    **dict(_of(Printer, "printer.", _("Printer"))),
    **dict(_of(Steps, "steps.")),
    **dict(_of(Prices, "prices.", _("Default prices"))),
    **dict(_of(Owned, "tools.")),
    **dict(_of(Saw, "saw.")),
    **dict(_of(Rules, "rules.")),
    **dict(_of(Service, "service.", _("Cutting service"))),
    **dict(_of(SheathRules, "sheath.", _("Sheaths"))),
    **dict(_of(Bath, "bath.", _("Quench tank"))),
    **dict(_of(Charges, "charges.", _RATES)),
    **dict(_of(Pricing, "charges.", _RATES)),
    **_WHOLE,
}
