"""A document and its edits: each change holds a record before and after, either of which may be None, and can be reversed."""

from bisect import bisect_left, insort
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cached_property
from operator import attrgetter
from typing import Any, TypeVar

from msgspec import Struct, field

from workbook.document.action import Action
from workbook.document.limits import wrong_with
from workbook.document.records import SETTINGS_ID, TOOLS_ID, Record, SettingsRecord, ToolsRecord
from workbook.problems import JobError
from workbook.texts import _

_Kind = TypeVar("_Kind")


class EditError(Exception):
    """An edit that does not fit the document: a record it changes is missing or different. Always a fault of the program."""


class NotTaken(JobError):
    """An edit that would store invalid values: each of them in words for the maker. Nothing was changed."""

    cure = _("Nothing was changed.")

    @property
    def what(self) -> str:
        """All mistakes, one a line."""
        return "\n".join(self.lines())


class Change(Struct, frozen=True):
    """One record before and after an edit; None where it does not exist."""

    id: str
    before: Record | None
    after: Record | None

    @property
    def inverse(self) -> "Change":
        """The change that reverses this one."""
        return Change(self.id, self.after, self.before)


class Edit(Struct, frozen=True):
    """One action of the maker, as changes that belong together."""

    action: Action
    changes: tuple[Change, ...]

    @property
    def inverse(self) -> "Edit":
        """The edit that reverses this one, in the opposite order."""
        return Edit(self.action, tuple(change.inverse for change in reversed(self.changes)))


class Document(Struct, frozen=True, dict=True):
    """All records by id. A document is immutable; an edit makes a new one."""

    records: Mapping[str, Record] = field(default_factory=dict)

    @cached_property
    def _sorted(self) -> dict[type, tuple[Any, ...]]:
        return {}  # filled by `all`

    @cached_property
    def _found(self) -> dict[Any, tuple[tuple[type, ...], Any]]:
        return {}  # filled by `once`: the kinds of records it was found in, and what was found

    @cached_property
    def _earlier(self) -> dict[Any, Any]:
        return {}  # filled when this document was made: what was found in those before it

    @cached_property
    def _by_kind(self) -> dict[type, list[Any]]:
        groups = dict[type, list[Any]]()
        for record in self.records.values():
            groups.setdefault(type(record), []).append(record)
        return groups

    def once(self, find: Callable[["Document"], _Kind], *of: type) -> _Kind:
        """What a function finds in this document; it is asked once, since a document does not change.

        `of`: the only kinds of records it looks at. An edit that touches none of them leaves what it found; without kinds, any
        edit makes it look again.
        """
        if find not in self._found:
            self._found[find] = of, find(self)
        found: _Kind = self._found[find][1]
        return found

    def earlier(self, find: Callable[["Document"], _Kind]) -> _Kind | None:
        """What a function found in a document before this one; None where it was not asked, or its result is not known."""
        found: _Kind | None = self._earlier.get(find)
        return found

    def get(self, id: str, kind: type[_Kind]) -> _Kind:  # noqa: A002  # the word everybody uses
        """The record with an id. KeyError when there is none of that kind."""
        record = self.records[id]
        if not isinstance(record, kind):
            raise KeyError(id)
        return record

    def all(self, kind: type[_Kind]) -> Iterator[_Kind]:
        """The records of a kind, ordered by their place where they have one."""
        if kind not in self._sorted:
            self._sorted[kind] = tuple(sorted(self._by_kind.get(kind, ()), key=_order(kind)))
        return iter(self._sorted[kind])

    @property
    def settings(self) -> SettingsRecord:
        """The workbook's settings; the defaults where it has none yet."""
        record = self.records.get(SETTINGS_ID)
        return record if isinstance(record, SettingsRecord) else SettingsRecord()

    @property
    def tools(self) -> ToolsRecord:
        """The maker's tools; the defaults where there is no such record."""
        record = self.records.get(TOOLS_ID)
        return record if isinstance(record, ToolsRecord) else ToolsRecord()

    def applied(self, edit: Edit, going_on: Edit | None = None) -> "Document":
        """Apply an edit. EditError when it does not fit this document, NotTaken when it would store invalid values.

        `going_on`: the edit that this one continues. Records it added, such as the ledger entry of a count being typed, may
        still change.
        """
        records = dict(self.records)
        for change in edit.changes:
            if records.get(change.id) != change.before:
                raise EditError(_("{action}: {id} has changed", action=edit.action.id, id=change.id))
            if change.after is None:
                records.pop(change.id, None)
            elif change.after.id != change.id:
                raise EditError(_("{action}: {id} would get another id", action=edit.action.id, id=change.id))
            else:
                records[change.id] = change.after
        new_ids = {change.id for change in going_on.changes if change.before is None} if going_on else set()
        _make_sure(edit, records, new_ids)
        return self._followed_by(Document(records), edit)

    def _followed_by(self, after: "Document", edit: Edit) -> "Document":
        """The document after an edit, with what is known here and still holds: the order of its records, and what was found."""
        for kind, records in self._sorted.items():
            gone = [change.before for change in edit.changes if type(change.before) is kind]
            came = [change.after for change in edit.changes if type(change.after) is kind]
            after._sorted[kind] = _reordered(records, gone, came, _order(kind)) if gone or came else records
        touched = {type(record) for change in edit.changes for record in (change.before, change.after)}
        after._earlier.update(self._earlier)
        for find, (kinds, found) in self._found.items():
            if kinds and touched.isdisjoint(kinds):
                after._found[find] = kinds, found
            else:
                after._earlier[find] = found
        return after


def _order(kind: type) -> Callable[[Any], Any]:
    """By what records of a kind are ordered: their place, where they have one."""
    return attrgetter("place", "id") if hasattr(kind, "place") else attrgetter("id")


def _reordered(records: tuple[Any, ...], gone: list[Any], came: list[Any], order: Callable[[Any], Any]) -> tuple[Any, ...]:
    """Records in order without some of them and with others."""
    found = list(records)
    for record in gone:
        del found[bisect_left(found, order(record), key=order)]
    for record in came:
        insort(found, record, key=order)
    return tuple(found)


def _make_sure(edit: Edit, records: Mapping[str, Record], new_ids: set[str]) -> None:
    """Check the records an edit adds or changes. `new_ids`: ids of those added earlier in the same step. NotTaken."""
    pairs = [
        (None if change.id in new_ids else change.before, change.after) for change in edit.changes if change.after is not None
    ]
    mistakes = [mistake for before, after in pairs for mistake in wrong_with(before, after, records)]
    if mistakes:
        raise NotTaken(mistakes)


def replacing(document: Document, action: Action, after: Iterable[Record], without: Iterable[str] = ()) -> Edit:
    """Build an edit that adds records, replacing any with the same ids, and removes those with the ids in `without`."""
    replacements = [Change(record.id, document.records.get(record.id), record) for record in after]
    removals = [Change(id_, document.records[id_], None) for id_ in without]
    return Edit(action, tuple(change for change in (*replacements, *removals) if change.before != change.after))


def joined(first: Edit, then: Edit) -> Edit:
    """Combine two edits into one, with the action of the second."""
    before = {change.id: change.before for change in reversed((*first.changes, *then.changes))}
    after = {change.id: change.after for change in (*first.changes, *then.changes)}
    return Edit(then.action, tuple(Change(id_, before[id_], after[id_]) for id_ in after))
