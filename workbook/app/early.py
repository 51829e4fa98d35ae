"""The pages that a start does not show: each is made when it is asked for, or before that a slice at a time while nothing else is
done, so that nobody waits for it when it is first shown.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterator
from contextlib import suppress
from typing import TYPE_CHECKING, Generic, TypeVar

from PySide6.QtCore import QObject, QRect, Qt, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QWidget

if TYPE_CHECKING:
    from workbook.app.pages.grind import GrindPage
    from workbook.app.pages.look_up import LookUpPage
    from workbook.app.pages.quote import QuotePage
    from workbook.app.pages.stock import StockPage
    from workbook.app.window import Window

_PAUSE = 100  # ms between two slices
_OVER = object()
_Page = TypeVar("_Page", bound=QWidget)
Slices = Generator[None, None, _Page]


class InSlices(Generic[_Page]):
    """A page that is made a slice at a time, or what is left of it at once. `page`: None until it is there."""

    def __init__(self, make: Callable[[], Slices[_Page]]) -> None:
        self._make = make
        self._slices: Slices[_Page] | None = None
        self.page: _Page | None = None

    def go_on(self) -> None:
        """Makes one slice more."""
        self._slices = self._slices or self._make()
        try:
            next(self._slices)
        except StopIteration as made:
            self.page, self._slices = made.value, None
        except Exception:
            self._slices = None  # who asks for it next begins anew
            raise

    def whole(self) -> _Page:
        """The page."""
        while self.page is None:
            self.go_on()
        return self.page


class EarlyPages(QObject):
    """The pages of one window in one look."""

    def __init__(self, window: Window) -> None:
        super().__init__(window.pages)
        self._window = window
        self.grind = InSlices(lambda: _grind(window))
        self.stock = InSlices(lambda: _stock(window))
        self.quote = InSlices(lambda: _quote(window))
        self.look_up = InSlices(lambda: _look_up(window))
        self._left: Iterator[None] = iter(())
        self.begun = False
        self._timer = QTimer(self)
        self._timer.setInterval(_PAUSE)
        self._timer.timeout.connect(self._next)

    @property
    def over(self) -> bool:
        """Whether nothing is made beforehand any more."""
        return not self._timer.isActive()

    def begin(self) -> None:
        """Makes them one after the other, beginning now."""
        self.begun = True
        self._left = self._beforehand()
        self._timer.start()

    def _next(self) -> None:
        if QGuiApplication.mouseButtons() != Qt.MouseButton.NoButton:
            return  # in the middle of a drag nothing comes between
        if next(self._left, _OVER) is _OVER:
            self._timer.stop()

    def _beforehand(self) -> Iterator[None]:
        """Makes all pages, and draws each once where nobody sees it."""
        pages: tuple[InSlices[GrindPage] | InSlices[StockPage] | InSlices[QuotePage] | InSlices[LookUpPage], ...]
        pages = (self.grind, self.stock, self.quote, self.look_up)
        for made in pages:
            with suppress(Exception):  # what is wrong with a page is told when it is asked for
                while made.page is None:
                    made.go_on()
                    yield
                yield from self._tried(made.page)

    def _tried(self, page: QWidget) -> Iterator[None]:
        """Everything that a page does when it is first seen: its size, its style, its fonts."""
        if page.isVisible():
            return
        page.resize(self._window.pages.size())
        for part in (page, *page.findChildren(QWidget)):
            part.ensurePolished()
        yield
        fill = getattr(page, "fill", None)
        if fill is not None:
            fill()
            yield
        page.grab(QRect(0, 0, 1, 1))  # every part gets its place
        yield
        page.grab()
        yield


def _grind(window: Window) -> Slices[GrindPage]:
    from workbook.app.pages.bench_side import BenchSide
    from workbook.app.pages.grind import GrindPage

    side = BenchSide(window.workspace)
    yield
    page = GrindPage(window.workspace, side)
    page.hint.connect(lambda text: window.hint(text, "soft"))
    page.print_wanted.connect(window.printing.print_card)
    yield
    window.put_in(page)
    return page


def _stock(window: Window) -> Slices[StockPage]:
    from workbook.app.pages.stock import StockPage
    from workbook.app.pages.stock_side import StockSide

    side = StockSide(window.workspace)
    yield
    page = StockPage(window.workspace, side)
    page.hint.connect(lambda text: window.hint(text, "ink"))
    yield
    window.put_in(page)
    return page


def _quote(window: Window) -> Slices[QuotePage]:
    from workbook.app.pages.quote import QuotePage
    from workbook.app.pages.quote_side import QuoteSide

    side = QuoteSide(window.workspace)
    yield
    page = QuotePage(window.workspace, side)
    page.hint.connect(lambda text: window.hint(text, "ink"))
    page.print_wanted.connect(window.printing.print_quote)
    page.needs.write_wanted.connect(window.printing.save_needs)
    page.rates_wanted.connect(lambda: window.dialog("rates"))
    yield
    window.put_in(page)
    return page


def _look_up(window: Window) -> Slices[LookUpPage]:
    from workbook.app.pages.look_up import LookUpPage

    page = LookUpPage(window.workspace.look)
    yield
    window.pages.addWidget(page)
    return page
