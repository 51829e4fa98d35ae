"""The hours of the shop: from when until when on each day of the week, and days off. Plans and dates of delivery go by them."""

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QVBoxLayout, QWidget

from workbook.app.changed import Changed
from workbook.app.dialogs.record_cells import RecordCells, RecordColumn
from workbook.app.dialogs.undo_keys import undo_by_keys
from workbook.app.elements.basics import Lettered, label
from workbook.app.workspace import Workspace
from workbook.document.fields import row_of
from workbook.making.minutes import minutes_words
from workbook.shop.hours import WEEKDAYS, DaysOff, ShopDay, ShopHours, clock_in, clock_words
from workbook.shop.order_entry import iso_date
from workbook.structs import replace
from workbook.tasks.work import now
from workbook.texts import _

_DAY = tuple(RecordColumn(key, row_of(ShopDay, key).label, clock_in, clock_words) for key in ("begin", "end"))
_OFF = tuple(RecordColumn(key, row_of(DaysOff, key).label, iso_date, str) for key in ("first", "last"))


class HoursDialog(QDialog):
    """The dialog; every entry takes effect at once and can be undone."""

    def __init__(self, parent: QWidget, workspace: Workspace) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Shop hours"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._space, look = workspace, workspace.look
        self.days = RecordCells(look, "shop-days", _DAY, ShopDay, rows=WEEKDAYS)
        self.off = RecordCells(look, "days-off", _OFF, lambda: DaysOff(first=now()[:10], last=now()[:10]))
        self.days.table.setAccessibleName(_("Hours by day"))
        self.off.table.setAccessibleName(_("Days off"))
        self.week = label(look, "", soft=True)
        self.wrong = Lettered(look, "", 9, bold=True, tone="stop")
        note = label(
            look,
            _("When you work in the shop. Plans and dates count these hours. A day off begins and ends at one time."),
            "small",
            soft=True,
        )
        note.setWordWrap(True)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(12, 10, 12, 10)
        outer.addWidget(note)
        outer.addWidget(self.days, 3)
        outer.addWidget(self.week)
        outer.addWidget(label(look, _("Days off"), "strong"))
        outer.addWidget(self.off, 2)
        outer.addWidget(self.wrong)
        self.resize(look.px(420), min(look.px(600), parent.height()))
        self.days.changed.connect(lambda days: self._keep(days=days))
        self.off.changed.connect(lambda off: self._keep(off=off))
        for part in (self.days, self.off):
            part.trouble.connect(self._say)
            part.cells.typing.connect(workspace.hold)
        undo_by_keys(self, workspace)
        workspace.changed.connect(self._changed)
        workspace.refused.connect(self._refused)
        self._fill()

    def _say(self, problem: str) -> None:
        self.wrong.say(problem, "stop")
        self.wrong.setVisible(bool(problem))

    def _refused(self) -> None:
        self.days.cells.let_go()
        self.off.cells.let_go()
        self._fill()

    def _changed(self, change: Changed) -> None:
        if change.records:
            self._fill()

    @property
    def _hours(self) -> ShopHours:
        return self._space.session.document.settings.hours

    def _fill(self) -> None:
        hours = self._hours
        self.days.show_records([*hours.days, *(ShopDay() for _day in WEEKDAYS)][: len(WEEKDAYS)])
        self.off.show_records(hours.off)
        self.week.setText(_("{hours} a week", hours=minutes_words(hours.week)))
        self._say("")

    def _keep(self, **changes: Any) -> None:
        """Keep other hours; an end typed before its beginning moves the beginning, and the other way round."""
        hours = replace(self._hours, **changes)
        days = tuple(_in_order(day, before) for day, before in zip(hours.days, self._hours.days, strict=False))
        off = tuple(_days_in_order(days_off, n, self._hours.off) for n, days_off in enumerate(hours.off))
        self._space.change_settings("hours", None, hours=replace(hours, days=days, off=off))


def _in_order(day: ShopDay, before: ShopDay) -> ShopDay:
    if day.end >= day.begin:
        return day
    return replace(day, end=day.begin) if day.begin != before.begin else replace(day, begin=day.end)


def _days_in_order(days: DaysOff, n: int, before: tuple[DaysOff, ...]) -> DaysOff:
    if days.last >= days.first:
        return days
    first_typed = n >= len(before) or days.first != before[n].first
    return replace(days, last=days.first) if first_typed else replace(days, first=days.last)
