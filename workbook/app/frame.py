"""What menus, dialogs, pages, filing and printing know of the window. The window imports them, so they cannot import it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMainWindow, QStackedWidget, QWidget

from workbook.app.elements.basics import Lettered
from workbook.app.header import Header
from workbook.app.look import Look
from workbook.app.page_words import Cure, message
from workbook.app.wait_notices import WaitNotices
from workbook.app.workspace import Workspace
from workbook.later import modules
from workbook.problems import JobError
from workbook.storage.session import Session
from workbook.storage.trouble import StorageTrouble
from workbook.system.names import shown
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app import beside
    from workbook.app.beside import Beside
    from workbook.app.pages.draw.page import DrawPage
    from workbook.app.pages.layout.page import LayOutPage
    from workbook.app.pages.quote.page import QuotePage
    from workbook.document.shop_records import PieceRecord
    from workbook.model.model import Model
    from workbook.model.tonight import PlanLine
else:
    (beside,) = modules("app.beside")


class Frame(QMainWindow):
    """A window on one workspace. The methods that raise NotImplementedError are implemented in the window itself."""

    workspace: Workspace
    pages: QStackedWidget
    header: Header
    draw: DrawPage
    status: Lettered

    @cached_property
    def beside(self) -> Beside:
        """Runs slow tasks."""
        return beside.Beside(self, lambda: self.workspace.look)

    @cached_property
    def notices(self) -> WaitNotices:
        """Says when a wait is over."""
        return WaitNotices(self, lambda: self.workspace)

    def dialog(self, name: str) -> None:
        """Open a dialog by its name."""
        raise NotImplementedError

    def show_export(self, key: str, task: str = "") -> None:
        """Open the dialog that writes and prints on one kind of export, with the sheets for a task ticked."""
        raise NotImplementedError

    def show_heat_load(self, pieces: Sequence[PieceRecord]) -> None:
        """Open the dialog for a heat-treatment load of some blades."""
        raise NotImplementedError

    def show_load(self, load: str) -> None:
        """Open the dialog for a load that was logged, by its id."""
        raise NotImplementedError

    def show_heat_results(self, steel: str) -> None:
        """Open the dialog with what came of a steel's heat treatments."""
        raise NotImplementedError

    def show_account(self, order: str) -> None:
        """Open the account of an order."""
        raise NotImplementedError

    def show_page(self, name: str) -> None:
        """Show a page by its name."""
        raise NotImplementedError

    def page_name(self) -> str:
        """The name of the current page."""
        raise NotImplementedError

    def look_up(self, title: str) -> None:
        """Show the card of this title."""
        raise NotImplementedError

    def show_field(self, dialog: str, key: str) -> None:
        """Open a dialog with a form, and give its field the keyboard."""
        raise NotImplementedError

    def show_parameter(self, page: str, path: str) -> None:
        """Show a page with the chosen template's numbers, and give the field of one the keyboard."""
        raise NotImplementedError

    def built_pages(self) -> Mapping[str, QWidget]:
        """The pages that are built already, by name."""
        raise NotImplementedError

    def bars_page(self) -> LayOutPage:
        """The page Lay out, built when first needed, with its worker warm."""
        raise NotImplementedError

    def quote_page(self) -> QuotePage:
        """The page Quote, built when first needed."""
        raise NotImplementedError

    def show_blades(self, words: str) -> None:
        """Find blades by words on Make."""
        raise NotImplementedError

    def take_on(self, line: PlanLine) -> None:
        """Show where a line of the plan is entered, with its stage, blades and minutes."""
        raise NotImplementedError

    def show_needs(self) -> None:
        """Show what all open orders need."""
        raise NotImplementedError

    def batch_at_hand(self) -> str:
        """The id of the batch on the page Make; "" while it was not shown."""
        raise NotImplementedError

    def use_look(self, look: Look) -> None:
        """Show everything in another theme or text size."""
        raise NotImplementedError

    def one_more(self, template: str) -> None:
        """Add one more of a template, which was dropped on Lay out, to what is to be made."""
        raise NotImplementedError

    def work_on(self, session: Session, model: Model | None = None) -> None:
        """Show other work. `model`: its model, if already built."""
        raise NotImplementedError

    def show_saved(self) -> None:
        """Show the state of the work and its file, and what can be undone, also in the menus."""
        raise NotImplementedError

    def end_quietly(self) -> None:
        """Close without a question: the system is ending the program."""
        raise NotImplementedError

    def say_storage(self, title: str, trouble: StorageTrouble, cures: Sequence[Cure] = ()) -> None:
        """Show a problem with a disk or a file and its cure; `cures` are buttons that apply one."""
        raise NotImplementedError

    def come_forward(self) -> None:
        """Bring the window to the front and give it the keyboard."""
        self.setWindowState(self.windowState() & ~Qt.WindowState.WindowMinimized)
        self.show()
        self.raise_()
        self.activateWindow()

    def hint(self, text: str, tone: str) -> None:
        """Show a hint about the current page."""
        self.status.say(text, tone)

    def say_trouble(self, title: str, trouble: JobError) -> None:
        """Show a message with every mistake."""
        message(self, title, "\n".join(trouble.lines()[:12]), ())

    def say_found(self, name: str, remarks: Sequence[str]) -> None:
        """Say what was found and mended in a drawing."""
        message(self, name, "\n".join(remarks), (), warning=False)

    def say_written(self, path: Path) -> None:
        """Say that a file was written."""
        self.status.say(_("Exported: {path}", path=shown(path)), "good")
