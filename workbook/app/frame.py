"""What the parts round a window ask of it: menus, dialogs, pages, filing and printing know this much of the window, and it knows
them.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMainWindow, QStackedWidget

from workbook.app.elements.basics import Lettered
from workbook.app.header import Header
from workbook.app.look import Look
from workbook.app.page_words import Cure, message
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
    from workbook.model.model import Model
else:
    (beside,) = modules("app.beside")


class Frame(QMainWindow):
    """A window on one workspace. What raises NotImplementedError here the window itself does."""

    workspace: Workspace
    pages: QStackedWidget
    header: Header
    draw: DrawPage
    status: Lettered

    @cached_property
    def beside(self) -> Beside:
        """What takes long."""
        return beside.Beside(self, lambda: self.workspace.look)

    def dialog(self, name: str) -> None:
        """Opens a dialog by its name."""
        raise NotImplementedError

    def show_page(self, name: str) -> None:
        """Shows a page by its name."""
        raise NotImplementedError

    def page_name(self) -> str:
        """The page that shows."""
        raise NotImplementedError

    def bars_page(self) -> LayOutPage:
        """The page Lay out, made when first asked for, with its worker warm."""
        raise NotImplementedError

    def quote_page(self) -> QuotePage:
        """The page Quote, made when first asked for."""
        raise NotImplementedError

    def use_look(self, look: Look) -> None:
        """Shows everything in another theme or text size."""
        raise NotImplementedError

    def one_more(self, template: str) -> None:
        """A template was dropped on Lay out: one more of it is to be made."""
        raise NotImplementedError

    def work_on(self, session: Session, model: Model | None = None) -> None:
        """Shows other work. `model`: its model, where that was made already."""
        raise NotImplementedError

    def show_saved(self) -> None:
        """What is kept here and what the file holds; and what can be undone, also in the menus."""
        raise NotImplementedError

    def end_quietly(self) -> None:
        """Ends all without a question: the system ends the program."""
        raise NotImplementedError

    def say_storage(self, title: str, trouble: StorageTrouble, cures: Sequence[Cure] = ()) -> None:
        """Trouble with a disk or a file, and what to do about it; `cures`: buttons that do it."""
        raise NotImplementedError

    def come_forward(self) -> None:
        """In front of other windows, with the keyboard."""
        self.setWindowState(self.windowState() & ~Qt.WindowState.WindowMinimized)
        self.show()
        self.raise_()
        self.activateWindow()

    def hint(self, text: str, tone: str) -> None:
        """Something to know about the page that shows."""
        self.status.say(text, tone)

    def say_trouble(self, title: str, trouble: JobError) -> None:
        """A plain message with every mistake."""
        message(self, title, "\n".join(trouble.lines()[:12]), ())

    def say_found(self, name: str, remarks: Sequence[str]) -> None:
        """What was found in a drawing and mended."""
        message(self, name, "\n".join(f"{remark[:1].upper()}{remark[1:]}." for remark in remarks), (), warning=False)

    def say_written(self, path: Path) -> None:
        """A file was written."""
        self.status.say(_("Written: {path}", path=shown(path)), "good")
