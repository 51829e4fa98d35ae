"""The menus: every action by its name, with the platform's keys; nothing that does not work is there."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QDialog, QInputDialog, QMenu, QMessageBox

from workbook import __version__
from workbook.app.by_hand_ways import WAYS
from workbook.app.pages.shelf import family_menu
from workbook.sheets.printer import Printer
from workbook.tasks.work import recent, unsaved
from workbook.template.holes import WORDS
from workbook.template.model import GROUPS, Template
from workbook.template.pegs import RUN_WORDS
from workbook.template.resizing import Taken
from workbook.template.service import Service

if TYPE_CHECKING:
    from workbook.app.window import Window
    from workbook.app.workspace import Workspace

Key = QKeySequence.StandardKey


def fill_menus(window: Window) -> None:
    """Puts all menus on the window's menu bar."""
    bar = window.menuBar()
    bar.clear()
    bar.setFont(window.workspace.look.font("body"))
    _file(window, bar.addMenu("&File"))
    _edit(window, bar.addMenu("&Edit"))
    _view(window, bar.addMenu("&View"))
    _knife(window, bar.addMenu("&Knife"))
    _bars(window, bar.addMenu("&Bars"))
    _help(window, bar.addMenu("&Help"))


def _action(menu: QMenu, words: str, run: Callable[[], object], key: QKeySequence | Key | None = None) -> QAction:
    action = menu.addAction(words)
    action.triggered.connect(lambda checked=False: run())
    if key is not None:
        action.setShortcut(QKeySequence(key))
    return action


def _file(window: Window, menu: QMenu) -> None:
    filing = window.filing
    _action(menu, "&New workbook", filing.new, Key.New)
    _action(menu, "&Open…", filing.open, Key.Open)
    _action(menu, "Open to &look at…", filing.ask_to_look)
    lately = menu.addMenu("Open &recent")
    for path in recent():
        _action(lately, path.name, partial(filing.open_file, path)).setToolTip(str(path))
    for left in unsaved():
        words = f"{left.name}, not saved, {left.at[:16].replace('T', ' ')}"
        _action(lately, words, partial(filing.open_left, left.file))
    lately.setEnabled(bool(lately.actions()))
    menu.addSeparator()
    _action(menu, "&Save", filing.save, Key.Save)
    _action(menu, "Save &as…", filing.save_as, Key.SaveAs)
    menu.addSeparator()
    _action(menu, "&Write or print…", partial(show_dialog, window, "export"), QKeySequence("Ctrl+E"))
    _action(menu, "Write as a &job file…", filing.export_job)
    _by_name(window, menu.addMenu("&Printer"), _PRINTER)
    menu.addSeparator()
    _action(menu, "&Quit", lambda: _close(window), Key.Quit)


def _edit(window: Window, menu: QMenu) -> None:
    menu.setObjectName("edit-menu")
    _action(menu, "", window.workspace.undo, Key.Undo).setObjectName("undo")
    _action(menu, "", window.workspace.redo, Key.Redo).setObjectName("redo")
    menu.addSeparator()
    _action(menu, "&History…", partial(show_dialog, window, "history"))
    _action(menu, "&Settings…", partial(show_dialog, window, "settings"), Key.Preferences)
    _action(menu, "To the page's &line, or its bars", partial(_to_line, window), QKeySequence("Ctrl+L"))
    _action(menu, "&Find an action…", partial(show_dialog, window, "finder"), QKeySequence("Ctrl+K"))
    show_history(window)


def show_dialog(window: Window, name: str) -> None:
    """Opens a dialog beside the window, or shows the one that is open; they are imported when first asked for."""
    there = next((d for d in window.findChildren(QDialog) if d.property("dialog") == name and d.isVisible()), None)
    if there is not None:
        there.raise_()
        there.activateWindow()
        return
    _open_dialog(window, window.workspace, name)
    for made in window.findChildren(QDialog):
        if made.property("dialog") is None:
            made.setProperty("dialog", name)


