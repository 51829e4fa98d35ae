"""A document with its history as plain JSON values, and back. The session's rows and the file hold the same values."""

from collections.abc import Iterable, Mapping
from typing import Any

from msgspec import Raw, Struct, field

from workbook.document.codec import CodecError
from workbook.document.document import Document
from workbook.document.limits import check_records
from workbook.document.records import Record
from workbook.storage.attachment import Attachment
from workbook.storage.step import Step, action_of, action_value, check_changes, json_of, record_of, record_value
from workbook.storage.weight import MOST_RECORDS, MOST_STEPS, first_kept
from workbook.texts import _

_KEYS = {"book", "records", "history", "done", "gone", "attachments"}


class BookBody(Struct, frozen=True):
    """A document, its history, and how many steps of it are done: the others can be done again.

    `gone`: how many older steps were let go. `book`: what the workbook is known by, whatever its file is called. `attachments`:
    those that are named, by digest.
    """

    document: Document
    steps: tuple[Step, ...] = ()
    done: int = 0
    gone: int = 0
    book: str = ""
    attachments: Mapping[str, Attachment] = field(default_factory=dict)


class Content(Struct, frozen=True):
    """What a file holds but for attachments, with records as JSON already."""

    book: str
    records: tuple[str, ...]
    steps: tuple[Step, ...]
    done: int
    gone: int


def content_of(body: BookBody) -> Content:
    """A body's content."""
    records = tuple(json_of(record_value(record)) for record in body.document.records.values())
    return Content(body.book, records, body.steps, body.done, body.gone)


def recent(content: Content) -> Content:
    """The content with the last steps that are done, and all that can be done again: so many as are kept."""
    return _from(content, first_kept([step.weight for step in content.steps], content.done))


def _from(content: Content, first: int, last: int | None = None) -> Content:
    steps = content.steps[first:last]
    return Content(content.book, content.records, steps, content.done - first, content.gone + first)


def readable(content: Content) -> Content:
    """The content with so much of its history round where it stands as can be read: a damaged step does not cost the workbook."""
    done, steps = content.done, content.steps
    first = next((n for n in range(done, 0, -1) if not steps[n - 1].sound), 0)
    last = next((n for n in range(done, len(steps)) if not steps[n].sound), len(steps))
    return content if last - first == len(steps) else _from(content, first, last)


def content_value(content: Content, attachments: Iterable[Any]) -> Any:
    """Everything of a content, to be encoded; `attachments` as they are listed."""
    return {
        "book": content.book,
        "records": [Raw(record.encode()) for record in content.records],
        "history": [[action_value(step.action), step.at, Raw(step.changes.encode())] for step in content.steps],
        "done": content.done,
        "gone": content.gone,
        "attachments": list(attachments),
    }


def body_of(value: Any, attachments: Mapping[str, Attachment], *, known: bool = False) -> BookBody:
    """The body again. CodecError with the place of what is wrong. `known`: what steps changed is looked at when it is wanted."""
    if not isinstance(value, dict) or set(value) != _KEYS or not is_book(value["book"]):
        raise CodecError(_("is not a workbook's content"))
    steps = _history(value, known=known)
    document = Document(_records(value["records"]))
    return BookBody(document, steps, value["done"], value["gone"], value["book"], attachments)


def is_book(value: Any) -> bool:
    """Whether it can be what a workbook is known by: hexadecimal digits, which name a folder of backups; "" for not yet."""
    return isinstance(value, str) and len(value) <= 64 and not value.strip("0123456789abcdef")


def _records(rows: Any) -> dict[str, Record]:
    if not isinstance(rows, list) or len(rows) > MOST_RECORDS:
        raise CodecError(_("is not a list of records"), "records")
    records: dict[str, Record] = {}
    for n, row in enumerate(rows, 1):
        record = _at(f"records[{n}]", record_of, row)
        if record is None or record.id in records:
            raise CodecError(_("is there twice, or not at all"), f"records[{n}]")
        records[record.id] = record
    judge(records)
    return records


def _history(value: dict[str, Any], *, known: bool) -> tuple[Step, ...]:
    history, done, gone = value["history"], value["done"], value["gone"]
    counts = type(done) is int and type(gone) is int and gone >= 0
    if not counts or not isinstance(history, list) or len(history) > MOST_STEPS or not 0 <= done <= len(history):
        raise CodecError(_("is not a history"), "history")
    for n, row in enumerate(() if known else history, 1):
        _at(f"history[{n}]", check_changes, row[2] if isinstance(row, list) and len(row) == 3 else None)
    return tuple(_at(f"history[{n}]", _step, row) for n, row in enumerate(history, 1))


def judge(records: Mapping[str, Record]) -> None:
    """CodecError with the first of what no record may hold."""
    check_records(records.values())


def _step(value: Any) -> Step:
    if not isinstance(value, list) or len(value) != 3 or not isinstance(value[1], str):
        raise CodecError(_("is not a step"))
    return Step(action_of(value[0]), value[1], json_of(value[2]))


def _at(place: str, read: Any, value: Any) -> Any:
    try:
        return read(value)
    except CodecError as trouble:
        raise trouble.within(place) from None
