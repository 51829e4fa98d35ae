"""What the records of a workbook weigh while they are worked on, so that none is made that could not be opened again."""

from collections.abc import Mapping, Sequence

from msgspec import Struct
from msgspec.json import decode

from workbook.document.codec import CodecError
from workbook.document.document import Document, Edit
from workbook.document.records import Record
from workbook.storage.step import json_of, record_of, record_value
from workbook.storage.trouble import StorageTrouble
from workbook.storage.weight import MOST_RECORDS, RECORDS, Weight, total, weight_of
from workbook.texts import _


class Scales(Struct, frozen=True):
    """The weight of each record by its id, and of all."""

    each: Mapping[str, Weight]
    whole: Weight

    def after(self, edit: Edit, texts: Mapping[str, str]) -> "Scales":
        """The scales after an edit that makes records of these texts. StorageTrouble when one could not be opened again."""
        put = {change.id: _weighed(change.after, texts[change.id]) for change in edit.changes if change.after is not None}
        touched = {change.id for change in edit.changes}
        each = {id_: weight for id_, weight in self.each.items() if id_ not in touched} | put
        taken = total([self.each[id_] for id_ in touched if id_ in self.each])
        made = Scales(each, self.whole - taken + total(list(put.values())))
        lighter = made.whole.within(self.whole) and len(each) <= len(self.each)
        if not lighter and not (made.whole.within(RECORDS) and len(each) <= MOST_RECORDS):
            most = RECORDS.size // 1_000_000
            what = _("The workbook would grow past what can be opened again ({most} MB of records).", most=most)
            raise StorageTrouble(what, _("Outlines of fewer points take less room."))
        return made


def weighed(document: Document, texts: Sequence[str]) -> Scales:
    """The scales for a document whose records are these pieces of JSON."""
    each = dict(zip(document.records, map(weight_of, texts), strict=True))
    return Scales(each, total(list(each.values())))


def texts_of(edit: Edit) -> dict[str, str]:
    """The JSON of each record that an edit makes or changes, by its id. StorageTrouble where one cannot be written."""
    try:
        return {change.id: json_of(record_value(change.after)) for change in edit.changes if change.after is not None}
    except CodecError as wrong:
        raise _refused(str(wrong)) from None


def _weighed(record: Record, text: str) -> Weight:
    """A record's weight, once it was seen that it can be read again from its text. StorageTrouble when it cannot."""
    try:
        if record_of(decode(text)) == record:
            return weight_of(text)
        trouble = _("it would not be the same when it is read again")
    except CodecError as wrong:
        trouble = str(wrong)
    raise _refused(trouble)


def _refused(trouble: str) -> StorageTrouble:
    return StorageTrouble(_("The change cannot be kept: {trouble}.", trouble=trouble), _("Nothing was changed."))
