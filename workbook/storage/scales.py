"""The running weight of a workbook's records, so that no edit makes one that could not be opened again."""

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
    """The weight of each record by its id, and of all together."""

    each: Mapping[str, Weight]
    whole: Weight

    def after(self, edit: Edit, texts: Mapping[str, str]) -> "Scales":
        """The scales after an edit; `texts`: the JSON of its records by id. StorageTrouble when one could not be opened again."""
        weights = {change.id: _weighed(change.after, texts[change.id]) for change in edit.changes if change.after is not None}
        changed_ids = {change.id for change in edit.changes}
        each = dict(self.each) | weights
        for gone in changed_ids - weights.keys():
            each.pop(gone, None)
        old_weight = total([self.each[id_] for id_ in changed_ids if id_ in self.each])
        scales = Scales(each, self.whole - old_weight + total(list(weights.values())))
        lighter = scales.whole.within(self.whole) and len(each) <= len(self.each)
        if not lighter and not (scales.whole.within(RECORDS) and len(each) <= MOST_RECORDS):
            most = RECORDS.size // 1_000_000
            problem = _("The shop book would grow too large to be opened again ({most} MB of records).", most=most)
            raise StorageTrouble(problem, _("Outlines with fewer points need less room."))
        return scales


def weighed(document: Document, texts: Sequence[str]) -> Scales:
    """Weigh a document; `texts`: the JSON of its records, in their order."""
    each = dict(zip(document.records, map(weight_of, texts), strict=True))
    return Scales(each, total(list(each.values())))


def texts_of(edit: Edit) -> dict[str, str]:
    """The JSON of each record that an edit adds or changes, by its id. StorageTrouble where one cannot be encoded."""
    try:
        return {change.id: json_of(record_value(change.after)) for change in edit.changes if change.after is not None}
    except CodecError as wrong:
        raise _refused(str(wrong)) from None


def _weighed(record: Record, text: str) -> Weight:
    """The weight of a record, after checking that its text decodes to the same record. StorageTrouble when it does not."""
    try:
        if record_of(decode(text)) == record:
            return weight_of(text)
        trouble = _("it would not be the same when it is read again")
    except CodecError as wrong:
        trouble = str(wrong)
    raise _refused(trouble)


def _refused(trouble: str) -> StorageTrouble:
    return StorageTrouble(_("The change cannot be saved: {trouble}.", trouble=trouble), _("Nothing was changed."))
