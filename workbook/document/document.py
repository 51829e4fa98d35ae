"""A document and its edits: what changes goes from one record to another (or from or to none), and back the same way."""

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from typing import Any, TypeVar

from msgspec import Struct, field

from workbook.document.action import Action
from workbook.document.limits import wrong_with
from workbook.document.records import SETTINGS_ID, TOOLS_ID, Record, SettingsRecord, ToolsRecord
from workbook.problems import JobError
from workbook.texts import _

_Kind = TypeVar("_Kind")


class EditError(Exception):
    """An edit that does not fit the document: what it changes is not there, or not as it was. Always a fault of ours."""


class NotTaken(JobError):
    """An edit that would keep what no record may hold: every value it is about, in words for the maker. Nothing was changed."""

    cure = _("Nothing was changed.")

    @property
    def what(self) -> str:
        """All of it in a line or a few."""
        return "\n".join(self.lines())


class Change(Struct, frozen=True):
    """One record before and after; None where there was, or will be, none."""

    id: str
    before: Record | None
    after: Record | None

    @property
    def inverse(self) -> "Change":
        """The way back."""
        return Change(self.id, self.after, self.before)


class Edit(Struct, frozen=True):
    """What the maker did, as changes that go together."""

    action: Action
    changes: tuple[Change, ...]

    @property
    def inverse(self) -> "Edit":
        """The way back, in the opposite order."""
        return Edit(self.action, tuple(change.inverse for change in reversed(self.changes)))


class Document(Struct, frozen=True, dict=True):
    """All records by id. It is never changed; an edit makes another."""

    records: Mapping[str, Record] = field(default_factory=dict)

    @cached_property
    def _sorted(self) -> dict[type, tuple[Any, ...]]:
        return {}  # as first asked for

    @cached_property
    def _by_kind(self) -> dict[type, list[Any]]:
        found = dict[type, list[Any]]()
        for record in self.records.values():
            found.setdefault(type(record), []).append(record)
        return found

    def get(self, id: str, kind: type[_Kind]) -> _Kind:  # noqa: A002  # the word everybody uses
        """The record of an id. KeyError when there is none of that kind."""
        found = self.records[id]
        if not isinstance(found, kind):
            raise KeyError(id)
        return found

    def all(self, kind: type[_Kind]) -> Iterator[_Kind]:
        """Records of a kind, by their place where they have one."""
        if kind not in self._sorted:
            found = list(self._by_kind.get(kind, ()))
            found.sort(key=lambda record: (getattr(record, "place", 0.0), getattr(record, "id", "")))
            self._sorted[kind] = tuple(found)
        yield from self._sorted[kind]

    @property
    def settings(self) -> SettingsRecord:
        """The workbook's settings; the defaults where it has none yet."""
        found = self.records.get(SETTINGS_ID)
        return found if isinstance(found, SettingsRecord) else SettingsRecord()

    @property
    def tools(self) -> ToolsRecord:
        """The maker's tools; none named where it has no such record."""
        found = self.records.get(TOOLS_ID)
        return found if isinstance(found, ToolsRecord) else ToolsRecord()

    def applied(self, edit: Edit, going_on: Edit | None = None) -> "Document":
        """The document after an edit. EditError when it is not one of this document, NotTaken for what no record may hold.

        `going_on`: the edit that this one is a step with. What came by it, as the entry of a count that is being typed, may
        still be another.
        """
        records = dict(self.records)
        for change in edit.changes:
            if records.get(change.id) != change.before:
                raise EditError(f"{edit.action.id}: {change.id} is not as it was")
            if change.after is None:
                records.pop(change.id, None)
            elif change.after.id != change.id:
                raise EditError(f"{edit.action.id}: {change.id} would get another id")
            else:
                records[change.id] = change.after
        came = {change.id for change in going_on.changes if change.before is None} if going_on else set()
        _make_sure(edit, records, came)
        return Document(records)


def _make_sure(edit: Edit, records: Mapping[str, Record], came: set[str]) -> None:
    """That records which come may stand among the others. `came`: ids of those that are part of the same step. NotTaken."""
    put = [(None if change.id in came else change.before, change.after) for change in edit.changes if change.after is not None]
    wrong = [mistake for before, after in put for mistake in wrong_with(before, after, records)]
    if wrong:
        raise NotTaken(wrong)


def replacing(document: Document, action: Action, after: Iterable[Record], without: Iterable[str] = ()) -> Edit:
    """An edit that puts records in (in place of those of their ids) and takes others out."""
    put = [Change(record.id, document.records.get(record.id), record) for record in after]
    gone = [Change(id_, document.records[id_], None) for id_ in without]
    return Edit(action, tuple(change for change in (*put, *gone) if change.before != change.after))


def joined(first: Edit, then: Edit) -> Edit:
    """Two edits as one, told as the second."""
    before = {change.id: change.before for change in reversed((*first.changes, *then.changes))}
    after = {change.id: change.after for change in (*first.changes, *then.changes)}
    return Edit(then.action, tuple(Change(id_, before[id_], after[id_]) for id_ in after))
