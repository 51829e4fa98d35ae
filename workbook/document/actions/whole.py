"""Actions on the whole workbook: its settings, a new workbook from an old one, and the import of a job file."""

from collections.abc import Callable
from typing import Any

from workbook.document.action import Action, plain
from workbook.document.actions.templates import holding
from workbook.document.document import Document, Edit, replacing
from workbook.document.records import BarRecord, GroundFrom, Record, SettingsRecord, ToolsRecord
from workbook.document.shop_records import OrderLine
from workbook.shop.job import Job
from workbook.structs import replace
from workbook.template.tools import Owned


def change_settings(document: Document, settings: SettingsRecord, key: str, value: Any = None) -> Edit:
    """Change the settings. `key`: the one changed; `value`: its new value, where that is plain."""
    return replacing(document, _setting(key, value), [settings])


def change_tools(document: Document, owned: Owned, key: str, value: Any = None) -> Edit:
    """Change the tools; `key` and `value` as for `change_settings`."""
    return replacing(document, _setting(key, value), [replace(document.tools, owned=owned)])


def _setting(key: str, value: Any) -> Action:
    return Action(f"settings.{key}", {} if value is None else {"value": plain(value)})


def bring_in(document: Document, job: Job, new_id: Callable[[], str]) -> Edit:
    """Replace everything with a job: its templates, bars, blanks to make and settings."""
    records: list[Record] = [
        SettingsRecord(
            name=job.name,
            unit=job.unit,
            currency=job.currency,
            region=job.region,
            saw=job.saw,
            rules=job.settings,
            service=job.service,
            sheath=job.sheath,
        ),
    ]
    if job.tools != Owned():
        records.append(ToolsRecord(owned=job.tools))
    ids = {key: new_id() for key in job.keys}
    bars = [BarRecord(id=new_id(), place=float(i), bar=bar) for i, bar in enumerate(job.bars)]
    of_names = {record.bar.name: record.id for record in bars}
    for i, (key, template) in enumerate(zip(job.keys, job.templates, strict=True)):
        choice = dict(job.chosen).get(key)
        kind: GroundFrom = "likeliest" if choice is None else "bar" if choice.bar in of_names else "nominal"
        record = holding(ids[key], float(i), template)
        records.append(replace(record, ground_from=kind, bar=of_names.get(choice.bar, "") if choice else ""))
    records += bars
    for i, make in enumerate(job.make):
        line = OrderLine(id=new_id(), place=float(i), of=ids[make.template], steel=make.steel, quantity=make.quantity)
        records.append(line)
    record_ids = {record.id for record in records}
    return replacing(
        document, Action("job.brought_in", {"job": job.name}), records, [id_ for id_ in document.records if id_ not in record_ids]
    )