def _open_dialog(window: Window, space: Workspace, name: str) -> None:
    if name == "history":
        from workbook.app.widgets.history import History

        History(window, space).show()
    elif name == "settings":
        from workbook.app.widgets.settings import Settings

        Settings(window, space).show()
    elif name in ("export", "preflight", "print-code"):
        _open_file_dialog(window, name)
    elif name == "rates":
        from workbook.app.widgets.rates import Rates

        Rates(window, space).show()
    elif name == "finder":
        from workbook.app.widgets.finder import Finder

        Finder(window, space.look, window.menuBar()).show()
    elif name == "screen":
        from workbook.app.widgets.screen_size import ScreenSize

        asked = ScreenSize(window, space.look)
        asked.accepted.connect(lambda: window.use_look(asked.found or space.look))
        asked.show()
    elif name in ("scaling", "sizes"):
        from workbook.app.widgets.scaling import Scaling, Sizes

        if isinstance(space.template(space.chosen), Template):
            (Scaling if name == "scaling" else Sizes)(window, space).show()
        else:
            space.said.emit("An outline from a file has no parameters to scale.")
    else:
        from workbook.app.widgets.help import Help

        Help(window, space.look, window.page_name()).show()


def _open_file_dialog(window: Window, name: str) -> None:
    """Dialogs about files and prints."""
    if name == "export":
        from workbook.app.widgets.export_dialog import ExportDialog

        ExportDialog(window).show()
    elif name == "preflight":
        from workbook.app.widgets.preflight_dialog import ask_and_judge

        ask_and_judge(window)
    else:
        from workbook.app.widgets.print_code import ask_for_code

        ask_for_code(window)


def show_history(window: Window) -> tuple[QAction, QAction]:
    """What can be undone and done again, by its words; the actions that do so."""
    session = window.workspace.session
    steps, done = session.steps, session.done
    found = []
    for name, word, step in (("undo", "&Undo", done - 1), ("redo", "&Redo", done)):
        action = window.menuBar().findChild(QAction, name)
        assert action is not None
        there = 0 <= step < len(steps) and not session.read_only
        action.setText(f"{word}: {steps[step].edit.words}".replace("&", "&&").replace("&&", "&", 1) if there else word)
        action.setEnabled(there)
        found.append(action)
    return found[0], found[1]


def _close(window: Window) -> None:
    window.close()


def _view(window: Window, menu: QMenu) -> None:
    _action(menu, "&Draw", lambda: window.show_page("draw"))
    _action(menu, "&Fit", window.draw.board.fit, QKeySequence("Ctrl+0"))
    _action(menu, "&True size", window.draw.board.true_size)
    _action(menu, "&Measure the screen…", partial(show_dialog, window, "screen"))
    menu.addSeparator()
    units = (("Inch first", "in"), ("Millimetres first", "mm"))
    _choices(menu, units, window.workspace.unit, window.workspace.choose_unit)
    menu.addSeparator()
    look = window.workspace.look
    _choices(
        menu,
        (("Light", "light"), ("Dark", "dark")),
        look.theme,
        lambda theme: window.use_look(replace(window.workspace.look, theme=theme)),
    )
    menu.addSeparator()
    sizes = tuple((f"Text {percent} %", percent / 100) for percent in (100, 125, 150, 200))
    _choices(menu, sizes, look.text, lambda text: window.use_look(replace(window.workspace.look, text=text)))


def _choices(menu: QMenu, choices: Sequence[tuple[str, Any]], now: object, choose: Callable[[Any], None]) -> None:
    """One of a few, the present one ticked."""
    group = QActionGroup(menu)
    for words, value in choices:
        action = _action(menu, words, partial(choose, value))
        action.setCheckable(True)
        action.setChecked(value == now)
        group.addAction(action)


def _rename(window: Window) -> None:
    space = window.workspace
    name, given = QInputDialog.getText(window, "Name of the template", "Name", text=space.chosen)
    if given:
        space.rename(name)


def _tag(window: Window) -> None:
    space = window.workspace
    words, given = QInputDialog.getText(
        window, "Tags", f"Words to find {space.chosen} by, parted by commas", text=", ".join(space.tags(space.chosen))
    )
    if given:
        space.set_tags(words)


