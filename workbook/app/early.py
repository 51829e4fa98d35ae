"""The pages of a window. Each is built when first shown, or earlier, in slices while the window is idle."""

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
    """A page built in slices, or all at once. `page` is None until it is complete."""

    def __init__(self, make: Callable[[], Slices]) -> None:
        self._make = make
        self._slices: Slices | None = None
        self.page: Page | None = None

    def go_on(self) -> None:
        """Build one more slice."""
        self._slices = self._slices or self._make()
        try:
            next(self._slices)
        except StopIteration as stop:
            self.page, self._slices = stop.value, None
        except Exception:
            self._slices = None  # the next request starts again
            raise

    def whole(self) -> Page:
        """Build the remaining slices and return the page."""
        while self.page is None:
            self.go_on()
        return self.page


class EarlyPages(QObject):
    """The pages of one window in one look."""

    def __init__(self, window: Frame, printing: Callable[[], Printing]) -> None:
        super().__init__(window.pages)
        self._window, self._printing = window, printing
        self.made = {row.name: InSlices(partial(self._making, row)) for row in PAGES}
        self._to_show: dict[str, object] = {}  # what to show on pages not yet built, taken from the window in the old look
        self._left: Iterator[None] = iter(())
        self.begun = False
        self._timer = QTimer(self)
        self._timer.setInterval(start_order.BETWEEN_SLICES)
        self._timer.timeout.connect(self._next)

    def _making(self, row: Row) -> Slices:
        """Build a page in slices and add it to the window."""
        page = yield from row.make(self._window, self._printing)
        page.make_room(self._window.width(), self._window.height())
        self._window.pages.addWidget(page)
        if (value := self._to_show.pop(row.name, None)) is not None:
            page.show_again(value)
        return page

    def showing(self) -> dict[str, object]:
        """What each page shows besides the workbook, by page name; for pages not yet built, what they are to show."""
        return self._to_show | {name: page.showing() for name, page in self.there().items()}

    def show_again(self, showing: dict[str, object]) -> None:
        """Restore what the pages showed in another look: at once on existing pages, on the others when they are built."""
        self._to_show = dict(showing)
        for name, page in self.there().items():
            if (value := self._to_show.pop(name, None)) is not None:
                page.show_again(value)

    def page(self, name: str) -> Page:
        """The page with this name, built now if it does not exist yet."""
        return self.made[name].whole()

    def there(self) -> dict[str, Page]:
        """The pages that exist, by name."""
        return {name: builder.page for name, builder in self.made.items() if builder.page is not None}

    @property
    def over(self) -> bool:
        """Whether no more pages are being built in advance."""
        return not self._timer.isActive()

    def begin(self) -> None:
        """Build the pages in advance, one after the other, starting now."""
        self.begun = True
        self._left = self._beforehand()
        self._timer.start()

    def _next(self) -> None:
        if QGuiApplication.mouseButtons() != Qt.MouseButton.NoButton:
            return  # do not disturb a drag
        if next(self._left, _OVER) is _OVER:
            self._timer.stop()

    def _beforehand(self) -> Iterator[None]:
        """Build all early pages and draw each once off screen."""
        for builder in (self.made[row.name] for row in PAGES if row.early):
            with suppress(Exception):  # a page's error is raised when the page is opened
                while builder.page is None:
                    builder.go_on()
                    yield
                yield from self._tried(builder.page)

    def _tried(self, page: Page) -> Iterator[None]:
        """Do the work of a page's first showing: its size, style and fonts."""
        if page.isVisible():
            return
        page.resize(self._window.pages.size())
        for part in (page, *page.findChildren(QWidget)):
            part.ensurePolished()
        yield
        page.fill()
        yield
        page.grab(QRect(0, 0, 1, 1))  # gives every part its place
        yield
        page.grab()
        yield
