"""The menus: every action by its name, with the platform's keys. Only actions that work are listed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

from msgspec import Struct
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QInputDialog, QMenu, QMenuBar

from workbook import __version__
from workbook.app.dialogs.table import show_dialog
from workbook.app.knife_menu import fill_knife
from workbook.app.page_words import MENUS, history_words
from workbook.app.pages.layout.hand import WAYS
from workbook.app.pages.table import PAGES
from workbook.app.parts import Key, Parts, action
from workbook.app.plain import message_box, plain
from workbook.sheets.printer import Printer
from workbook.structs import replace
from workbook.system.names import shown
from workbook.tasks.recent import recent
from workbook.tasks.work import unreadable, unsaved
from workbook.template.service import Service
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app.filing import Filing
    from workbook.app.frame import Frame


def fill_menus(window: Frame, parts: Parts) -> None:
    """Give the window a new menu bar with all menus."""
    bar = QMenuBar()
    bar.setFont(window.workspace.look.font("body"))
    for fill, title in zip((_file, _edit, _view, fill_knife, _bars, _help), MENUS, strict=True):
        fill(window, bar.addMenu(title), parts)
    window.setMenuBar(bar)
    bar.show()  # Qt would show it a moment later; until then its keys do nothing
    show_history(window)


def run_key(window: Frame, key: QKeySequence) -> None:
    """Run the menu action of a key, if there is one."""
    actions = window.menuBar().findChildren(QAction)
    action = next((each for each in actions if not each.shortcut().isEmpty() and each.shortcut() == key), None)
    if action is not None and action.isEnabled():
        action.trigger()


def _file(window: Frame, menu: QMenu, parts: Parts) -> None:
    filing = parts.filing
    action(menu, _("&New workbook"), filing.new, Key.New)
    action(menu, _("&Open…"), filing.open, Key.Open)
    action(menu, _("Open to &look at…"), filing.ask_to_look)
    action(menu, _("&Bring in from another book…"), parts.bringing.ask_for_book)
    recent_menu = menu.addMenu(_("Open &recent"))
    menu.aboutToShow.connect(lambda: _lately(filing, recent_menu))
    _lately(filing, recent_menu)
    menu.addSeparator()
    action(menu, _("&Save"), filing.save, Key.Save)
    action(menu, _("Save &as…"), filing.save_as, Key.SaveAs)
    action(menu, _("Restore a &backup…"), filing.ask_for_backup)
    menu.addSeparator()
    action(menu, _("&Write or print…"), partial(show_dialog, window, "export"), QKeySequence("Ctrl+E"))
    action(menu, _("Write as a &job file…"), parts.printing.save_job)
    _by_name(window, menu.addMenu(_("&Printer")), _PRINTER)
    menu.addSeparator()
    action(menu, _("&Quit"), lambda: _close(window), Key.Quit)


def _lately(filing: Filing, menu: QMenu) -> None:
    """Fill the menu with recent files and unsaved work."""
    menu.clear()
    for path in recent():
        action(menu, shown(path.name).replace("&", "&&"), partial(filing.open_file, path)).setToolTip(plain(shown(path)))
    for work in unsaved():
        words = _("{name}, not saved, {at}", name=work.name, at=work.at[:16].replace("T", " "))
        action(menu, words.replace("&", "&&"), partial(filing.open_left, work.file))
    for entry in unreadable():
        action(menu, _("Cannot be read: work of {day}", day=entry.day), partial(filing.say_unreadable, entry))
    menu.setEnabled(bool(menu.actions()))


def _edit(window: Frame, menu: QMenu, parts: Parts) -> None:
    menu.setObjectName("edit-menu")
    action(menu, "", window.workspace.undo, Key.Undo).setObjectName("undo")
    action(menu, "", window.workspace.redo, Key.Redo).setObjectName("redo")
    menu.addSeparator()
    action(menu, _("&History…"), partial(show_dialog, window, "history"))
    action(menu, _("&Settings…"), partial(show_dialog, window, "settings"), Key.Preferences)
    action(menu, _("To the page's &line, or its bars"), partial(_to_line, window), QKeySequence("Ctrl+L"))
    action(menu, _("&Find an action…"), partial(show_dialog, window, "finder"), QKeySequence("Ctrl+K"))


def show_history(window: Frame) -> None:
    """Show what can be undone and redone in the menu and on the header's buttons."""
    deeds = history_words(window.workspace.session, window.workspace.unit)
    window.header.tell_history(deeds)
    for name, (words, enabled) in zip(("undo", "redo"), deeds, strict=True):
        item = window.menuBar().findChild(QAction, name)
        assert item is not None
        item.setText(words)
        item.setEnabled(enabled)


