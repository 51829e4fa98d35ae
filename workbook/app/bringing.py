"""Import files into the work: a table of stock, an outline from a drawing, a picture to trace."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog, QInputDialog

from workbook.app.plain import plain
from workbook.document.action_words import in_words
from workbook.document.queries import job_of
from workbook.document.shop_records import PictureRecord
from workbook.later import modules
from workbook.model.model import Model
from workbook.problems import NO_UNIT, UNIT_DOUBTED, JobError
from workbook.storage.attachment import digest_in
from workbook.storage.file import SUFFIX
from workbook.storage.trouble import StorageTrouble
from workbook.structs import replace
from workbook.system.names import shown
from workbook.tasks.guarded import guarded
from workbook.tasks.load import shaped
from workbook.tasks.outlines import read_outline
from workbook.tasks.work import new_id, now
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app.beside import Found
    from workbook.app.dialogs import other_book as dialogs
    from workbook.app.dialogs import trace
    from workbook.app.frame import Frame
    from workbook.app.workspace import Workspace
    from workbook.document import other_book
    from workbook.document.actions import merging
    from workbook.document.document import Change, Document, Edit
    from workbook.document.other_book import BookItem, Resolution
    from workbook.formats import picture as pictures
    from workbook.formats.picture import Picture
    from workbook.tasks import other_books, stock_csv
    from workbook.tasks.other_books import OtherBook
    from workbook.template.drawn import DrawnTemplate
else:
    pictures, stock_csv, trace = modules("formats.picture", "tasks.stock_csv", "app.dialogs.trace")
    dialogs, merging, other_book, other_books = modules(
        "app.dialogs.other_book", "document.actions.merging", "document.other_book", "tasks.other_books"
    )


class Bringing:
    """Imports files for one window."""

    def __init__(self, window: Frame) -> None:
        self._window = window

    def ask_for_stock(self) -> None:
        """Ask for a table of stock and import all of it or nothing."""
        chosen, _filter = QFileDialog.getOpenFileName(self._window, _("Import stock (CSV)"), "", _("Tables (*.csv)"))
        if chosen:
            self.bring_in_stock(Path(chosen))

    def bring_in_stock(self, path: Path) -> None:
        """Import a table of stock as one step: rows with a known name change that item, the others are added."""
        document = self._window.workspace.session.document

        def read() -> Edit:
            return stock_csv.stock_file(document, path, now(), new_id)

        self._window.beside.do(
            _("Reading {name}", name=shown(path.name)), read, lambda outcome: self._stock_read(path, document, outcome)
        )

    def _stock_read(self, path: Path, document: Document, outcome: Found[Edit]) -> None:
        """Import the edit that was read. Read the table again if the document has changed meanwhile."""
        space = self._window.workspace
        try:
            edit = outcome()
        except JobError as trouble:
            self._window.say_trouble(_("{name} cannot be imported", name=shown(path.name)), trouble)
            return
        if document is not space.session.document:
            self.bring_in_stock(path)
            return
        words = _("Importing {name}", name=shown(path.name))
        self._window.beside.finish(words, _keeping(space, edit), lambda result: self._stock_kept(path, edit, result))

    def _stock_kept(self, path: Path, edit: Edit, outcome: Found[Model]) -> None:
        space = self._window.workspace
        if space.made(edit, outcome):
            self._window.show_page("stock")
            space.said.emit(
                _("{name}: {action}. Undo takes it back.", name=shown(path.name), action=in_words(edit.action, space.unit))
            )

    def ask_for_book(self) -> None:
        """Ask for a workbook or job file and show what may be brought from it."""
        kinds = _("Shop books and job files (*{suffix} *.toml)", suffix=SUFFIX)
        chosen, _filter = QFileDialog.getOpenFileName(self._window, _("Import from another shop book"), "", kinds)
        if chosen:
            self.bring_from_book(Path(chosen))

    def bring_from_book(self, path: Path) -> None:
        """Show what may be brought from another book, and bring in what is chosen."""
        words = _("Reading {name}", name=shown(path.name))
        self._window.beside.do(words, lambda: other_books.read_other(path), lambda found: self._book_read(path, found))

    def _book_read(self, path: Path, outcome: Found[OtherBook]) -> None:
        window, space = self._window, self._window.workspace
        try:
            other = outcome()
        except JobError as trouble:
            window.say_trouble(_("{name} cannot be imported", name=shown(path.name)), trouble)
            return
        except StorageTrouble as trouble:
            window.say_storage(_("{name} cannot be imported", name=shown(path.name)), trouble)
            return
        mine = space.session.document
        items = other_book.items(mine, other.document)
        if all(item.same for item in items):
            space.said.emit(_("Everything in {name} is in this shop book already.", name=shown(path.name)))
            return
        bring = partial(self._bring, mine, other, items)
        dialogs.BringDialog(window, space.look, (mine, other.document), items, bring).open()

    def _bring(self, mine: Document, other: OtherBook, items: Sequence[BookItem], choices: Mapping[str, Resolution]) -> None:
        """Bring in what is chosen; pictures first, since records name them."""
        space = self._window.workspace
        if mine is not space.session.document:
            space.said.emit(_("This shop book has changed meanwhile. Choose again."))
            return
        edit = merging.bring_from(mine, other.document, items, choices, now(), new_id)
        edit = replace(edit, changes=tuple(change for change in edit.changes if not _is_lost(change, other)))
        try:
            for change in edit.changes:
                if isinstance(change.after, PictureRecord):
                    space.session.attach(other.attachments[digest_in(change.after.picture)])
        except StorageTrouble as trouble:
            self._window.say_storage(_("The pictures do not fit"), trouble)
            return
        keep = _keeping(space, edit)
        self._window.beside.finish(_("Importing"), keep, lambda kept: self._brought(edit, kept))

    def _brought(self, edit: Edit, kept: Found[Model]) -> None:
        space = self._window.workspace
        if space.made(edit, kept):
            space.said.emit(_("{action}. Undo takes it back.", action=in_words(edit.action, space.unit)))

    def ask_for_outline(self) -> None:
        """Ask for a drawing and import its outline."""
        kinds = _("Drawings (*.dxf *.svg)")
        chosen, _filter = QFileDialog.getOpenFileName(self._window, _("Import outline"), "", kinds)
        if chosen:
            self.bring_in_outline(Path(chosen))

    def bring_in_outline(self, path: Path, unit: str | None = None) -> None:
        """Import the outline of a drawing as a new template. Ask for the unit if the file does not state it."""
        words = _("Reading {name}", name=shown(path.name))
        self._window.beside.do(words, lambda: read_outline(path, unit), lambda outcome: self._outline_read(path, unit, outcome))

    def _outline_read(self, path: Path, unit: str | None, outcome: Found[DrawnTemplate]) -> None:
        try:
            outline = outcome()
        except JobError as trouble:
            if unit is None and any(NO_UNIT in mistake.what for mistake in trouble.mistakes):
                self._ask_unit(path, _("{name} has no unit.", name=shown(path.name)))
            elif any(UNIT_DOUBTED in mistake.right for mistake in trouble.mistakes):
                self._ask_unit(path, _size_in(unit, shown(path.name), trouble.mistakes[0].what))
            else:
                self._window.say_trouble(_("{name} cannot be imported", name=shown(path.name)), trouble)
            return
        self._window.show_page("draw")
        self._window.workspace.add_outline(outline, shown(path.stem)[:60])
        self._window.say_found(shown(path.name), outline.remarks)

    def ask_for_picture(self) -> None:
        """Ask for a photo or scan and open it for tracing."""
        kinds = _("Pictures (*.jpg *.jpeg *.png *.tif *.tiff *.bmp *.webp)")
        chosen, _filter = QFileDialog.getOpenFileName(self._window, _("Trace a picture"), "", kinds)
        if chosen:
            self.trace_picture(Path(chosen))

    def trace_picture(self, path: Path) -> None:
        """Open a picture for tracing; it is read in a process of its own."""

        def read() -> Picture:
            import workbook.app.dialogs.trace  # noqa: F401  # load the dialog in the thread too

            return guarded(pictures.read_picture, path)

        self._window.beside.do(
            _("Reading {name}", name=shown(path.name)), read, lambda outcome: self._picture_read(path, outcome)
        )

    def _picture_read(self, path: Path, outcome: Found[Picture]) -> None:
        try:
            picture = outcome()
        except JobError as trouble:
            self._window.say_trouble(_("{name} cannot be traced", name=shown(path.name)), trouble)
            return
        trace.TraceDialog(self._window, self._window.workspace, picture, trace.picture_name(path)).show()

    def _ask_unit(self, path: Path, problem: str) -> None:
        words = plain(_("{why} Choose what one unit of the drawing is:", why=problem))
        unit, ok = QInputDialog.getItem(self._window, _("Unit of the drawing"), words, ["mm", "in", "cm", "m", "ft"], 0, False)
        if ok:
            self.bring_in_outline(path, unit)


def _size_in(unit: str | None, name: str, mistake: str) -> str:
    """How large a drawing is in a unit, or in the one it states, as its mistake says."""
    if unit is None:
        return _("{name}, in the unit stated in the file: {mistake}", name=name, mistake=mistake)
    return _("{name}, in {unit}: {mistake}", name=name, unit=unit, mistake=mistake)


def _is_lost(change: Change, other: OtherBook) -> bool:
    """Whether a change brings a picture whose bytes the other book does not hold."""
    return isinstance(change.after, PictureRecord) and digest_in(change.after.picture) not in other.attachments


def _keeping(space: Workspace, edit: Edit) -> Callable[[], Model]:
    """Build the function that keeps a large edit and then builds the model, with its checks, from the document."""
    session, chosen, before, keep_edit = space.session, space.chosen, space.model, space.keeping(edit)

    def keep() -> Model:
        keep_edit()
        model = shaped(job_of(session.document), before)
        if chosen in model.shapes:
            model.judged_with_bars(chosen)  # it is shown next, and cached
        return model

    return keep
