"""Write sheets and cutting files of what the window shows, where the maker chooses."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from msgspec import Struct
from PySide6.QtWidgets import QInputDialog

from workbook.app.as_it_is import AsItIs, as_it_is
from workbook.app.asking import ask_where, kind_words, may_replace
from workbook.app.plain import plain
from workbook.later import modules
from workbook.problems import TOO_LITTLE_MEMORY, JobError, Mistake
from workbook.system.names import shown
from workbook.tasks.work import now
from workbook.tasks.write import file_name, in_the_way, write_all
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app import export
    from workbook.app.beside import Found
    from workbook.app.frame import Frame
    from workbook.model import year
    from workbook.model.laying import Laid
    from workbook.tasks import exports, job_files
    from workbook.tasks.exports import Files, book, year_tables
else:
    book, export, exports, job_files, year, year_tables = modules(
        "tasks.exports.book", "app.export", "tasks.exports", "tasks.job_files", "model.year", "tasks.exports.year_tables"
    )


class Printout(Struct, frozen=True):
    """A file built from the present work: its label, proposed file name, and builder.

    `note` records the export in the history and returns whether it may go ahead. `refuse` raises the reason why the file cannot
    be built, before anything is asked.
    """

    what: str
    name: str
    made: Callable[[AsItIs], Files]
    note: Callable[[], bool] = lambda: True
    refuse: Callable[[], None] = lambda: None


class Printing:
    """Asks where to save, writes all or nothing, and says so, for one window. Files are built beside the window."""

    def __init__(self, window: Frame) -> None:
        self._window = window

    def print_template(self) -> None:
        """Open the preview on the chosen template's sheets."""
        self._preview("sheets", _("Template sheet"), task="all")

    def print_bench_set(self) -> None:
        """Open the preview on what the chosen template needs at the bench: its right face, plunge, scales, bench card."""
        self._preview("sheets", _("Bench set"), task="bench")

    def print_sheath(self) -> None:
        """Open the preview on the pattern of the chosen template's sheath."""
        self._preview("sheets", _("Sheath pattern"), task="sheath")

    def save_cut_file(self) -> None:
        """Save the chosen template as DXF."""
        self._save_template("cutting", _("Cutting file"))

    def print_shelf(self) -> None:
        """Open the preview on all templates of the shelf on one sheet or a few, to one scale."""
        self._preview("shelf", _("Contact sheet"))

    def print_bars(self) -> None:
        """Open the preview on the bar sheets of the layout; without one, show the page Lay out."""
        laid = self._window.bars_page().laid
        if laid is None:
            self._window.show_page("layout")
        self._preview("bars", _("Bar sheets"), laid)

    def _preview(self, key: str, title: str, laid: Laid | None = None, *, task: str = "", **of: Any) -> None:
        """Open the dialog that writes and prints, unless what it would show is refused. `of`: the order or the batch."""
        try:
            exports.refuse(export.wanted_of(as_it_is(self._window.workspace), laid, **of), [key])
        except JobError as trouble:
            self._window.say_trouble(_not_written(title), trouble)
            return
        self._window.show_export(key, task)

    def cut_bars(self) -> None:
        """Save all bars as a cutting service needs them, as DXF."""
        self._save_bars("bars-cut", _("Cutting file of the bars"))

    def draw_bars(self) -> None:
        """Save all bars with all lines, as DXF."""
        self._save_bars("bars-drawing", _("Drawing with all lines"))

    def _save_template(self, key: str, title: str) -> None:
        """Save an export of the chosen template."""
        space = self._window.workspace
        self._save_export(key, title, lambda: space.keep_revision(space.chosen, title))

    def _save_bars(self, key: str, title: str) -> None:
        """Save an export of the current layout; without one, also show the page Lay out."""
        laid, layouts = self._window.bars_page().laid, self._window.workspace.layouts
        if laid is None:
            self._window.show_page("layout")
        self._save_export(key, title, lambda: laid is not None and layouts.noted(laid, title), laid)

    def _save_export(self, key: str, title: str, note: Callable[[], bool], laid: Laid | None = None) -> None:
        """Save one of the exports, in the same way and with the same refusals as the dialog."""

        now = export.wanted_of(as_it_is(self._window.workspace), laid)
        self._save(
            Printout(
                title,
                exports.proposed(now, key),
                lambda work: exports.exported(export.wanted_of(work, laid), [key]),
                note,
                lambda: exports.refuse(now, [key]),
            )
        )

    def print_traveller(self) -> None:
        """Show the traveller of the batch at hand, to print it."""
        self._preview("traveller", _("Traveler"), batch=self._window.batch_at_hand())

    def print_heat_sheets(self) -> None:
        """Show the heat-treatment sheets of the batch at hand, to print them."""
        self._preview("heat", _("Heat-treatment sheets"), batch=self._window.batch_at_hand())

    def print_scale_sheets(self) -> None:
        """Show the scales of each blade of the batch at hand, to print them."""
        self._preview("scales", _("Scale sheets"), batch=self._window.batch_at_hand())

    def print_outgoing(self) -> None:
        """Show the sheet that goes with blades of the batch at hand to a service, to print it."""
        self._preview("outgoing", _("Sheet to send"), batch=self._window.batch_at_hand())

    def print_labels(self) -> None:
        """Show the labels of the blades and scales of the batch at hand, to print them."""
        self._preview("blade-labels", _("Labels"), batch=self._window.batch_at_hand())

    def print_quote(self) -> None:
        """Open the preview on the quote of the current order, which counts as quoted once that is saved or printed.

        Shows the page Quote if there is nothing to quote.
        """
        order = self._window.quote_page().work
        if order is None or not order.lines:
            self._window.show_page("quote")
        self._preview("quote", _("Quote"), order=order)

    def save_stock(self) -> None:
        """Save all bars and materials as a table."""
        self._save(Printout(_("Stock"), book.STOCK, lambda work: book.stock(work.document)))

    def save_needs(self) -> None:
        """Save what open orders need as a table."""
        needs = self._window.quote_page().needs.needs
        self._save(Printout(_("Buying list"), book.NEEDS, lambda work: book.needs(needs)))

    def save_year(self) -> None:
        """Ask for a year, and save its tables as a spreadsheet."""
        document, model = self._window.workspace.session.document, self._window.workspace.model
        known = year.years(document)
        if not known:
            self._window.workspace.said.emit(_("There is nothing to export yet: no payment, no expense, no finished knife."))
            return
        title = _("Export a year for the accountant")
        chosen, sure = QInputDialog.getItem(self._window, title, plain(_("Year")), known, 0, False)
        if sure:
            made = f"{chosen}.xlsx"
            paper = Printout(title, made, lambda work: {made: year_tables.year_book(document, model, chosen, now())})
            self._save(paper)

    def _save(self, paper: Printout) -> None:
        """Ask where to save, then build the file beside the window."""
        space, session = self._window.workspace, self._window.workspace.session
        try:
            paper.refuse()
            kind = paper.name.rpartition(".")[2]
            path = ask_where(self._window, _("Save: {what}", what=paper.what), paper.name, kind_words(kind), f".{kind}")
            if path is None:
                return
            position = session.done
            _noted(paper.note())
        except JobError as trouble:
            self._window.say_trouble(_not_written(paper.what), trouble)
            return
        work = as_it_is(space)

        def back() -> None:
            if session is space.session and session.document is work.document and session.done == position + 1:
                space.forget()

        words = _("Making {name}", name=shown(path.name))
        self._window.beside.do(words, lambda: paper.made(work), lambda outcome: self._written(paper, path, outcome), back=back)

    def _written(self, paper: Printout, path: Path, outcome: Found[Files]) -> None:
        """Write the file that was built, all or nothing, and say so."""
        try:
            (content,) = outcome().values()
            write_all(path.parent, {path.name: content}, over={path.name})
        except JobError as trouble:
            self._window.say_trouble(_not_written(paper.what), trouble)
            return
        except MemoryError:
            self._window.say_trouble(_not_written(paper.what), JobError([TOO_LITTLE_MEMORY]))
            return
        self._window.say_written(path)

    def save_job(self) -> None:
        """Write the workbook as a job file, with its drawings beside it."""
        name = file_name(self._window.workspace.session.document.settings.name, set())
        path = ask_where(self._window, _("Export job file"), f"{name}.toml", _("Job files (*.toml)"), ".toml")
        if path is None:
            return
        files = job_files.job_files(self._window.workspace.model, path.name)
        beside = [file for file in in_the_way(path.parent, files) if file != path.name]
        if not may_replace(self._window, path.parent, beside):
            return
        try:
            write_all(path.parent, files, over={path.name, *beside})
        except JobError as trouble:
            self._window.say_trouble(_("The job file could not be exported"), trouble)
            return
        self._window.workspace.said.emit(_("Exported: {path}", path=shown(path)))


def _not_written(what: str) -> str:
    """The title of a message about a file that could not be written; `what`: its label."""
    return _("Could not be exported: {what}", what=what)


def _noted(success: bool) -> None:
    """Raise JobError if the export could not be recorded: nothing is written that the history does not know of."""
    if not success:
        raise JobError([Mistake(place=_("history"), what=_("it could not be noted there, so nothing was written."))])