def _close(window: Frame) -> None:
    window.close()


def _view(window: Frame, menu: QMenu, parts: Parts) -> None:
    for row in PAGES:
        action(menu, f"&{row.word}", partial(window.show_page, row.name))
    menu.addSeparator()
    action(menu, _("&Fit"), window.draw.board.fit, QKeySequence("Ctrl+0"))
    action(menu, _("&True size"), window.draw.board.true_size)
    action(menu, _("&Measure the screen…"), partial(show_dialog, window, "screen"))
    menu.addSeparator()
    units = ((_("Inch first"), "in"), (_("Millimetres first"), "mm"))
    _choices(menu, units, window.workspace.unit, window.workspace.choose_unit)
    menu.addSeparator()
    look = window.workspace.look
    _choices(
        menu,
        ((_("Light"), "light"), (_("Dark"), "dark")),
        look.theme,
        lambda theme: window.use_look(replace(window.workspace.look, theme=theme)),
    )
    menu.addSeparator()
    sizes = tuple((_("Text {percent} %", percent=percent), percent / 100) for percent in (100, 125, 150, 200))
    _choices(menu, sizes, look.text, lambda text: window.use_look(replace(window.workspace.look, text=text)))


def _choices(menu: QMenu, choices: Sequence[tuple[str, Any]], now: object, choose: Callable[[Any], None]) -> None:
    """Add a group of choices to the menu, the present one ticked."""
    group = QActionGroup(menu)
    for words, value in choices:
        item = action(menu, words, partial(choose, value))
        item.setCheckable(True)
        item.setChecked(value == now)
        group.addAction(item)


def _bars(window: Frame, menu: QMenu, parts: Parts) -> None:
    action(menu, _("Write the stock as a t&able…"), parts.printing.save_stock)
    action(menu, _("Bring in a table of s&tock…"), parts.bringing.ask_for_stock)
    menu.addSeparator()
    action(menu, _("Print the &quote…"), parts.printing.print_quote)
    action(menu, _("Copy the quote as &text"), lambda: window.quote_page().copy())
    action(menu, _("Take the c&ustomer off the list"), lambda: window.workspace.orders.drop_customer(window.quote_page().order))
    action(menu, _("&Rates of the shop…"), partial(show_dialog, window, "rates"))
    menu.addSeparator()
    action(menu, _("Lay out this &order"), lambda: _lay_order(window))
    by_hand = menu.addMenu(_("The chosen &blank"))
    for command, words, _unused, _unused in WAYS:
        action(by_hand, words, partial(_by_hand, window, command))
    action(by_hand, _("Pin it, or let it go"), lambda: window.bars_page().pin_chosen())
    action(menu, _("Search on for a better layout"), lambda: window.bars_page().search_on())
    action(menu, _("&Mark the layout as cut"), lambda: window.bars_page().mark_cut())
    menu.addSeparator()
    action(menu, _("Print &bar sheets…"), parts.printing.print_bars)
    action(menu, _("Save the cut &file of the bars…"), parts.printing.cut_bars)
    action(menu, _("Save the &drawing with all lines…"), parts.printing.draw_bars)
    menu.addSeparator()
    action(menu, _("Find a &blade…"), lambda: window.show_blades(""))
    action(menu, _("Results of &heat treatment…"), lambda: window.show_heat_results(""))
    action(menu, _("Print the &traveller…"), parts.printing.print_traveller)
    action(menu, _("Print labels for bl&ades and scales…"), parts.printing.print_labels)
    action(menu, _("Print scale sheets &by serial…"), parts.printing.print_scale_sheets)
    action(menu, _("&Check a cut file…"), partial(show_dialog, window, "preflight"))
    _by_name(window, menu.addMenu(_("Cutting ser&vice")), _SERVICE)


