"""The demo from the shipped resources: as a job and as a workbook."""

import re
import tomllib
from collections.abc import Iterator
from decimal import Decimal
from functools import cache
from itertools import count
from pathlib import Path
from typing import Any

from workbook.document.actions.whole import bring_in
from workbook.document.codec import decoded
from workbook.document.document import Document
from workbook.document.making_records import BatchRecord, EntryRecord, LoadRecord, RecipeRecord
from workbook.document.money_records import AfterRecord, ExpenseRecord, PaymentRecord, SaleRecord
from workbook.document.queries import template_named
from workbook.document.records import BarRecord, MaterialRecord, Record
from workbook.document.shop_records import CustomerRecord, OrderLine, OrderRecord, PieceRecord
from workbook.heat.load import Bath
from workbook.model.model import Model
from workbook.paths import resource
from workbook.problems import JobError, Mistake
from workbook.shop.hours import ShopHours
from workbook.storage.body import BookBody
from workbook.storage.file import SUFFIX, written
from workbook.structs import replace
from workbook.system.names import shown
from workbook.tasks.load import job_in
from workbook.tasks.outputs import FORCE
from workbook.tasks.write import in_the_way, listed, write_all
from workbook.texts import ngettext, of_file

DEMO = "harbour-kitchen-run.toml"
_SHOP, _BATCHES, _ACCOUNTS = "shop.toml", "batches.toml", "accounts.toml"
_FILES = (DEMO, _SHOP, _BATCHES, _ACCOUNTS)
# what is told in words there: names, also where they are referred to, and remarks
_WORDS = re.compile(
    r"\b(buyer|contact|furnace|kept_at|name|notes?|of|per|reason|result|source|stage|supplier|template|words)"
    r' = "([^"\\]+)"'
)
_OF_MONEY: dict[str, type[Record]] = {
    "payment": PaymentRecord, "sale": SaleRecord, "after": AfterRecord, "expense": ExpenseRecord
}  # fmt: skip
_KINDS: dict[str, type[Record]] = {"customer": CustomerRecord, "order": OrderRecord, "line": OrderLine}


@cache
def demo_job() -> Model:
    """The demo's model: always the same."""
    return job_in(demo_file(DEMO))


def demo_file(name: str) -> str:
    """A file of the demo, its words in the language of the program."""
    text = resource("demo", name).read_text(encoding="utf-8")
    return _WORDS.sub(lambda found: f'{found[1]} = "{of_file(found[2])}"', text)


def demo_words() -> list[str]:
    """The words of the demo's files, as they are."""
    return [words for name in _FILES for _key, words in _WORDS.findall(resource("demo", name).read_text(encoding="utf-8"))]


@cache
def demo_document() -> Document:
    """The demo's shop: its job, stock, customers and orders. Always the same."""
    numbers = count(1)
    document = Document().applied(bring_in(Document(), demo_job().job, lambda: f"demo{next(numbers)}"))
    data, made = tomllib.loads(demo_file(_SHOP)), tomllib.loads(demo_file(_BATCHES))
    bath, hours = decoded(Bath, made.pop("bath")), decoded(ShopHours, made.pop("hours"))
    sample = replace(document.settings, sample=True, bath=bath, hours=hours)
    records = (*_records(document, data), *_of_batches(document, made))
    shop = Document({**document.records, sample.id: sample, **{record.id: record for record in records}})
    money = _of_accounts(shop, tomllib.loads(demo_file(_ACCOUNTS)))
    return Document({**shop.records, **{record.id: record for record in money}})


def _records(document: Document, data: dict[str, list[dict[str, Any]]]) -> Iterator[Record]:
    """The records of the shop's file, in its order; lines name their template."""
    for place, table in enumerate(data["material"], 1):
        fields = {"id": table.pop("id"), "place": float(place), "material": table}
        yield decoded(MaterialRecord, fields)
    for place, table in enumerate(data["bar"], 1):
        yield decoded(BarRecord, {**table, "place": 100.0 + place})
    for name, kind in _KINDS.items():
        for place, table in enumerate(data[name], 1):
            if kind is OrderLine:
                table["of"] = template_named(document, table["of"]).id
            yield decoded(kind, {**table, "place": 100.0 + place})


def _of_batches(document: Document, data: dict[str, list[dict[str, Any]]]) -> Iterator[Record]:
    """Batches with the shop's stages, their blades, and what was entered about them."""
    for place, table in enumerate(data["batch"], 1):
        yield replace(decoded(BatchRecord, {**table, "place": float(place)}), stages=document.settings.charges.stages)
    for place, table in enumerate(data["blade"], 1):
        of = template_named(document, table["of"])
        fields = {**table, "place": float(place), "of": of.id, "name": of.template.name, "revision": 1, "bar": ""}
        yield decoded(PieceRecord, fields)
    for place, table in enumerate(data["entry"], 1):
        yield decoded(EntryRecord, {**table, "place": float(place)})
    for place, table in enumerate(data["load"], 1):
        yield decoded(LoadRecord, {**table, "place": float(place)})
    for place, table in enumerate(data["recipe"], 1):
        yield decoded(RecipeRecord, {**table, "place": float(place)})


def _of_accounts(document: Document, data: dict[str, Any]) -> Iterator[Record]:
    """What was paid, sold and spent, the prices of finished knives, and notes for the next time."""
    for name, kind in _OF_MONEY.items():
        for place, table in enumerate(data[name], 1):
            yield decoded(kind, {**table, "place": float(place)})
    for blade, offer in data["offers"].items():
        yield replace(document.get(blade, PieceRecord), price=Decimal(offer["price"]), kept_at=offer["kept_at"])
    for note in data["next_time"]:
        yield replace(template_named(document, note["of"]), next_time=note["words"])


def demo_workbook() -> bytes:
    """The demo as a workbook's file: always the same bytes."""
    return written(BookBody(demo_document()))


def write_demo(folder: Path, *, force: bool = False) -> Path:
    """Write the demo job and workbook into a folder and return the job's path.

    Raises JobError for files that were changed, unless `force` replaces them.
    """
    files = {DEMO: demo_file(DEMO).encode(), Path(DEMO).with_suffix(SUFFIX).name: demo_workbook()}
    changed = in_the_way(folder, files)
    if changed and not force:
        message = ngettext(
            "{count} file exists and was changed: {names}.",
            "{count} files exist and were changed: {names}.",
            len(changed),
            names=listed(changed),
        )
        raise JobError([Mistake(place=shown(folder), what=message, right=FORCE)])
    write_all(folder, files, over=changed)
    return folder / DEMO
