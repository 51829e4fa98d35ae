"""Quick layouts for estimates: the steel cost of some order lines, computed in a worker and cached while nothing changes."""

from collections.abc import Hashable, Sequence

from PySide6.QtCore import QObject, Signal

from workbook.app.search import Search
from workbook.document.document import Document
from workbook.document.shop_records import OrderLine
from workbook.model.laying import Laid
from workbook.model.model import Model
from workbook.model.order_steel import to_lay, wishes
from workbook.nesting.model import Layout, NestingJob
from workbook.tasks.estimate import laid_of, quick_layout

_KEPT = 40  # layouts

Wanted = tuple[Hashable, Model, NestingJob]


class SteelSearch(QObject):
    """Computes one quick layout after another; `found` is emitted after each."""

    found = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._search = Search(1)
        self._search.answered.connect(self._answered)
        self._search.failed.connect(self._failed)
        self._laid: dict[Hashable, Laid | None] = {}  # None: no layout can be found
        self._waiting: list[Wanted] = []
        self._now: Wanted | None = None

    def laid(self, document: Document, model: Model, lines: Sequence[OrderLine]) -> Laid | None:
        """The layout of the blanks of these lines if it is known; otherwise start a search and return None."""
        make = wishes(document, lines)
        job = model.job
        shapes = tuple(job.template(wish.template) for wish in make)
        key = (make, shapes, job.bars, job.saw, job.settings)
        if not make or key in self._laid:
            return self._laid.get(key)
        if all(key != request[0] for request in (*self._waiting, *([self._now] if self._now else []))):
            reduced, nesting, _ = to_lay(model, make)
            if nesting is None:
                self._keep(key, None)
                return None
            self._waiting = [*self._waiting[-2:], (key, reduced, nesting)]  # older requests are of no interest
            self._next()
        return None

    @property
    def busy(self) -> bool:
        """Whether a layout is being searched."""
        return self._now is not None

    def close(self) -> None:
        """End the worker."""
        self._search.close()

    def _next(self) -> None:
        if self._now is None and self._waiting:
            self._now = self._waiting.pop()
            self._search.ask(quick_layout, self._now[2])

    def _answered(self, layout: object) -> None:
        assert isinstance(layout, Layout)
        if self._now is not None:
            key, reduced, nesting = self._now
            self._now = None
            self._keep(key, laid_of(reduced, nesting, layout))
            self._next()
            self.found.emit()

    def _failed(self, problem: str) -> None:
        """Record that no layout can be found: it is not searched again, and the count by rows stands."""
        if self._now is not None:
            self._keep(self._now[0], None)
            self._now = None
            self._next()
            self.found.emit()

    def _keep(self, key: Hashable, laid: Laid | None) -> None:
        self._laid = {**dict(list(self._laid.items())[-_KEPT:]), key: laid}