def _by_hand(window: Frame, command: str) -> None:
    """Move the chosen blank of the layout."""
    window.bars_page().hand.do(command)


def _to_line(window: Frame) -> None:
    """Give the keyboard to the field or list where work on the page starts."""
    first = getattr(window.pages.currentWidget(), "first", None)
    if first is not None:
        first.setFocus()


def _lay_order(window: Frame) -> None:
    """Lay out the blanks of the order shown on Quote."""
    order = window.quote_page().order
    if order:
        window.workspace.orders.lay(order, True)
        window.show_page("layout")


class _Named(Struct, frozen=True, kw_only=True):
    """Something named in the settings, such as a printer: the one in use, and the others."""

    field: str  # of the settings; the others are in the field of this name with an s
    title: str  # of the question for a new one
    another: str  # the menu entry that asks for one
    nameless: str
    made: Callable[[str], Printer | Service]  # builds one from a name
    then: Callable[[str], str]  # what to do with a new one of this name


_PRINTER = _Named(
    field="printer",
    title=_("Another printer"),
    another=_("&Another printer…"),
    nameless=_("without a name"),
    made=lambda name: Printer(name=name),
    then=lambda name: _("{name}: print its test page (Write or print), and type what it reads under Settings.", name=name),
)
_SERVICE = _Named(
    field="service",
    title=_("Another cutting service"),
    another=_("&Another cutting service…"),
    nameless=_("none: holes to size"),
    made=lambda name: Service(name=name, hole_share=1.0, smallest_hole=0.8, inside_radius=0.8) if name else Service(),
    then=lambda name: _("{name}: say under Settings, Cutting service, what it cuts.", name=name),
)


def _by_name(window: Frame, menu: QMenu, kind: _Named) -> None:
    """Offer those in the settings and a new one; the list is built when the menu opens."""
    space = window.workspace

    def known() -> dict[str, Any]:
        settings = space.session.document.settings
        options = (kind.made(""), *getattr(settings, f"{kind.field}s"), getattr(settings, kind.field))
        return {each.name: each for each in options}

    def use(chosen: Printer | Service) -> None:
        others = tuple(each for name, each in known().items() if name != chosen.name)
        space.change_settings(kind.field, chosen.name, **{kind.field: chosen, f"{kind.field}s": others})

    def another() -> None:
        name, ok = QInputDialog.getText(window, kind.title, _("What it is called"))
        if ok and name.strip():
            use(kind.made(name.strip()[:40]))
            space.said.emit(kind.then(name.strip()))

    def fill() -> None:
        menu.clear()
        names = [(name.replace("&", "&&") or kind.nameless, each) for name, each in sorted(known().items())]
        _choices(menu, names, getattr(space.session.document.settings, kind.field), use)
        menu.addSeparator()
        action(menu, kind.another, another)

    menu.aboutToShow.connect(fill)
    fill()


def _help(window: Frame, menu: QMenu, parts: Parts) -> None:
    action(menu, _("&Help on this page"), partial(show_dialog, window, "help"), Key.HelpContents)
    action(menu, _("Show the &sample"), parts.filing.show_sample)
    action(menu, _("&About"), lambda: _about(window))


def _about(window: Frame) -> None:
    words = _("Maker's Workbook {version}\n\nOn carrying or selling knives: check local law.", version=__version__)
    message_box(window, _("About"), words, warning=False).open()