def _keep_revision(window: Window) -> None:
    space = window.workspace
    note, given = QInputDialog.getText(window, "Keep a revision", f"What is {space.chosen} like now? (may be left empty)")
    if given:
        number = space.keep_revision(space.chosen, "kept", note.strip()[:200])
        space.said.emit(f"Revision {number} of {space.chosen} is kept.")


def _knife(window: Window, menu: QMenu) -> None:
    families = family_menu(window, window.workspace)
    families.setTitle("&New from family")
    menu.addMenu(families)
    _action(menu, "Bring in an &outline…", window.filing.ask_for_outline)
    _action(menu, "&Trace a picture…", window.filing.ask_for_picture)
    _action(menu, "&Duplicate", window.workspace.duplicate)
    _action(menu, "Re&name…", partial(_rename, window))
    _action(menu, "Ta&gs…", partial(_tag, window))
    _action(menu, "Re&move", window.workspace.remove)
    menu.addSeparator()
    _action(menu, "&Scale…", partial(show_dialog, window, "scaling"))
    _action(menu, "For the o&ther hand", window.workspace.mirror)
    _action(menu, "T&urn an outline end for end", window.workspace.turn)
    _action(menu, "A family of si&zes…", partial(show_dialog, window, "sizes"))
    more = menu.addMenu("One more &hole")
    for purpose, words in WORDS.items():
        _action(more, f"One more {words}", partial(window.draw.panel.holes.add, purpose))
    free = menu.addMenu("Free p&oint")
    for run, words in RUN_WORDS.items():
        _action(free, f"Free point on the {words}", partial(window.draw.touching.add_on, run))
    back = menu.addMenu("As the &family has it")
    for group, words in (("", "Everything"), *((group, group.capitalize()) for group in (*GROUPS, "holes"))):
        _action(back, words, partial(window.workspace.reset, group))
    _from_another(window, menu.addMenu("As &another has it"))
    menu.addSeparator()
    _action(menu, "&Keep a revision…", partial(_keep_revision, window))
    _action(menu, "&Is a print still right…", partial(show_dialog, window, "print-code"))
    menu.addSeparator()
    _action(menu, "&Grind", lambda: window.show_page("grind"))
    _action(menu, "Print the &bench card…", window.printing.print_card)
    _action(menu, "&Print the template sheet…", window.printing.print_template, Key.Print)
    _action(menu, "Save the &cut file…", window.printing.save_cut_file)
    _action(menu, "Print a contact &sheet of the shelf…", window.printing.print_shelf)


def _from_another(window: Window, menu: QMenu) -> None:
    """Handle, blade or grind of another template; which there are is looked up when the menu opens."""
    space = window.workspace

    def fill(parts: QMenu, part: Taken) -> None:
        parts.clear()
        for template in space.loaded.job.templates:
            if isinstance(template, Template) and template.name != space.chosen:
                _action(
                    parts,
                    f"{part.capitalize()} of {template.name}".replace("&", "&&"),
                    partial(space.take_part, template.name, part),
                )
        parts.setEnabled(not parts.isEmpty() and isinstance(space.template(space.chosen), Template))

    for part in Taken:
        parts = menu.addMenu(part.capitalize())
        menu.aboutToShow.connect(partial(fill, parts, part))


