"""The red line: loads that are quenched and not tempered, with a clock."""

from collections.abc import Iterator

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QLabel

from workbook.app.elements.basics import label, named
from workbook.app.look import Look
from workbook.document.actions.making import serial_of
from workbook.document.document import Document
from workbook.document.making import untempered
from workbook.document.making_records import LoadRecord
from workbook.making.minutes import minutes_words
from workbook.region import Region
from workbook.tasks.work import minutes_since
from workbook.texts import _

_OFTEN = 20_000  # ms between looks at the clock
_HOUR = 60.0  # minutes within which to temper: common practice, no source
_LONG = 24 * _HOUR  # after which minutes say no more than the date


class RedLine:
    """A label that is there only while a load waits for its temper."""

    def __init__(self, look: Look) -> None:
        self.label: QLabel = named(label(look, "", bold=True), "stop")
        self.label.setContentsMargins(14, 6, 14, 6)
        self.label.setWordWrap(True)
        self._document = Document()
        self._clock = QTimer(self.label)
        self._clock.setInterval(_OFTEN)
        self._clock.timeout.connect(self._tell)

    def show_document(self, document: Document) -> None:
        """Say which loads of a document wait for their temper."""
        self._document = document
        self._tell()

    def _tell(self) -> None:
        loads = untempered(self._document)
        self.label.setText("\n".join(self._lines(loads)))
        self.label.setVisible(bool(loads))
        if loads and not self._clock.isActive():
            self._clock.start()
        elif not loads:
            self._clock.stop()

    def _lines(self, loads: list[LoadRecord]) -> Iterator[str]:
        for record in loads:
            serials = ", ".join(serial_of(self._document, piece) for piece in record.pieces)
            yield _(
                "Load {number}, {when}: quenched, not tempered ({serials}). As quenched, steel can shatter. Temper " "it now.",
                number=record.number, when=_when(record, self._document.settings.local), serials=serials,
            )  # fmt: skip


def _when(record: LoadRecord, local: Region) -> str:
    """When it was quenched, and how long ago where that is known."""
    gone = minutes_since(record.date, record.load.quenched)
    if gone is None or gone > _LONG:
        return " ".join(part for part in (local.short_day(record.date), record.load.quenched) if part)
    if gone > _HOUR:
        return _("{gone} ago, over the hour", gone=minutes_words(gone))
    return _("{gone} ago", gone=minutes_words(gone))
