"""The pages of a window: each is made when it is asked for, or before that a slice at a time while nothing else is done, so that
nobody waits for it when it is first shown.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import suppress
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QRect, Qt, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QWidget

from workbook.app import start_order
from workbook.app.pages.page import Page
from workbook.app.pages.table import PAGES, Row, Slices

if TYPE_CHECKING:
    from workbook.app.frame import Frame
    from workbook.app.printing import Printing

_OVER = object()


class InSlices:
    """A page that is made a slice at a time, or what is left of it at once. `page`: None until it is there."""

    def __init__(self, make: Callable[[], Slices]) -> None:
        self._make = make
        self._slices: Slices | None = None
        self.page: Page | None = None

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

    def whole(self) -> Page:
        """The page."""
        while self.page is None:
            self.go_on()
        return self.page


class EarlyPages(QObject):
    """The pages of one window in one look."""

    def __init__(self, window: Frame, printing: Callable[[], Printing]) -> None:
        super().__init__(window.pages)
        self._window, self._printing = window, printing
        self.made = {row.name: InSlices(partial(self._making, row)) for row in PAGES}
        self._to_show: dict[str, object] = {}  # what pages in another look showed, until they are made here
        self._left: Iterator[None] = iter(())
        self.begun = False
        self._timer = QTimer(self)
        self._timer.setInterval(start_order.BETWEEN_SLICES)
        self._timer.timeout.connect(self._next)

    def _making(self, row: Row) -> Slices:
        """A page in slices, and its place in the window."""
        page = yield from row.make(self._window, self._printing)
        page.make_room(self._window.width(), self._window.height())
        self._window.pages.addWidget(page)
        if (value := self._to_show.pop(row.name, None)) is not None:
            page.show_again(value)
        return page

    def showing(self) -> dict[str, object]:
        """What the pages show besides the workbook, by name; of one that is not made yet, what it is to show."""
        return self._to_show | {name: page.showing() for name, page in self.there().items()}

    def show_again(self, showing: dict[str, object]) -> None:
        """Has pages show what those in another look did: those that are there at once, others when they are made."""
        self._to_show = dict(showing)
        for name, page in self.there().items():
            if (value := self._to_show.pop(name, None)) is not None:
                page.show_again(value)

    def page(self, name: str) -> Page:
        """The page of a name, made now where it is not there yet."""
        return self.made[name].whole()

    def there(self) -> dict[str, Page]:
        """The pages that are made, by name."""
        return {name: made.page for name, made in self.made.items() if made.page is not None}

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
        for made in (self.made[row.name] for row in PAGES if row.early):
            with suppress(Exception):  # what is wrong with a page is told when it is asked for
                while made.page is None:
                    made.go_on()
                    yield
                yield from self._tried(made.page)

    def _tried(self, page: Page) -> Iterator[None]:
        """Everything that a page does when it is first seen: its size, its style, its fonts."""
        if page.isVisible():
            return
        page.resize(self._window.pages.size())
        for part in (page, *page.findChildren(QWidget)):
            part.ensurePolished()
        yield
        page.fill()
        yield
        page.grab(QRect(0, 0, 1, 1))  # every part gets its place
        yield
        page.grab()
        yield
