"""Today: what to do in the time there is, with reasons; what is due, what waits, what to buy."""

from collections.abc import Iterator
from itertools import islice

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from workbook.app.changed import Changed
from workbook.app.elements.basics import Lettered, label, named, row, scrolled, surface, tool
from workbook.app.elements.text_field import EntryLine
from workbook.app.pages.page import Page
from workbook.app.pages.red import RedLine
from workbook.app.pages.today.glance import MOST, Glance, GlanceLine
from workbook.app.pages.today.lines import PlanLines
from workbook.app.plans import Plans
from workbook.app.workspace import Workspace
from workbook.document.document import Document
from workbook.document.orders import order_name
from workbook.making.minutes import minutes_in, minutes_words
from workbook.model.accounts import owing
from workbook.model.buying import material_needs, open_lines, without_bar
from workbook.model.today import OrderDue, orders_due, progress_words, what_helps
from workbook.model.tonight import unplanned
from workbook.model.waits import too_cold, wait_words, waits
from workbook.number_in import NumberError
from workbook.planning.promise import kept_share
from workbook.shop.hours import WEEKDAYS
from workbook.shop.money import NOTHING, priced
from workbook.tasks.evening import PlanClock
from workbook.tasks.work import now
from workbook.texts import _, ngettext

_MOST = 1440.0  # minutes
_OFTEN, _OLD = 20_000, 10.0  # ms between looks at the clock, and minutes after which a plan is made anew
_NARROW = 1000  # width of a window, in pixels at 100 %, under which the lists take less


