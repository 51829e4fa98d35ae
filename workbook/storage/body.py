"""A document with its history as plain JSON values, and back. The session's rows and the file hold the same values."""

from functools import cached_property
from typing import Any

from msgspec import Raw, Struct
from msgspec.json import decode, encode

from workbook.document.codec import CodecError, decoded, encoded
from workbook.document.document import Change, Document, Edit
from workbook.document.records import KINDS, Record, kind_of
from workbook.storage.trouble import NotAWorkbook

MOST_RECORDS, MOST_STEPS = 200_000, 100_000
KEPT_STEPS = 1000  # of the history that go into a file; the session keeps all


class Step(Struct, frozen=True, dict=True):
    """One edit of the history and when it was made (ISO date and time).

    What it changed is kept as the JSON that stands in session and file, and read when it is asked for: a long history costs
    nothing to open.
    """

    words: str
    at: str
    changes: str

    @cached_property
    def edit(self) -> Edit:
        """The edit. NotAWorkbook when what is kept of it cannot be understood."""
        try:
            return Edit(self.words, changes_of(decode(self.changes)))
        except (ValueError, RecursionError) as trouble:
            what = f"The step “{self.words[:80]}” of the history cannot be read: {trouble}."
            raise NotAWorkbook(what, "The work itself is whole: go on from here.") from None

    @property
    def sound(self) -> bool:
        """Whether the edit can be understood."""
        try:
            return bool(self.edit)
        except NotAWorkbook:
            return False


def step_of(edit: Edit, at: str) -> Step:
    """The step that an edit is."""
    made = Step(edit.words, at, json_of(changes_value(edit)))
    made.__dict__["edit"] = edit
    return made


def json_of(value: Any) -> str:
    """The text that stands for a value in a session."""
    return encode(value).decode()


class Body(Struct, frozen=True):
    """A document, its history, and how many steps of it are done: the others can be done again."""

    document: Document
    steps: tuple[Step, ...] = ()
    done: int = 0


def recent(body: Body) -> Body:
    """The body with the last steps of its history that are done, and all that can be done again: so many as a file keeps."""
    first = max(min(body.done, len(body.steps) - KEPT_STEPS), 0)
    return body if first == 0 else Body(body.document, body.steps[first:], body.done - first)


def readable(body: Body) -> Body:
    """The body with so much of its history round where it stands as can be read: a damaged step does not cost the workbook."""
    done, steps = body.done, body.steps
    first = next((n for n in range(done, 0, -1) if not steps[n - 1].sound), 0)
    last = next((n for n in range(done, len(steps)) if not steps[n].sound), len(steps))
    return body if last - first == len(steps) else Body(body.document, steps[first:last], done - first)


def record_value(record: Record | None) -> Any:
    """A record with its kind; None stays none."""
    return None if record is None else {"kind": kind_of(record), "record": encoded(record)}


def record_of(value: Any) -> Record | None:
    """The record again."""
    if value is None:
        return None
    if not isinstance(value, dict) or set(value) != {"kind", "record"}:
        raise CodecError("is not a record")
    kind = KINDS.get(value["kind"]) if isinstance(value["kind"], str) else None
    if kind is None:
        raise CodecError("is not a record")
    return decoded(kind, value["record"])


def changes_value(edit: Edit) -> Any:
    """An edit's changes."""
    return [[c.id, record_value(c.before), record_value(c.after)] for c in edit.changes]


def changes_of(value: Any) -> tuple[Change, ...]:
    """The changes again."""
    if not isinstance(value, list) or not all(isinstance(c, list) and len(c) == 3 and isinstance(c[0], str) for c in value):
        raise CodecError("is not a list of changes")
    return tuple(Change(id_, record_of(before), record_of(after)) for id_, before, after in value)


def body_value(body: Body) -> Any:
    """Everything of a body, to be encoded."""
    return {
        "records": [record_value(record) for record in body.document.records.values()],
        "history": [[step.words, step.at, Raw(step.changes.encode())] for step in body.steps],
        "done": body.done,
    }


def body_of(value: Any, *, known: bool = False) -> Body:
    """The body again. CodecError with the place of what is wrong. `known`: what steps changed is looked at when it is wanted."""
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
    _judge(records)
    for n, row in enumerate(() if known else history, 1):
        _at(f"history[{n}]", changes_of, row[2] if isinstance(row, list) and len(row) == 3 else None)
    steps = tuple(_at(f"history[{n}]", _step, row) for n, row in enumerate(history, 1))
    return Body(Document(records), steps, done)


def _judge(records: dict[str, Record]) -> None:
    from workbook.document.limits import check_records  # the rows of all fields: work that goes on was judged before

    check_records(records.values())


def _step(value: Any) -> Step:
    if not isinstance(value, list) or len(value) != 3 or not all(isinstance(text, str) for text in value[:2]):
        raise CodecError("is not a step")
    return Step(value[0], value[1], json_of(value[2]))


def _at(place: str, read: Any, value: Any) -> Any:
    try:
        return read(value)
    except CodecError as trouble:
        raise trouble.within(place) from None
