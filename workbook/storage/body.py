"""A document with its history as plain JSON values, and back. The session's rows and the file hold the same values."""

from typing import Any

from msgspec import Struct

from workbook.document.codec import CodecError, decoded, encoded
from workbook.document.document import Change, Document, Edit
from workbook.document.records import KINDS, Record, kind_of

MOST_RECORDS, MOST_STEPS = 200_000, 100_000
KEPT_STEPS = 1000  # of the history that go into a file; the session keeps all


class Step(Struct, frozen=True):
    """One edit of the history and when it was made (ISO date and time)."""

    edit: Edit
    at: str


class Body(Struct, frozen=True):
    """A document, its history, and how many steps of it are done: the others can be done again."""

    document: Document
    steps: tuple[Step, ...] = ()
    done: int = 0


def recent(body: Body) -> Body:
    """The body with the last steps of its history that are done, and all that can be done again: so many as a file keeps."""
    first = max(min(body.done, len(body.steps) - KEPT_STEPS), 0)
    return body if first == 0 else Body(body.document, body.steps[first:], body.done - first)


def record_value(record: Record | None) -> Any:
    """A record with its kind; None stays none."""
    return None if record is None else {"kind": kind_of(record), "record": encoded(record)}


def record_of(value: Any) -> Record | None:
    """The record again."""
    if value is None:
        return None
    if not isinstance(value, dict) or set(value) != {"kind", "record"} or value["kind"] not in KINDS:
        raise CodecError("is not a record")
    return decoded(KINDS[value["kind"]], value["record"])


def changes_value(edit: Edit) -> Any:
    """An edit's changes."""
    return [[c.id, record_value(c.before), record_value(c.after)] for c in edit.changes]


def changes_of(value: Any) -> tuple[Change, ...]:
    """The changes again."""
    if not isinstance(value, list) or not all(isinstance(c, list) and len(c) == 3 and isinstance(c[0], str) for c in value):
        raise CodecError("is not a list of changes")
    return tuple(Change(id_, record_of(before), record_of(after)) for id_, before, after in value)


def body_value(body: Body) -> Any:
    """Everything of a body."""
    return {
        "records": [record_value(record) for record in body.document.records.values()],
        "history": [[step.edit.words, step.at, changes_value(step.edit)] for step in body.steps],
        "done": body.done,
    }


def body_of(value: Any) -> Body:
    """The body again. CodecError with the place of what is wrong."""
    if not isinstance(value, dict) or set(value) != {"records", "history", "done"}:
        raise CodecError("is not a workbook's content")
    rows, history, done = value["records"], value["history"], value["done"]
    if not isinstance(rows, list) or len(rows) > MOST_RECORDS:
        raise CodecError("is not a list of records", "records")
    if not isinstance(history, list) or len(history) > MOST_STEPS or type(done) is not int or not 0 <= done <= len(history):
        raise CodecError("is not a history", "history")
    records: dict[str, Record] = {}
    for n, row in enumerate(rows, 1):
        record = _at(f"records[{n}]", record_of, row)
        if record is None or record.id in records:
            raise CodecError("is there twice, or not at all", f"records[{n}]")
        records[record.id] = record
    steps = tuple(_at(f"history[{n}]", _step, row) for n, row in enumerate(history, 1))
    return Body(Document(records), steps, done)


def _step(value: Any) -> Step:
    if not isinstance(value, list) or len(value) != 3 or not all(isinstance(text, str) for text in value[:2]):
        raise CodecError("is not a step")
    return Step(Edit(value[0], changes_of(value[2])), value[1])


def _at(place: str, read: Any, value: Any) -> Any:
    try:
        return read(value)
    except CodecError as trouble:
        raise trouble.within(place) from None
