"""Sheets and cutting files of what the window shows, written where the maker says."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct
from PySide6.QtGui import QDesktopServices

from workbook.app.as_it_is import AsItIs, as_it_is
from workbook.app.asking import ask_where
from workbook.app.urls import url_of
from workbook.problems import TOO_LITTLE_MEMORY, JobError, Mistake
from workbook.system.names import shown
from workbook.tasks.layout import ground_template, refuse_clash, refuse_stopped
from workbook.tasks.write import file_name, write_all

if TYPE_CHECKING:
    from workbook.app.beside import Found
    from workbook.app.window import Window
    from workbook.tasks.layout import Laid

Made = Callable[[AsItIs], bytes]


class Paper(Struct, frozen=True):
    """Something that is made of the work as it is: what it is called, its kind of file and the name that is proposed.

    `note` notes in the history that it leaves, and tells whether it may; `refuse` raises why it cannot be made, and nothing is
    asked then; `show`: it is opened when it is there.
    """

    what: str
    kind: str
    name: str
    made: Made
    note: Callable[[], bool] = lambda: True
    refuse: Callable[[], None] = lambda: None
    show: bool = False


class Printing:
    """Asks where, writes whole or not at all, says so; for one window. The writers are brought beside it."""

    def __init__(self, window: Window) -> None:
        self._window = window

    def print_template(self) -> None:
        """The chosen template's sheets as a PDF, opened for printing."""

        def made(work: AsItIs) -> bytes:
            from workbook.app.export import template_sheet

            return template_sheet(work)

        self._save_template("template sheet", "pdf", self._window.workspace.chosen, made, show=True)

    def print_card(self) -> None:
        """The chosen template's bench card as a PDF, opened for printing."""

        def made(work: AsItIs) -> bytes:
            from workbook.app.export import bench_card

            return bench_card(work)

        name = f"{self._window.workspace.chosen} bench card"
        self._save_template("bench card", "pdf", name, made, show=True, ground=True)

    def print_shelf(self) -> None:
        """All templates of the shelf on one sheet or a few, to one scale."""

        def made(work: AsItIs) -> bytes:
            from workbook.app.export import contact_sheet

            return contact_sheet(work)

        self._save(Paper("contact sheet", "pdf", f"{self._window.workspace.loaded.job.name} shelf", made, show=True))

    def save_cut_file(self) -> None:
        """The chosen template as DXF."""

        def made(work: AsItIs) -> bytes:
            from workbook.app.export import template_dxf

            return template_dxf(work)

        self._save_template("cut file", "dxf", self._window.workspace.chosen, made)

    def _save_template(self, what: str, kind: str, name: str, made: Made, *, show: bool = False, ground: bool = False) -> None:
        """What is made of the chosen template, unless a check stops it: the dialog that writes all says the same.

        `ground`: it is of its grind, which a drawing has not.
        """
        space = self._window.workspace

        def refuse() -> None:
            if ground:
                ground_template(space.loaded, space.chosen)
            refuse_stopped(space.loaded, [space.chosen])

        self._save(Paper(what, kind, name, made, lambda: space.keep_revision(space.chosen, what), refuse, show))

    def print_quote(self) -> None:
        """The quote of the order that shows, as a PDF, opened for printing; the order counts as quoted then."""
        page, space = self._window.quote_page(), self._window.workspace
        order = page.work
        if order is None or not order.lines:
            self._window.show_page("quote")
            return
        shown_now = [order]

        def note() -> bool:
            noted = space.orders.quoted(order)
            shown_now[0] = page.work or order
            return noted

        def made(work: AsItIs) -> bytes:
            from workbook.app.export import quote_sheet

            return quote_sheet(work, shown_now[0])

        self._save(Paper("quote", "pdf", f"quote {order.order.number} {order.customer}".strip(), made, note, show=True))

    def save_stock(self) -> None:
        """All bars and materials, as a table."""

        def made(work: AsItIs) -> bytes:
            from workbook.tasks.stock_csv import stock_table

            return stock_table(work.document)

        self._save(Paper("stock", "csv", f"{self._window.workspace.loaded.job.name} stock", made))

    def save_needs(self) -> None:
        """What open orders need, as a table."""
        needs = self._window.quote_page().needs.needs

        def made(work: AsItIs) -> bytes:
            from workbook.app.export import needs_table

            return needs_table(needs)

        self._save(Paper("buying list", "csv", f"{self._window.workspace.loaded.job.name} to buy", made))

    def print_bars(self) -> None:
        """Bar sheets of the layout as a PDF, opened for printing."""

        def made(work: AsItIs, laid: Laid) -> bytes:
            from workbook.app.export import bar_sheets

            return bar_sheets(work, laid)

        self._save_bars("bar sheets", "pdf", made, show=True)

    def save_bars_file(self) -> None:
        """All bars as DXF."""

        def made(work: AsItIs, laid: Laid) -> bytes:
            from workbook.app.export import bars_file

            return bars_file(laid)

        self._save_bars("cut file of the bars", "dxf", made)

    def _save_bars(self, what: str, kind: str, made: Callable[[AsItIs, Laid], bytes], *, show: bool = False) -> None:
        """The same of the layout that shows; the page Lay out, where there is none."""
        laid, layouts = self._window.bars_page().laid, self._window.workspace.layouts
        if laid is None:
            self._window.show_page("layout")
            return
        name = f"{laid.loaded.job.name} bars"
        of_it = lambda work: made(work, laid)  # noqa: E731
        self._save(Paper(what, kind, name, of_it, lambda: layouts.noted(laid, what), lambda: refuse_clash(laid), show))

    def _save(self, paper: Paper) -> None:
        """Asks where and makes it beside the window."""
        space, session = self._window.workspace, self._window.workspace.session
        try:
            paper.refuse()
            proposed = f"{file_name(paper.name, set())}.{paper.kind}"
            kinds = f"{paper.kind.upper()} (*.{paper.kind})"
            path = ask_where(self._window, f"Save the {paper.what}", proposed, kinds, f".{paper.kind}")
            if path is None:
                return
            done = session.done
            _noted(paper.note())
        except JobError as trouble:
            self._window.say_trouble(f"The {paper.what} could not be written", trouble)
            return
        work = as_it_is(space)

        def back() -> None:
            if session is space.session and session.document is work.document and session.done == done + 1:
                space.forget()

        words = f"Making {shown(path.name)}"
        self._window.beside.do(words, lambda: paper.made(work), lambda found: self._written(paper, path, found), back=back)

    def _written(self, paper: Paper, path: Path, found: Found[bytes]) -> None:
        """Writes what was made, whole or not at all, and says so."""
        try:
            write_all(path.parent, {path.name: found()}, over={path.name})
        except JobError as trouble:
            self._window.say_trouble(f"The {paper.what} could not be written", trouble)
            return
        except MemoryError:
            self._window.say_trouble(f"The {paper.what} could not be written", JobError([TOO_LITTLE_MEMORY]))
            return
        self._window.say_written(path)
        if paper.show:
            QDesktopServices.openUrl(url_of(path))


def _noted(kept: bool) -> None:
    """Nothing is written that the history does not know of. JobError where it could not be noted."""
    if not kept:
        raise JobError([Mistake(place="history", what="it could not be noted there, so nothing was written.")])
