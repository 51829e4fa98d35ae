"""The fields of what a maker enters about blades: their limits, labels and meanings."""

from collections.abc import Iterator

from workbook.fields import MINUTES, NOTE, Field, Kind, Rule, Table, choice, name, number, parts, text
from workbook.making.entry import EntryKind, Logged, MeasuredAt
from workbook.texts import _

SINCE = 12
MOST_BLADES = 2000  # in one entry
MOST_MINUTES = 100_000.0
_ID = 100  # letters
_WITH_REASON = (EntryKind.SCRAP, EntryKind.PASSED)
_OF_STAGE = (EntryKind.DONE, EntryKind.SET_UP, EntryKind.PASSED, EntryKind.REWORK, EntryKind.SENT, EntryKind.BACK)

FIELDS: dict[type, Table] = {
    MeasuredAt: (
        name("what", since=SINCE), text("where", since=SINCE), number("value", -10_000, 10_000, since=SINCE),
    ),
    Logged: (
        choice("kind", since=SINCE), Field(key="date", kind=Kind.DATE, since=SINCE, label=_("Date")),
        text("stage", since=SINCE, label=_("Stage")),
        Field(key="pieces", kind=Kind.REFERENCE, letters=_ID, entries=MOST_BLADES, of=("piece",), since=SINCE),
        number("minutes", 0, MOST_MINUTES, unit=MINUTES, since=SINCE, label=_("Minutes")),
        text("who", since=SINCE, label=_("Who")), text("reason", since=SINCE, label=_("Reason")),
        text("note", NOTE, since=SINCE, label=_("Note")), parts("readings", 100, since=SINCE),
        Field(key="of", kind=Kind.REFERENCE, letters=_ID, of=("entry",), since=SINCE),
    ),
}  # fmt: skip


def _of_entry(entry: Logged) -> Iterator[tuple[str, str]]:
    """What an entry of a kind cannot be without."""
    if not entry.date:
        yield "date", _("is missing.")
    if entry.kind in _OF_STAGE and not entry.stage:
        yield "stage", _("is missing.")
    if entry.kind in _WITH_REASON and not entry.reason.strip():
        yield "reason", _("is missing.")
    if entry.kind is EntryKind.SCRAP and not entry.pieces:
        yield "pieces", _("are missing.")
    if entry.kind is EntryKind.MEASURED and not entry.readings:
        yield "readings", _("are missing.")
    if (entry.kind is EntryKind.TAKEN_BACK) is not bool(entry.of):
        yield "of", _("belongs to an entry that takes another back.")


RULES: dict[type, Rule] = {Logged: _of_entry}