class TodayPage(Page):
    """Shows the plan and the lists."""

    line_wanted = Signal(object)  # a line of the plan that is taken on
    page_wanted = Signal(str)
    buying_wanted = Signal()
    hours_wanted = Signal()

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self.setObjectName("today-page")
        look = workspace.look
        self._workspace, self.plans, self.stale = workspace, Plans(workspace), True
        self._until = ""  # ISO moment until which there is time, as it was typed
        self.minutes = EntryLine("free-minutes", _("Minutes you have"), workspace.typed)
        self.minutes.setFont(look.font("body"))
        self.minutes.setFixedSize(look.px(64), look.size("row"))
        self.lines, self._red = PlanLines(look), RedLine(look)
        self.red = self._red.label
        self.span, self._day = Lettered(look, "", 9.75), Lettered(look, "", 9.75, bold=True)
        self.notes = named(label(look, "", "small", bold=True), "stop")
        self.nothing, self.kept = label(look, "", soft=True), label(look, "", "small", soft=True)
        self.hours_button = tool(look, "shop-hours", _("Shop hours…"))
        self.due = Glance(look, "due-orders", _("Due"), _("Orders"), _("No order is open."))
        self.waits = Glance(look, "waits", _("Waiting"), _("Make"), _("Nothing waits."))
        self.buying = Glance(look, "to-buy-today", _("To buy"), _("All"), _("Nothing is short."))
        self.first: QWidget = self.minutes
        self._clock = QTimer(self)
        self._clock.setInterval(_OFTEN)
        self._clock.timeout.connect(self.tick)
        self._build()
        self._connect()

    def _build(self) -> None:
        look = self._workspace.look
        left = QVBoxLayout()
        left.setContentsMargins(0, 0, 0, 0)
        left.setSpacing(0)
        left.addWidget(surface("strip", row(self._day, self.hours_button), look.px(40)))
        have, unit = label(look, _("I have"), "strong"), label(look, _("min"))
        left.addWidget(surface("strip", row(have, self.minutes, unit, self.span), look.px(48)))
        left.addWidget(self.red)
        inner = named(QWidget(), "inner")
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for words in (self.nothing, self.notes, self.kept):
            words.setWordWrap(True)
            words.setContentsMargins(14, 6, 14, 6)
        column.addWidget(self.nothing)
        column.addWidget(self.lines)
        column.addWidget(self.notes)
        column.addWidget(self.kept)
        column.addStretch(1)
        left.addWidget(scrolled(inner), 1)
        right = QVBoxLayout()
        right.setContentsMargins(0, 0, 0, 0)
        right.setSpacing(0)
        for glance in (self.due, self.waits, self.buying):
            right.addWidget(glance)
        right.addStretch(1)
        panel = QVBoxLayout()
        panel.setContentsMargins(0, 0, 0, 0)
        lists = named(QWidget(), "inner")
        lists.setLayout(right)
        panel.addWidget(scrolled(lists))
        self._right = surface("panel", panel)
        columns = QHBoxLayout(self)
        columns.setContentsMargins(0, 0, 0, 0)
        columns.setSpacing(0)
        columns.addLayout(left, 1)
        columns.addWidget(self._right)

    def _connect(self) -> None:
        self.minutes.returnPressed.connect(self._typed)
        self.minutes.editingFinished.connect(self._left)
        self.lines.wanted.connect(self.line_wanted)
        self.hours_button.clicked.connect(self.hours_wanted)
        self.due.all_button.clicked.connect(lambda: self.page_wanted.emit("quote"))
        self.waits.all_button.clicked.connect(lambda: self.page_wanted.emit("make"))
        self.buying.all_button.clicked.connect(self.buying_wanted)
        self.plans.planned.connect(self._show_plan)
        self.plans.bettered.connect(self._show_plan)
        self.plans.foreseen.connect(self._show_due)
        self._workspace.changed.connect(self._changed)

    @property
    def _document(self) -> Document:
        return self._workspace.session.document

    def _changed(self, change: Changed) -> None:
        if change.records:
            self.out_of_date()

    def make_room(self, width: int, height: int) -> None:
        """Set the width of the lists."""
        look = self._workspace.look
        self._right.setFixedWidth(look.px(280 if width / look.text < _NARROW else 360))

    def entered(self) -> None:
        """Catch up, also with the time that has passed."""
        if self.stale or self.plans.clock.ahead(now()) > _OLD:
            self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """Go on with the plan, and look at the clock."""
        super().showEvent(event)
        self.plans.resume()
        self._clock.start()

    def hideEvent(self, event: QHideEvent) -> None:
        """Leave the time to the page that is shown."""
        super().hideEvent(event)
        self.end()

    def refresh(self) -> None:
        """Plan anew, and show everything as it is now."""
        self.stale = False
        document = self._document
        self.plans.plan(self._time_left())
        local, moment = document.settings.local, self.plans.clock.now
        weekday, day = WEEKDAYS[moment.weekday()], local.day(moment.date().isoformat())
        self._day.say(_("{weekday}, {day}", weekday=weekday, day=day))
        self._red.show_document(document)
        self._show_due()
        self._show_waits()
        self._show_buying()

    def _time_left(self) -> float:
        """Minutes until the time typed is over; 0 without one: the plan is then for the next hours of the shop."""
        clock = PlanClock(now())
        if self._until:
            left = clock.ahead(self._until)
            if left > 0:
                return left
            self._until = ""
            self.minutes.clear()
        return 0.0

    def _typed(self) -> None:
        """Plan for the minutes typed."""
        text = self.minutes.text().strip()
        try:
            minutes = minutes_in(text, _MOST) if text else 0.0
        except NumberError as trouble:
            self.hint.emit(str(trouble))
            return
        self.hint.emit("")
        self._until = PlanClock(now()).at(minutes) if minutes else ""
        self.refresh()

    def _left(self) -> None:
        if self.minutes.isModified():
            self.minutes.setModified(False)
            self._typed()

    def _time(self, minutes: float) -> str:
        return self.plans.clock.at(minutes)[11:16]

    def _show_plan(self) -> None:
        document, evening, clock = self._document, self.plans.evening, self.plans.clock
        lines = evening.lines(document, clock.at)
        self.lines.show_lines(document, lines, self._time)
        self.span.say(self._span_words(), "soft")
        self.nothing.setText("" if lines else self._nothing_words())
        self.nothing.setVisible(not lines)
        notes = unplanned(document, evening)
        self.notes.setText("\n".join(notes))
        self.notes.setVisible(bool(notes))
        self.kept.setText(self._kept_words())
        self.kept.setVisible(bool(self.plans.kept))

    def _span_words(self) -> str:
        """From when until when the plan is."""
        first, clock = self.plans.evening.first, self.plans.clock
        if first.end <= first.start:
            return _("No hours are set. Type your minutes, or add hours under Shop hours.")
        local, begin = self._document.settings.local, clock.at(first.start)
        if begin[:10] == clock.now.date().isoformat():
            return _("until {end}", end=self._time(first.end))
        day = local.brief_day(begin)
        return _("next hours: {day}, {begin}–{end}", day=day, begin=begin[11:16], end=self._time(first.end))

    def _nothing_words(self) -> str:
        if not self.plans.evening.upcoming:
            return _("Nothing is to be done: every blade is finished.")
        return _("Nothing fits into this time.")

    def _kept_words(self) -> str:
        if not self.plans.kept:
            return ""
        weeks, week = self.plans.kept, self._document.settings.hours.week
        return _(
            "Entries of the last {count} weeks: {worked} of {hours} a week. Dates count with {counted}.",
            worked=minutes_words(sum(weeks) / len(weeks) * week), hours=minutes_words(week), count=len(weeks),
            counted=minutes_words(kept_share(weeks, len(weeks)) * week),
        )  # fmt: skip

    def _show_due(self) -> None:
        owed = [self._owed_line()] if owing(self._document, self._workspace.model) else []
        self.due.show_lines([*owed, *(self._due_line(due) for due in islice(orders_due(self._document), MOST))])

    def _owed_line(self) -> GlanceLine:
        """What is owed for knives that left the shop."""
        document = self._document
        found = owing(document, self._workspace.model)
        total = priced(sum((due for _order, due in found), NOTHING), document.settings.money)
        words = ", ".join(order_name(document, order) for order, _due in found[:MOST])
        return GlanceLine(words, total, _("delivered, not paid"), late=True)

    def _due_line(self, due: OrderDue) -> GlanceLine:
        local, wanted = self._document.settings.local, due.order.wanted
        more, late = progress_words(due), False
        promise = self.plans.promise(due.order.id)
        if promise is not None:
            late = bool(wanted) and self.plans.day(promise.even) > wanted
            more = f"{more} {self.plans.promise_words(promise)}"
            more += f" {what_helps(self.plans.evening, due.order.id, kept=bool(self.plans.kept))}" if late else ""
        return GlanceLine(due.words, local.brief_day(wanted) if wanted else "", more, late)

    def _show_waits(self) -> None:
        self.waits.show_lines(list(self._wait_lines()))

    def _wait_lines(self) -> Iterator[GlanceLine]:
        document, clock = self._document, PlanClock(now())
        going = [(clock.ahead(each.since) + each.minutes, each) for each in waits(document)]
        for left, wait in sorted((pair for pair in going if pair[0] > 0 or pair[1].away), key=lambda pair: pair[0]):
            until = document.settings.local.moment(clock.at(left))
            cold = too_cold(document, wait.stage)
            more = cold or _("until {until}", until=until)
            yield GlanceLine(wait_words(document, wait), minutes_words(left) if left > 0 and not cold else "", more, bool(cold))

    def _show_buying(self) -> None:
        document, model = self._document, self._workspace.model
        lines = open_lines(document)
        short = [need for need in material_needs(document, model, lines) if need.buy]
        told = [GlanceLine(need.what, f"{need.buy:g} {need.unit}") for need in short]
        told += [GlanceLine(words) for words in without_bar(document, model, lines)]
        self.buying.show_lines(told)
        more = len(told) - len(self.buying.shown or ())
        self.buying.all_button.setText(ngettext("{count} more", "{count} more", more) if more > 0 else _("All"))

    def tick(self) -> None:
        """Count down, and plan anew once the time typed is over."""
        self._show_waits()
        if (self._until and self._time_left() == 0) or self.plans.clock.ahead(now()) > _OLD:
            self.refresh()

    def end(self) -> None:
        """End the search."""
        self.plans.end()
        self._clock.stop()
