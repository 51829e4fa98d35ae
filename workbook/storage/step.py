"""One step of the history as stored: its action, its time, and its changes, from which its edit is rebuilt."""

from collections import deque
from collections.abc import Mapping
from functools import cached_property
from typing import Any

from msgspec import Raw, Struct
from msgspec.json import decode, encode

from workbook.document.action import Action, said
from workbook.document.action_words import in_words
from workbook.document.codec import CodecError, decoded, encoded
from workbook.document.document import Change, Document, Edit
from workbook.document.records import KINDS, Record, kind_of
from workbook.storage.patch import PatchError, backward, difference, forward, sound
from workbook.storage.trouble import NotAWorkbook
from workbook.storage.weight import Weight, weight_of
from workbook.texts import _

_LAST: deque[tuple[Record, Any]] = deque(maxlen=4)  # the records encoded last


class Step(Struct, frozen=True, dict=True):
    """An edit of the history and when it was made (ISO date and time).

    `changes` is the JSON of `[id, patches]` for each record changed and `[id, before, after]` for each added or removed. It is
    decoded on demand, so a long history costs nothing to open.
    """

    action: Action
    at: str
    changes: str

    def undone(self, document: Document) -> Edit:
        """The edit that undoes this step in a document where it is the last one done. NotAWorkbook when it does not fit."""
        return self._edit(document, back=True)

    def done_again(self, document: Document) -> Edit:
        """The edit that redoes this step in a document where it is the next one. NotAWorkbook when it does not fit."""
        return self._edit(document, back=False)

    def _edit(self, document: Document, *, back: bool) -> Edit:
        try:
            entries = list(decode(self.changes))
            return Edit(
                self.action, tuple(_change(document, entry, back=back) for entry in (reversed(entries) if back else entries))
            )
        except (ValueError, TypeError, KeyError, IndexError, RecursionError) as trouble:
            words = in_words(self.action, document.settings.unit)[:80]
            problem = _("The step “{words}” of the history cannot be read: {trouble}.", words=words, trouble=trouble)
            raise NotAWorkbook(problem, _("The work itself is complete. Continue from here.")) from None

    @cached_property
    def sound(self) -> bool:
        """Whether its changes can be decoded."""
        try:
            check_changes(decode(self.changes))
        except (ValueError, RecursionError):
            return False
        return True

    @cached_property
    def weight(self) -> Weight:
        """Its weight in a file."""
        return weight_of(self.changes) + weight_of(self.action_text) + Weight(40, 2)

    @property
    def action_text(self) -> str:
        """Its action as JSON."""
        return json_of(action_value(self.action))


def json_of(value: Any) -> str:
    """Encode a value as the JSON text that a session stores."""
    return encode(value).decode()


def step_of(edit: Edit, at: str, texts: Mapping[str, str]) -> Step:
    """Build the step for an edit. `texts`: the JSON of its records by id, where already encoded."""
    return Step(edit.action, at, json_of([_entry(change, texts) for change in edit.changes]))


def action_value(action: Action) -> Any:
    """The action as a JSON value."""
    return [action.id, dict(action.fields)]


def action_of(value: Any) -> Action:
    """Decode an action, or the sentence that older programs stored instead. CodecError when it is neither."""
    if isinstance(value, str):
        return said(value)
    if not isinstance(value, list) or len(value) != 2 or not isinstance(value[0], str) or not isinstance(value[1], dict):
        raise CodecError(_("is not what a step did"))
    return Action(value[0], value[1])


def record_value(record: Record | None) -> Any:
    """The record as a JSON value with its kind; None for no record. CodecError when it cannot be encoded."""
    return None if record is None else {"kind": kind_of(record), "record": _value(record)}


def _value(record: Record) -> Any:
    """The record as a JSON value, not to be changed: the last few are cached, since an edit encodes the same ones repeatedly."""
    for recent, value in _LAST:
        if recent is record:
            return value
    value = encoded(record)
    _LAST.append((record, value))
    return value


def record_of(value: Any) -> Record | None:
    """Decode a record with its kind; None for no record. CodecError when it is neither."""
    if value is None:
        return None
    if not isinstance(value, dict) or set(value) != {"kind", "record"}:
        raise CodecError(_("is not a record"))
    kind = KINDS.get(value["kind"]) if isinstance(value["kind"], str) else None
    if kind is None:
        raise CodecError(_("is not a record"))
    return decoded(kind, value["record"])


def _entry(change: Change, texts: Mapping[str, str]) -> list[Any]:
    """One change as stored: patches where the record keeps its kind, else the record before and after."""
    before, after, text = change.before, change.after, texts.get(change.id)
    if before is None or after is None or type(before) is not type(after):
        return [change.id, record_value(before), record_value(after) if text is None else Raw(text)]
    return [change.id, difference(_value(before), _value(after))]


def _change(document: Document, entry: Any, *, back: bool) -> Change:
    current = document.records.get(entry[0])
    if len(entry) == 3:
        return Change(entry[0], current, record_of(entry[1] if back else entry[2]))
    if current is None:
        raise PatchError(_("{entry} is missing", entry=str(entry[0])[:60]))
    value = (backward if back else forward)(_value(current), entry[1])
    return Change(entry[0], current, decoded(type(current), value))


def check_changes(value: Any) -> None:
    """Check the form of a step's changes. CodecError when it is wrong."""
    if not isinstance(value, list):
        raise CodecError(_("is not a list of changes"))
    for entry in value:
        if not isinstance(entry, list) or len(entry) not in (2, 3) or not isinstance(entry[0], str):
            raise CodecError(_("is not a list of changes"))
        if len(entry) == 3:
            record_of(entry[1]), record_of(entry[2])
        elif not isinstance(entry[1], list) or not all(sound(patch) for patch in entry[1]):
            raise CodecError(_("is not a list of changes"))
