"""The window around the pages: menus, header, rail of pages, status line; writes sheets and cutting files on request."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import TYPE_CHECKING, cast

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QAction, QCloseEvent, QDragEnterEvent, QDropEvent, QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QButtonGroup, QDialog, QStackedWidget, QWidget

from workbook.app import start_order
from workbook.app.changed import Changed
from workbook.app.desk import desk
from workbook.app.early import EarlyPages
from workbook.app.elements.basics import Lettered, label, row
from workbook.app.elements.text_field import end_entries
from workbook.app.filing import Filing
from workbook.app.frame import Frame
from workbook.app.header import Header
from workbook.app.kept import WindowState, fitting, keep_window
from workbook.app.look import PX_PER_MM, Look
from workbook.app.page_words import MENUS, Cure, message
from workbook.app.pages.table import NAMES, PAGES
from workbook.app.style import sheet
from workbook.app.updates import tell_update
from workbook.app.urls import openable
from workbook.app.workspace import Workspace
from workbook.document.making import batches
from workbook.later import are_loaded, modules
from workbook.storage.session import Session
from workbook.storage.trouble import StorageTrouble
from workbook.storage.viewing import OnlyToLookAt
from workbook.texts import _
from workbook.units import HABITS

if TYPE_CHECKING:
    from workbook.app import bringing, menus, parts, presence, printing
    from workbook.app.bringing import Bringing
    from workbook.app.dialogs import table as dialogs
    from workbook.app.pages.draw.page import DrawPage
    from workbook.app.pages.grind.page import GrindPage
    from workbook.app.pages.layout.page import LayOutPage
    from workbook.app.pages.look_up.page import LookUpPage
    from workbook.app.pages.make.page import MakePage
    from workbook.app.pages.quote.page import QuotePage
    from workbook.app.pages.stock.page import StockPage
    from workbook.app.presence import Presence
    from workbook.app.printing import Printing
    from workbook.document.shop_records import PieceRecord
    from workbook.model.model import Model
    from workbook.model.tonight import PlanLine
else:
    bringing, dialogs, menus, parts, presence, printing = modules(
        "app.bringing", "app.dialogs.table", "app.menus", "app.parts", "app.presence", "app.printing"
    )


class Window(Frame):
    """The main window on one workspace."""

    listening = Signal()  # other starts find it from now on

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self.workspace = workspace
        self.filing, self.system_theme = Filing(self, lambda path: self.bringing.bring_in_outline(path)), "light"
        self._furnished = False
        self.setAcceptDrops(True)
        self._build()
        self._say_name()
        self.show_page("draw")

    def _build(self) -> None:
        """Build everything in the workspace's look; called again when the look changes."""
        look = self.workspace.look
        self.setFont(look.font("body"))
        self.pages = QStackedWidget()
        self.early = EarlyPages(self, lambda: self.printing)
        self.draw = cast("DrawPage", self.early.page("draw"))
        self.rail = QButtonGroup(self)
        self.status, self.unit_word = Lettered(look, "", 9, tone="soft"), label(look, "", "small", soft=True)
        self.header = Header(look, self.workspace.model.job.name)
        self.setStyleSheet(sheet(look))
        self.setMinimumSize(fitting(self, max(900, look.px(780)), max(540, look.px(460))))
        self.setCentralWidget(desk(self, self.header, self.rail, self.pages, row(self.status, self.unit_word)))
        self._connect()
        furnish, self._furnished = self._furnished or are_loaded(), False
        if furnish:
            self._furnish()
        else:  # names only, for the first picture
            self.menuBar().setFont(look.font("body"))
            for title in MENUS:
                self.menuBar().addMenu(title)
            self.draw.seen.connect(self._furnish)
        self._offer_today()
        self.show_saved()
        self._unit_changed()

    def _offer_today(self) -> None:
        """Show the button of the page Today once there is a batch."""
        self.rail.button(NAMES.index("today")).setVisible(bool(batches(self.workspace.session.document)))

    def _furnish(self, pressed: QKeySequence | None = None) -> None:
        """Fill the menus with actions, at a start once the window is seen. `pressed`: a key that came before them."""

        if not self._furnished:
            menus.fill_menus(self, parts.Parts(self.filing, self.bringing, self.printing))
            self._furnished = True
            QTimer.singleShot(start_order.AFTER_MENUS, self, self._after_start)
        if pressed is not None:
            menus.run_key(self, pressed)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Handle keys pressed before the menus have actions."""
        super().keyPressEvent(event)
        if not self._furnished:
            self._furnish(QKeySequence(event.keyCombination()))

    @cached_property
    def bringing(self) -> Bringing:
        """Imports from other files."""
        return bringing.Bringing(self)

    @cached_property
    def presence(self) -> Presence:
        """Listens for other starts and for the system's request to end."""
        return presence.Presence(self, self.filing.finish)

    @cached_property
    def printing(self) -> Printing:
        """Writes sheets and files of what is shown."""
        return printing.Printing(self)

    def dialog(self, name: str) -> None:
        """Open a dialog by its name."""
        dialogs.show_dialog(self, name)

    def show_export(self, key: str, task: str = "") -> None:
        """Open the dialog that writes and prints on one kind of export, with the sheets for a task ticked."""
        dialogs.show_export(self, key, task)

    def _connect(self) -> None:
        self.workspace.said.connect(self.status.say)
        self.workspace.look_up_wanted.connect(self.look_up)
        self.workspace.blades_wanted.connect(self.show_blades)
        self.header.undo_wanted.connect(lambda: self.workspace.undo())
        self.header.redo_wanted.connect(lambda: self.workspace.redo())
        self.header.finder_wanted.connect(lambda: self.dialog("finder"))
        self.header.own_book_wanted.connect(self.filing.new)
        self.workspace.changed.connect(self._changed)
        self.workspace.trouble.connect(self.say_storage)

    def show_saved(self) -> None:
        """Show the state of the work and its file, and what can be undone, also in the menus."""
        session = self.workspace.session
        self.header.show_session(session, *self.filing.state())
        if self._furnished:
            menus.show_history(self)

    def one_more(self, template: str) -> None:
        """Add one more of a template, which was dropped on Lay out, to what is to be made."""
        if self.workspace.layouts.one_more(template):
            self.show_page("layout")

    def show_page(self, name: str) -> None:
        """Show a page by its name."""
        page = self.early.page(name)
        self.pages.setCurrentWidget(page)
        if page is not self.draw:
            self._furnish()  # its page has loaded everything
        verb = self.rail.button(NAMES.index(name))
        verb.setChecked(True)
        if self.focusWidget() in (None, *self.rail.buttons()):  # otherwise the Tab key would skip the checked one
            verb.setFocus()
        self.status.say(PAGES[NAMES.index(name)].hint, "soft")
        page.entered()

    def _after_start(self) -> None:
        """Build the second page and its worker, unless the window was closed meanwhile."""
        if self.isVisible():
            self.presence.listen()
            self.listening.emit()
            self.filing.changed()  # work that had not reached its file
            self.bars_page()
            self.notices.tell()
            tell_update(self)

    def show_field(self, dialog: str, key: str) -> None:
        """Open a dialog with a form, and give its field the keyboard."""
        dialogs.show_field(self, dialog, key)

    def show_parameter(self, page: str, path: str) -> None:
        """Show a page with the chosen template's numbers, and give the field of one the keyboard."""
        self.show_page(page)
        (self.grind_page().side if page == "grind" else self.draw.panel).go_to(path)

    def built_pages(self) -> Mapping[str, QWidget]:
        """The pages that are built already, by name."""
        return self.early.there()

    def bars_page(self) -> LayOutPage:
        """The page Lay out, built when first needed, with its worker warm."""
        return cast("LayOutPage", self.early.page("layout"))

    def grind_page(self) -> GrindPage:
        """The page Grind, built when first needed."""
        return cast("GrindPage", self.early.page("grind"))

    def stock_page(self) -> StockPage:
        """The page Stock, built when first needed."""
        return cast("StockPage", self.early.page("stock"))

    def quote_page(self) -> QuotePage:
        """The page Quote, built when first needed and refreshed."""
        page = cast("QuotePage", self.early.page("quote"))
        page.entered()  # the caller needs its present numbers
        return page

    def look_up(self, title: str) -> None:
        """Show the card of this title."""
        self.show_page("lookup")
        self.look_up_page().look_up(title)

    def look_up_page(self) -> LookUpPage:
        """The page Look up, built when first needed."""
        return cast("LookUpPage", self.early.page("lookup"))

    def show_heat_load(self, pieces: Sequence[PieceRecord]) -> None:
        """Open the dialog for a heat-treatment load of some blades."""
        dialogs.show_heat_load(self, pieces)

    def show_load(self, load: str) -> None:
        """Open the dialog for a load that was logged, by its id."""
        dialogs.show_load(self, load)

    def show_heat_results(self, steel: str) -> None:
        """Open the dialog with what came of a steel's heat treatments."""
        dialogs.show_heat_results(self, steel)

    def show_account(self, order: str) -> None:
        """Open the account of an order."""
        dialogs.show_account(self, order)

    def show_blades(self, words: str) -> None:
        """Find blades by words on Make."""
        self.show_page("make")
        self.make_page().find_blades(words)

    def take_on(self, line: PlanLine) -> None:
        """Show where a line of the plan is entered, with its stage, blades and minutes; blanks not cut yet are laid out."""
        if not line.upcoming.batch:
            self.show_page("layout")
            return
        self.show_page("make")
        self.make_page().propose(line.upcoming.batch, line.stage.name, line.blades, line.end - line.start)

    def show_needs(self) -> None:
        """Show what all open orders need."""
        self.show_page("quote")
        self.quote_page().buy_button.setChecked(True)

    def batch_at_hand(self) -> str:
        """The id of the batch on the page Make."""
        page = self.make_page()
        page.entered()
        return page.batch

    def make_page(self) -> MakePage:
        """The page Make, built when first needed."""
        return cast("MakePage", self.early.page("make"))

    def page_name(self) -> str:
        """The name of the current page."""
        return NAMES[self.rail.checkedId()]

    def use_look(self, look: Look) -> None:
        """Show everything in another theme or text size."""
        end_entries(self)
        page, early = self.page_name(), self.early.begun
        showing = self.early.showing()
        for dialog in self.findChildren(QDialog):  # they belong to the old workspace
            dialog.close()
        self.end_pages()
        self.workspace = self.workspace.seen_as(look)
        self._build()
        self.early.show_again(showing)
        self.show_page(page)
        self._make_room()
        if early:
            self.early.begin()

    def _unit_changed(self) -> None:
        for words, unit in ((_("Inches first"), "in"), (_("Millimeters first"), "mm")):
            for action in self.menuBar().findChildren(QAction):
                if action.text() == words:
                    action.setChecked(unit == self.workspace.unit)
        screen = self.workspace.look.screen
        measured = [] if abs(screen - PX_PER_MM) < 1e-6 else [_("Screen measured: {screen:.2f} px/mm", screen=screen)]
        self.unit_word.setText("   ".join((HABITS[self.workspace.unit].first, *measured)))
        self.show_saved()  # the steps to undo are shown in the unit

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give the pages their room."""
        super().resizeEvent(event)
        self._make_room()

    def _make_room(self) -> None:
        close = self.width() / self.workspace.look.text < 1150
        self.header.make_room(close=close)
        for page in self.early.there().values():
            page.make_room(self.width(), self.height())

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Accept a file that can be opened."""
        if openable(event.mimeData()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Open the file dropped."""
        path = openable(event.mimeData())
        if path is not None:
            event.acceptProposedAction()
            self.filing.open_file(path)

    def state(self) -> WindowState:
        """The present state of the window, to be kept."""
        look = self.workspace.look
        theme = "" if look.theme == self.system_theme else look.theme
        return WindowState(self.width(), self.height(), theme, look.text, self.page_name(), look.screen)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Update the file, keep the state of the window, and end the workers."""
        if not self.filing.may_end():
            event.ignore()
            return
        self._end()
        super().closeEvent(event)

    def end_quietly(self) -> None:
        """Close without a question: the system is ending the program."""
        self._end()

    def _end(self) -> None:
        keep_window(self.state())
        self.end_pages()
        self.beside.give_up()
        if "presence" in self.__dict__:
            self.presence.close()
        self.filing.end()

    def _changed(self, change: Changed) -> None:
        if change.unit:
            self._unit_changed()
        if change.history:
            self._offer_today()
            self._say_name()
            self.show_saved()
            self.filing.changed()

    def _say_name(self) -> None:
        name = self.workspace.session.document.settings.name
        self.header.say_name(name)
        name = self.workspace.model.job.name
        path = self.workspace.session.path
        if self.workspace.session.read_only:
            file = path.name if path else ""
            self.setWindowTitle(_("{name} - {file}, read-only - Maker's Workbook", name=name, file=file))
        else:
            self.setWindowTitle(_("{name} - Maker's Workbook", name=name))

    def end_pages(self) -> None:
        """End the workers and searches of the pages."""
        for page in self.early.there().values():
            page.end()

    def work_on(self, session: Session, model: Model | None = None) -> None:
        """Show other work. `model`: its model, if already built."""
        dialogs.close_dialogs(self)
        self.early.show_again({})  # drop what was shown of the old work
        self.workspace.work_on(session, model)
        self._say_name()
        if "presence" in self.__dict__:
            self.presence.listen()
        self._furnished = False
        self._furnish()
        self.show_saved()
        self.filing.changed()
        if self.page_name() == "layout":
            self.bars_page().entered()
        tell_update(self)

    def say_storage(self, title: str, trouble: StorageTrouble, cures: Sequence[Cure] = ()) -> None:
        """Show a problem with a disk or a file and its cure; `cures` are buttons that apply one."""
        if isinstance(trouble, OnlyToLookAt):
            cures = ((_("Save as…"), self.filing.save_as),)
        message(self, title, f"{trouble.what} {trouble.cure}".strip(), cures)
