"""The plan for the time there is, and when orders can be promised: worked out in small slices while the window is used."""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Sequence
from math import inf

from PySide6.QtCore import QObject, QTimer, Signal

from workbook.app.workspace import Workspace
from workbook.document.shop_records import OrderRecord
from workbook.model.lots import Upcoming, lots_of
from workbook.model.own_numbers import OwnNumbers
from workbook.model.promising import asked_for, chances, uncertain
from workbook.model.tonight import Evening, lots_in
from workbook.planning.model import Stint
from workbook.planning.ordering import STEPS
from workbook.planning.promise import DRAWS, Forecast, Promise, kept_share, kept_stints
from workbook.tasks.evening import PlanClock, kept_shares
from workbook.tasks.work import now
from workbook.texts import _

_SLICE, _BETWEEN = 0.008, 12  # seconds of a slice, ms between two
_SEED = 11
_NEVER = "9999-12-31"


class Plans(QObject):
    """The plan of one workspace, as of the moment it was asked for."""

    bettered = Signal()  # the search is over and found a better plan
    foreseen = Signal()  # promises are there

    def __init__(self, workspace: Workspace, steps: int = STEPS) -> None:
        super().__init__()
        self._workspace, self._steps = workspace, steps
        self.clock = PlanClock(now())
        self.evening = Evening([], [])
        self.kept: Sequence[float] = ()  # shares of the hours that past weeks had
        self._stints: Sequence[Stint] = ()  # all hours, kept or not
        self._forecast: Forecast | None = None
        self._begin: Callable[[], Forecast] | None = None
        self._bettered = False
        self._timer = QTimer(self)
        self._timer.setInterval(_BETWEEN)
        self._timer.timeout.connect(self._go_on)

    def plan(self, tonight: float, asked: OrderRecord | None = None) -> None:
        """Plan anew. `tonight`: minutes from now; 0: the hours of the shop. `asked`: an order that is only talked of."""
        document, model = self._workspace.session.document, self._workspace.model
        self.clock = PlanClock(now())
        own = OwnNumbers(document, model)
        upcoming = lots_of(document, own, self.clock.ahead)
        upcoming += asked_for(document, own, asked, self.clock.ahead) if asked is not None else []
        self.kept = kept_shares(document, self.clock)
        self._stints = self.clock.stints(document.settings.hours, tonight)
        self.evening = Evening(upcoming, kept_stints(self._stints, kept_share(self.kept, len(self.kept))), self._steps)
        self._forecast, self._bettered = None, False
        self._begin = lambda: self._forecast_of(own, upcoming)
        self._timer.start()

    def _forecast_of(self, own: OwnNumbers, upcoming: Sequence[Upcoming]) -> Forecast:
        document, evening = self._workspace.session.document, self.evening
        lots = uncertain(document, own, upcoming, self.clock.ahead)
        chance = random.Random(_SEED)  # the same shop is promised the same dates
        return Forecast(lots, self._stints, evening.search.plan(), chances(document, own), chance, self.kept)

    def end(self) -> None:
        """Work out nothing more."""
        self._timer.stop()

    @property
    def over(self) -> bool:
        """Whether all that is to be found is found."""
        return not self._timer.isActive()

    def finish(self) -> None:
        """Work out all that is left at once."""
        while not self.over:
            self._slice()

    def promise(self, order: str) -> Promise | None:
        """When an order is done; None while that is not known, and for one of which nothing is left to do."""
        lots = lots_in(self.evening, order)
        return self._forecast.promise(lots) if self._forecast is not None and self.over and lots else None

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

    def _go_on(self) -> None:
        until = time.perf_counter() + _SLICE
        while time.perf_counter() < until and not self.over:
            self._slice()

    def _slice(self) -> None:
        search = self.evening.search
        if not search.ended:
            self._bettered = search.step() or self._bettered
        elif self._bettered:
            self._bettered = False
            self.bettered.emit()
        elif self._forecast is None and self._begin is not None:
            self._forecast = self._begin()
        elif self._forecast is not None and len(self._forecast.drawn) < DRAWS:
            self._forecast.draw()
        else:
            self._timer.stop()
            self.foreseen.emit()
