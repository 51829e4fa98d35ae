"""The plan for the time there is, and when orders can be promised: worked out in small slices while the window is used."""

from __future__ import annotations

import random
import time
from collections.abc import Iterator, Sequence
from math import inf

from PySide6.QtCore import QObject, QTimer, Signal

from workbook.app.workspace import Workspace
from workbook.document.shop_records import OrderRecord
from workbook.model.lots import Upcoming, lots_of
from workbook.model.own_numbers import OwnNumbers
from workbook.model.promising import asked_for, chances, uncertain
from workbook.model.tonight import Evening, lots_in
from workbook.model.waits import held_now
from workbook.planning.model import Stint
from workbook.planning.ordering import STEPS
from workbook.planning.promise import DRAWS, Forecast, Promise
from workbook.tasks.evening import PlanClock, kept_shares
from workbook.tasks.work import now
from workbook.texts import _

_AT_ONCE, _SLICE, _BETWEEN = 0.03, 0.008, 12  # seconds that are taken at once and in a slice, ms between two slices
_SEED = 11
_NEVER = "9999-12-31"


class Plans(QObject):
    """The plan of one workspace, as of the moment it was asked for."""

    planned = Signal()  # a first plan is there
    bettered = Signal()  # the search is over and found a better plan
    foreseen = Signal()  # promises are there

    def __init__(self, workspace: Workspace, steps: int = 0) -> None:
        super().__init__()
        self._workspace, self._steps = workspace, steps or STEPS
        self.clock = PlanClock(now())
        self.evening = Evening([], [])
        self.kept: Sequence[float] = ()  # shares of the hours that past weeks had
        self._forecast: Forecast | None = None
        self._work: Iterator[None] = iter(())
        self.over = True  # whether all that is to be found is found
        self._timer = QTimer(self)
        self._timer.setInterval(_BETWEEN)
        self._timer.timeout.connect(lambda: self._go_on(_SLICE))

    def plan(self, tonight: float, asked: OrderRecord | None = None, order: str = "") -> None:
        """Plan anew. `tonight`: minutes from now; 0: the hours of the shop. `asked`: an order that is only talked of;
        `order`: the id of one whose dates are wanted in any case.
        """
        self.clock, self._forecast = PlanClock(now()), None
        self._work = self._all(tonight, asked, order)
        self.over = False
        self._timer.start()
        self._go_on(_AT_ONCE)

    def _all(self, tonight: float, asked: OrderRecord | None, order: str) -> Iterator[None]:
        """All the work, in steps of which none takes long."""
        document, model, clock = self._workspace.session.document, self._workspace.model, self.clock
        own = OwnNumbers(document, model)
        yield
        upcoming = lots_of(document, own, clock.ahead, order)
        upcoming += asked_for(document, own, asked, clock.ahead) if asked is not None else []
        yield
        self.kept = kept_shares(document, clock)
        stints = clock.stints(document.settings.hours, tonight)
        yield
        self.evening = Evening(upcoming, stints, self._steps, held_now(document, clock.ahead))
        self.planned.emit()
        yield from self._better()
        yield from self._foresee(own, upcoming, stints)

    def _better(self) -> Iterator[None]:
        better = False
        while not self.evening.search.ended:
            better = self.evening.search.step() or better
            yield
        if better:
            self.bettered.emit()

    def _foresee(self, own: OwnNumbers, upcoming: Sequence[Upcoming], stints: Sequence[Stint]) -> Iterator[None]:
        document = self._workspace.session.document
        lots = uncertain(document, own, upcoming, self.clock.ahead)
        yield
        chance = random.Random(_SEED)  # the same shop is promised the same dates
        plan, stages = self.evening.search.plan(), chances(document, own)
        forecast = Forecast(lots, stints, plan, stages, chance, self.kept, self.evening.held)
        for _draw in range(DRAWS):
            forecast.draw()
            yield
        self._forecast = forecast

    def end(self) -> None:
        """Work out nothing more until it is asked to."""
        self._timer.stop()

    def resume(self) -> None:
        """Go on with what is left."""
        if not self.over:
            self._timer.start()

    def finish(self) -> None:
        """Work out all that is left at once."""
        self._go_on(inf)

    def _go_on(self, seconds: float) -> None:
        """Go on for some seconds."""
        until = time.perf_counter() + seconds
        while not self.over and time.perf_counter() < until:
            if next(self._work, self) is self:
                self.over = True
                self._timer.stop()
                self.foreseen.emit()

    def promise(self, order: str) -> Promise | None:
        """When an order is done; None while that is not known, and for one of which nothing is left to do."""
        lots = lots_in(self.evening, order)
        return self._forecast.promise(lots) if self._forecast is not None and lots else None

    def day(self, minutes: float) -> str:
        """The ISO date after some minutes; for inf one after all others."""
        return self.clock.at(minutes)[:10] if minutes < inf else _NEVER

    def promise_words(self, promise: Promise) -> str:
        """Both dates of a promise in words."""
        local = self._workspace.session.document.settings.local
        even, likely = (local.brief_day(self.day(when)) for when in (promise.even, promise.likely))
        if promise.likely < inf:
            return _("Even odds {even}, nine in ten {likely}.", even=even, likely=likely)
        if promise.even < inf:
            return _("Even odds {even}. It may not fit into the hours of the next year.", even=even)
        return _("It does not fit into the hours of the next year.")
