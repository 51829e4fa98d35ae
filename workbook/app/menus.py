"""The menus: every action by its name, with the platform's keys. Only actions that work are listed."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu, QMenuBar

from workbook.app.choice_menu import choices, fill_printers
from workbook.app.dialogs.table import show_dialog
from workbook.app.page_words import MENUS, history_words
from workbook.app.pages.table import PAGES
from workbook.app.parts import Key, Parts, action
from workbook.app.plain import plain
from workbook.app.shop_menus import fill_layout, fill_make, fill_orders, fill_stock
from workbook.app.template_menu import fill_template
from workbook.languages import KEPT, chosen, offered
from workbook.paths import keep_data
from workbook.structs import replace
from workbook.system.names import shown
from workbook.tasks.recent import recent
from workbook.tasks.work import unreadable, unsaved
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app.filing import Filing
    from workbook.app.frame import Frame


def fill_menus(window: Frame, parts: Parts) -> None:
    """Give the window a new menu bar with all menus."""
    bar = QMenuBar()
    bar.setFont(window.workspace.look.font("body"))
    fills = (_file, _edit, _view, _go, fill_template, fill_stock, fill_orders, fill_layout, fill_make, _help)
    for fill, title in zip(fills, MENUS, strict=True):
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
    action(menu, _("&New shop book"), filing.new, Key.New, also=_("create start begin empty workbook document file own"))
    action(menu, _("&Open…"), filing.open, Key.Open, also=_("load file workbook document browse job"))
    action(menu, _("Open read-on&ly…"), filing.ask_to_look, also=_("view look without changing locked"))
    action(
        menu, _("&Import from another shop book…"), parts.bringing.ask_for_book, also=_("merge combine transfer copy bring in")
    )
    recent_menu = menu.addMenu(_("Open &recent"))
    menu.aboutToShow.connect(lambda: _lately(filing, recent_menu))
    _lately(filing, recent_menu)
    menu.addSeparator()
    action(menu, _("&Save"), filing.save, Key.Save, also=_("keep store write file"))
    action(
        menu,
        _("Save &as…"),
        filing.save_as,
        Key.SaveAs,
        also=_("rename move location another file name copy cloud sync share new laptop computer stick usb transfer"),
    )
    action(
        menu,
        _("Restore a &backup…"),
        filing.ask_for_backup,
        also=_("recover lost crash earlier previous old version copy autosave"),
    )
    menu.addSeparator()
    action(
        menu, _("&Export or print…"), partial(show_dialog, window, "export"), QKeySequence("Ctrl+E"),
        also=_("pdf csv png dxf svg preview paper output write save sheets share send hard copy printer plotter"),
    )  # fmt: skip
    action(menu, _("Export &job file…"), parts.printing.save_job, also=_("toml command line script write text"))
    fill_printers(window, menu.addMenu(_("&Printer")))
    menu.addSeparator()
    action(menu, _("&Quit"), lambda: _close(window), Key.Quit, also=_("exit close end leave"))


def _lately(filing: Filing, menu: QMenu) -> None:
    """Fill the menu with recent files and unsaved work."""
    menu.clear()
    for path in recent():
        item = action(
            menu,
            shown(path.name).replace("&", "&&"),
            partial(filing.open_file, path),
            also=_("last opened latest previous reopen"),
        )
        item.setToolTip(plain(shown(path)))
    for work in unsaved():
        words = _("{name}, not saved, {at}", name=work.name, at=work.at[:16].replace("T", " "))
        action(menu, words.replace("&", "&&"), partial(filing.open_left, work.file))
    for entry in unreadable():
        action(menu, _("Cannot be read: work of {day}", day=entry.day), partial(filing.say_unreadable, entry))
    menu.setEnabled(bool(menu.actions()))


def _edit(window: Frame, menu: QMenu, parts: Parts) -> None:
    menu.setObjectName("edit-menu")
    action(menu, "", window.workspace.undo, Key.Undo, also=_("undo revert back mistake take wrong")).setObjectName("undo")
    action(menu, "", window.workspace.redo, Key.Redo, also=_("redo repeat forward again")).setObjectName("redo")
    menu.addSeparator()
    action(
        menu,
        _("&History…"),
        partial(show_dialog, window, "history"),
        also=_("steps changes log undo list earlier past old version"),
    )
    action(
        menu, _("&Settings…"), partial(show_dialog, window, "settings"), Key.Preferences,
        also=_("preferences options configuration configure setup customize defaults"),
    )  # fmt: skip
    action(
        menu, _("&Keyboard shortcuts…"), partial(show_dialog, window, "keys"),
        also=_("keys hotkeys accelerators change customize configure bind"),
    )  # fmt: skip
    action(
        menu, _("&Find an action…"), partial(show_dialog, window, "finder"), QKeySequence("Ctrl+K"),
        also=_("search command palette menu where how"),
    )  # fmt: skip


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
    action(
        menu, _("&Zoom to fit"), window.draw.board.fit, QKeySequence("Ctrl+0"), also=_("zoom whole all center reset magnify out")
    )
    action(menu, _("&True size"), window.draw.board.true_size, also=_("zoom actual real life size 1:1 scale 100%"))
    action(
        menu, _("&Calibrate screen size…"), partial(show_dialog, window, "screen"),
        also=_("measure monitor display dpi resolution true size screen"),
    )  # fmt: skip
    menu.addSeparator()
    units = (
        (_("Inches first"), "in", _("units imperial fractions inch fahrenheit ounce pound decimal measurement system")),
        (_("Millimeters first"), "mm", _("units metric mm millimetre celsius gram kilogram decimal measurement system")),
    )
    choices(menu, units, window.workspace.unit, window.workspace.choose_unit)
    menu.addSeparator()
    look = window.workspace.look
    themes = (
        (_("Light"), "light", _("theme color colour mode appearance look bright day white")),
        (_("Dark"), "dark", _("theme color colour mode appearance look night black contrast")),
    )
    choices(menu, themes, look.theme, lambda theme: window.use_look(replace(window.workspace.look, theme=theme)))
    menu.addSeparator()
    also = _("font size larger smaller bigger letters zoom interface scale accessibility")
    sizes = tuple((_("Text {percent}%", percent=percent), percent / 100, also) for percent in (100, 125, 150, 200))
    choices(menu, sizes, look.text, lambda text: window.use_look(replace(window.workspace.look, text=text)))
    if len(offered()) > 1:
        _languages(window, menu)


def _languages(window: Frame, menu: QMenu) -> None:
    """The languages there are; the one chosen is spoken from the next start on."""
    menu.addSeparator()
    also = _("language translation english german french deutsch francais")
    languages = ((_("Language of the system"), "", also), *((name, code, also) for code, name in offered().items()))
    choices(menu.addMenu(_("&Language")), languages, chosen(), partial(_speak, window))


def _speak(window: Frame, code: str) -> None:
    """Keep the language for the next start: texts that are shown already stay."""
    try:
        keep_data(KEPT, code.encode())
    except OSError as trouble:
        window.workspace.said.emit(_("The language could not be kept: {trouble}.", trouble=trouble))
        return
    window.workspace.said.emit(_("Close the program and start it again: it then speaks the language chosen."))


def _go(window: Frame, menu: QMenu, parts: Parts) -> None:
    for row in PAGES:
        action(menu, row.word, partial(window.show_page, row.name), also=row.also)
    menu.addSeparator()
    action(
        menu, _("Go to entry &line"), partial(_to_line, window), QKeySequence("Ctrl+L"), also=_("type enter input field keyboard")
    )


def _to_line(window: Frame) -> None:
    """Give the keyboard to the field or list where work on the page starts."""
    first = getattr(window.pages.currentWidget(), "first", None)
    if first is not None:
        first.setFocus()


def _help(window: Frame, menu: QMenu, parts: Parts) -> None:
    action(
        menu, _("&Help on this page"), partial(show_dialog, window, "help"), Key.HelpContents,
        also=_("manual guide instructions how keys shortcuts documentation tutorial safety caution warning"),
    )  # fmt: skip
    action(menu, _("Show the &sample"), parts.filing.show_sample, also=_("demo example tutorial try"))
    menu.addSeparator()
    action(
        menu, _("&Pack a report…"), partial(show_dialog, window, "report"),
        also=_("error crash bug problem send support zip log diagnostics"),
    )  # fmt: skip
    action(
        menu, _("&About"), partial(show_dialog, window, "about"),
        also=_("version license licence program info"),
    )  # fmt: skip
