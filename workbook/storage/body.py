"""A document and its history to and from plain JSON values. The session's rows and the file hold the same values."""

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
    """A document, its history, and how many of its steps are done; the others can be redone.

    `gone`: the number of older steps dropped. `book`: the workbook's identity, independent of its file name. `attachments`:
    those that are named, by digest.
    """

    document: Document
    steps: tuple[Step, ...] = ()
    done: int = 0
    gone: int = 0
    book: str = ""
    attachments: Mapping[str, Attachment] = field(default_factory=dict)


class Content(Struct, frozen=True):
    """The content of a file without its attachments, with records already encoded as JSON."""

    book: str
    records: tuple[str, ...]
    steps: tuple[Step, ...]
    done: int
    gone: int


def content_of(body: BookBody) -> Content:
    """Encode a body's records and take its history as it is. CodecError when a record cannot be encoded."""
    records = tuple(json_of(record_value(record)) for record in body.document.records.values())
    return Content(body.book, records, body.steps, body.done, body.gone)


def recent(content: Content) -> Content:
    """Trim the history to the steps that fit: the latest done, and all that can be redone."""
    return _from(content, first_kept([step.weight for step in content.steps], content.done))


def _from(content: Content, first: int, last: int | None = None) -> Content:
    steps = content.steps[first:last]
    return Content(content.book, content.records, steps, content.done - first, content.gone + first)


def readable(content: Content) -> Content:
    """Trim the history to the readable steps around the current one, so that a damaged step does not cost the workbook."""
    done, steps = content.done, content.steps
    first = next((n for n in range(done, 0, -1) if not steps[n - 1].sound), 0)
    last = next((n for n in range(done, len(steps)) if not steps[n].sound), len(steps))
    return content if last - first == len(steps) else _from(content, first, last)


def content_value(content: Content, attachments: Iterable[Any]) -> Any:
    """The content as a JSON value ready for encoding; `attachments` as `listed` returns them."""
    return {
        "book": content.book,
        "records": [Raw(record.encode()) for record in content.records],
        "history": [[action_value(step.action), step.at, Raw(step.changes.encode())] for step in content.steps],
        "done": content.done,
        "gone": content.gone,
        "attachments": list(attachments),
    }


def body_of(value: Any, attachments: Mapping[str, Attachment], *, known: bool = False) -> BookBody:
    """Decode a body. CodecError with the place of the fault. `known`: changes in steps are checked only when needed."""
    if not isinstance(value, dict) or set(value) != _KEYS or not is_book(value["book"]):
        raise CodecError(_("is not the content of a shop book"))
    steps = _history(value, known=known)
    document = Document(_records(value["records"]))
    return BookBody(document, steps, value["done"], value["gone"], value["book"], attachments)


def is_book(value: Any) -> bool:
    """Whether a value can be a workbook's identity: up to 64 hexadecimal digits, which name a backup folder; "" for none yet."""
    return isinstance(value, str) and len(value) <= 64 and not value.strip("0123456789abcdef")


def _records(rows: Any) -> dict[str, Record]:
    if not isinstance(rows, list) or len(rows) > MOST_RECORDS:
        raise CodecError(_("is not a list of records"), "records")
    records: dict[str, Record] = {}
    for n, row in enumerate(rows, 1):
        record = _at(f"records[{n}]", record_of, row)
        if record is None or record.id in records:
            raise CodecError(_("is empty, or appears twice"), f"records[{n}]")
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
    """Check the records. CodecError with the first fault."""
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
