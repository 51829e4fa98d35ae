"""Sheets and cutting files of what the window shows, written where the maker says."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtGui import QDesktopServices

from workbook.app.asking import ask_where
from workbook.app.urls import url_of
from workbook.problems import TOO_LITTLE_MEMORY, JobError, Mistake
from workbook.tasks.layout import ground_template, refuse_clash, refuse_stopped
from workbook.tasks.write import file_name, write_all

if TYPE_CHECKING:
    from workbook.app.window import Window
    from workbook.app.workspace import Workspace
    from workbook.tasks.layout import Laid


class Printing:
    """Asks where, writes whole or not at all, says so; for one window. The writers are brought when first asked for."""

    def __init__(self, window: Window) -> None:
        self._window = window

    def print_template(self) -> None:
        """The chosen template's sheets as a PDF, opened for printing."""
        from workbook.app.export import template_sheet

        self._save_template("template sheet", "pdf", self._window.workspace.chosen, template_sheet, show=True)

    def print_card(self) -> None:
        """The chosen template's bench card as a PDF, opened for printing."""
        from workbook.app.export import bench_card

        name = f"{self._window.workspace.chosen} bench card"
        self._save_template("bench card", "pdf", name, bench_card, show=True, ground=True)

    def print_shelf(self) -> None:
        """All templates of the shelf on one sheet or a few, to one scale."""
        from workbook.app.export import contact_sheet

        space = self._window.workspace
        self._save("contact sheet", "pdf", f"{space.loaded.job.name} shelf", lambda: contact_sheet(space), show=True)

    def save_cut_file(self) -> None:
        """The chosen template as DXF."""
        from workbook.app.export import template_dxf

        self._save_template("cut file", "dxf", self._window.workspace.chosen, template_dxf)

    def _save_template(
        self, what: str, kind: str, name: str, made: Callable[[Workspace], bytes], *, show: bool = False, ground: bool = False
    ) -> None:
        """What is made of the chosen template, unless a check stops it: the dialog that writes all says the same.

        `ground`: it is of its grind, which a drawing has not.
        """
        space = self._window.workspace

        def content() -> bytes:
            _noted(space.keep_revision(space.chosen, what))
            return made(space)

        def refuse() -> None:
            if ground:
                ground_template(space.loaded, space.chosen)
            refuse_stopped(space.loaded, [space.chosen])

        self._save(what, kind, name, content, show=show, refuse=refuse)

    def print_quote(self) -> None:
        """The quote of the order that shows, as a PDF, opened for printing; the order counts as quoted then."""
        from workbook.app.export import quote_sheet

        page, space = self._window.quote_page(), self._window.workspace
        work = page.work
        if work is None or not work.lines:
            self._window.show_page("quote")
            return

        def content() -> bytes:
            _noted(space.orders.quoted(work))
            return quote_sheet(space, page.work or work)

        self._save("quote", "pdf", f"quote {work.order.number} {work.customer}".strip(), content, show=True)

    def save_stock(self) -> None:
        """All bars and materials, as a table."""
        from workbook.tasks.stock_csv import stock_table

        space = self._window.workspace
        self._save("stock", "csv", f"{space.loaded.job.name} stock", lambda: stock_table(space.session.document))

    def save_needs(self) -> None:
        """What open orders need, as a table."""
        from workbook.app.export import needs_table

        needs = self._window.quote_page().needs.needs
        self._save("buying list", "csv", f"{self._window.workspace.loaded.job.name} to buy", lambda: needs_table(needs))

    def print_bars(self) -> None:
        """Bar sheets of the layout as a PDF, opened for printing."""
        from workbook.app.export import bar_sheets

        self._save_bars("bar sheets", "pdf", lambda laid: bar_sheets(self._window.workspace, laid), show=True)

    def save_bars_file(self) -> None:
        """All bars as DXF."""
        from workbook.app.export import bars_file

        self._save_bars("cut file of the bars", "dxf", bars_file)

    def _save_bars(self, what: str, kind: str, made: Callable[[Laid], bytes], *, show: bool = False) -> None:
        """The same of the layout that shows; the page Lay out, where there is none."""
        laid = self._window.bars_page().laid
        if laid is None:
            self._window.show_page("layout")
            return

        def content() -> bytes:
            _noted(self._window.workspace.layouts.noted(laid, what))
            return made(laid)

        self._save(what, kind, f"{laid.loaded.job.name} bars", content, show=show, refuse=lambda: refuse_clash(laid))

    def _save(
        self,
        what: str,
        kind: str,
        name: str,
        content: Callable[[], bytes],
        *,
        show: bool = False,
        refuse: Callable[[], None] = lambda: None,
    ) -> None:
        """Asks where, writes the whole file or nothing, says so. `refuse` raises why it cannot be made; nothing is asked then."""
        try:
            refuse()
            proposed = f"{file_name(name, set())}.{kind}"
            path = ask_where(self._window, f"Save the {what}", proposed, f"{kind.upper()} (*.{kind})", f".{kind}")
            if path is None:
                return
            write_all(path.parent, {path.name: content()}, over={path.name})
        except JobError as trouble:
            self._window.say_trouble(f"The {what} could not be written", trouble)
            return
        except MemoryError:
            self._window.say_trouble(f"The {what} could not be written", JobError([TOO_LITTLE_MEMORY]))
            return
        self._window.say_written(path)
        if show:
            QDesktopServices.openUrl(url_of(path))


def _noted(kept: bool) -> None:
    """Nothing is written that the history does not know of. JobError where it could not be noted."""
    if not kept:
        raise JobError([Mistake(place="history", what="it could not be noted there, so nothing was written.")])
