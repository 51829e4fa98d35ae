"""The menus: every action by its name, with the platform's keys; nothing that does not work is there."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMenu, QMessageBox

from workbook import __version__
from workbook.app.pages.shelf import family_menu

if TYPE_CHECKING:
    from workbook.app.window import Window

Key = QKeySequence.StandardKey


def fill_menus(window: Window) -> None:
    """Puts all menus on the window's menu bar."""
    bar = window.menuBar()
    bar.clear()
    bar.setFont(window.workspace.look.font("body"))
    _file(window, bar.addMenu("&File"))
    _view(window, bar.addMenu("&View"))
    _knife(window, bar.addMenu("&Knife"))
    _bars(window, bar.addMenu("&Bars"))
    _help(window, bar.addMenu("&Help"))


def _action(menu: QMenu, words: str, run: Callable[[], None], key: QKeySequence | Key | None = None) -> QAction:
    action = menu.addAction(words)
    action.triggered.connect(lambda checked=False: run())
    if key is not None:
        action.setShortcut(QKeySequence(key))
    return action


def _file(window: Window, menu: QMenu) -> None:
    _action(menu, "&Open a job…", window.open_job, Key.Open)
    menu.addSeparator()
    _action(menu, "&Quit", lambda: _close(window), Key.Quit)


def _close(window: Window) -> None:
    window.close()


def _view(window: Window, menu: QMenu) -> None:
    _action(menu, "&Fit", window.draw.board.fit, QKeySequence("Ctrl+0"))
    _action(menu, "&True size", window.draw.board.true_size)
    menu.addSeparator()
    units = (("Inch first", "in"), ("Millimetres first", "mm"))
    _choices(menu, units, window.workspace.unit, window.workspace.use_unit)
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


def _knife(window: Window, menu: QMenu) -> None:
    families = family_menu(window, window.workspace)
    families.setTitle("&New from family")
    menu.addMenu(families)
    menu.addSeparator()
    _action(menu, "&Print the template sheet…", window.print_template, Key.Print)
    _action(menu, "Save the &cut file…", window.save_cut_file)


def _bars(window: Window, menu: QMenu) -> None:
    _action(menu, "&Lay out", lambda: window.show_page("layout"))
    menu.addSeparator()
    _action(menu, "Print &bar sheets…", window.print_bars)
    _action(menu, "Save the cut &file of the bars…", window.save_bars_file)


def _help(window: Window, menu: QMenu) -> None:
    _action(menu, "&About", lambda: _about(window))


def _about(window: Window) -> None:
    words = f"Maker's Workbook {__version__}\n\nOn carrying or selling knives: check local law."
    box = QMessageBox(QMessageBox.Icon.Information, "About", words, QMessageBox.StandardButton.Close, window)
    box.open()