def _bars(window: Window, menu: QMenu) -> None:
    _action(menu, "&Stock", lambda: window.show_page("stock"))
    _action(menu, "&Quote", lambda: window.show_page("quote"))
    _action(menu, "&Lay out", lambda: window.show_page("layout"))
    menu.addSeparator()
    _action(menu, "Write the stock as a t&able…", window.printing.save_stock)
    _action(menu, "Bring in a table of s&tock…", window.filing.ask_for_stock)
    menu.addSeparator()
    _action(menu, "Print the &quote…", window.printing.print_quote)
    _action(menu, "Copy the quote as &text", lambda: window.quote_page().copy())
    _action(menu, "Take the c&ustomer off the list", lambda: window.workspace.orders.drop_customer(window.quote_page().order))
    _action(menu, "&Rates of the shop…", partial(show_dialog, window, "rates"))
    menu.addSeparator()
    _action(menu, "Lay out this &order", lambda: _lay_order(window))
    by_hand = menu.addMenu("The chosen &blank")
    for what, words, _, _ in WAYS:
        _action(by_hand, words, partial(_by_hand, window, what))
    _action(by_hand, "Pin it, or let it go", lambda: window.bars_page().pin_chosen())
    _action(menu, "Search on for a better layout", lambda: window.bars_page().search_on())
    _action(menu, "&Mark the layout as cut", lambda: window.bars_page().mark_cut())
    menu.addSeparator()
    _action(menu, "Print &bar sheets…", window.printing.print_bars)
    _action(menu, "Save the cut &file of the bars…", window.printing.save_bars_file)
    menu.addSeparator()
    _action(menu, "&Check a cutting file…", partial(show_dialog, window, "preflight"))
    _by_name(window, menu.addMenu("Cutting ser&vice"), _SERVICE)


def _by_hand(window: Window, what: str) -> None:
    """Moves the chosen blank of the layout."""
    window.bars_page().hand.do(what)


def _to_line(window: Window) -> None:
    """The keyboard goes to where work begins on the page: its line to type in, or its bars."""
    first = getattr(window.pages.currentWidget(), "first", None)
    if first is not None:
        first.setFocus()


def _lay_order(window: Window) -> None:
    """The blanks of the order that shows on Quote are laid out."""
    order = window.quote_page().order
    if order:
        window.workspace.orders.lay(order, True)
        window.show_page("layout")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Named:
    """Something of which the settings hold the one in use and the others, told apart by their names."""

    field: str  # of the settings; the others stand in the same with an s
    words: str
    nameless: str
    made: Callable[[str], Printer | Service]  # a new one of a name
    then: str  # what is to be done with a new one


_PRINTER = _Named(
    field="printer",
    words="printer",
    nameless="without a name",
    made=lambda name: Printer(name=name),
    then="print its test page (Write or print), and type what it reads under Settings.",
)
_SERVICE = _Named(
    field="service",
    words="cutting service",
    nameless="none: holes to size",
    made=lambda name: Service(name=name, hole_share=1.0, smallest_hole=0.8, inside_radius=0.8) if name else Service(),
    then="say under Settings, Cutting service, what it cuts.",
)


def _by_name(window: Window, menu: QMenu, kind: _Named) -> None:
    """One of what the settings hold, or another; which there are is looked up when the menu opens."""
    space = window.workspace

    def known() -> dict[str, Any]:
        settings = space.session.document.settings
        found = (kind.made(""), *getattr(settings, f"{kind.field}s"), getattr(settings, kind.field))
        return {each.name: each for each in found}

    def use(chosen: Printer | Service) -> None:
        others = tuple(each for name, each in known().items() if name != chosen.name)
        words = f"{kind.words} {chosen.name or kind.nameless}"
        space.change_settings(kind.field, words, **{kind.field: chosen, f"{kind.field}s": others})

    def another() -> None:
        name, given = QInputDialog.getText(window, f"Another {kind.words}", "What it is called")
        if given and name.strip():
            use(kind.made(name.strip()[:40]))
            space.said.emit(f"{name.strip()}: {kind.then}")

    def fill() -> None:
        menu.clear()
        names = [(name.replace("&", "&&") or kind.nameless, each) for name, each in sorted(known().items())]
        _choices(menu, names, getattr(space.session.document.settings, kind.field), use)
        menu.addSeparator()
        _action(menu, f"&Another {kind.words}…", another)

    menu.aboutToShow.connect(fill)
    fill()


def _help(window: Window, menu: QMenu) -> None:
    _action(menu, "&Look up…", lambda: window.show_page("lookup"))
    _action(menu, "&Help on this page", partial(show_dialog, window, "help"), Key.HelpContents)
    _action(menu, "&About", lambda: _about(window))


def _about(window: Window) -> None:
    words = f"Maker's Workbook {__version__}\n\nOn carrying or selling knives: check local law."
    box = QMessageBox(QMessageBox.Icon.Information, "About", words, QMessageBox.StandardButton.Close, window)
    box.open()
