"""Everything the finder can find in a window: entries of the menus, exports, settings, rates, buttons of pages, parameters."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLineEdit, QMenu, QWidget

from workbook.app.dialogs import other_words
from workbook.app.dialogs.matching import ALSO, Findable
from workbook.app.elements.basics import reveal
from workbook.app.elements.form import Heading, Item
from workbook.app.elements.group import GroupHead
from workbook.app.own_keys import unmarked
from workbook.app.pages.draw.panel import TITLES
from workbook.app.pages.table import PAGES
from workbook.later import modules
from workbook.template.model import Template
from workbook.template.parameters import PARAMETERS
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app.dialogs import rates, settings
    from workbook.app.frame import Frame
    from workbook.tasks import exports
else:
    exports, rates, settings = modules("tasks.exports", "app.dialogs.rates", "app.dialogs.settings")

Run = Callable[[], object]
_WORDS = {row.name: row.word for row in PAGES}
_LEFT = {"", "figure", *(parameter.path for parameter in PARAMETERS)}  # names of widgets: amounts, and what is found by itself


def _always(run: Run) -> Callable[[], Run]:
    """The way of what can be done at any time."""
    return lambda: run


def entries(window: Frame) -> list[Findable]:
    """Everything that can be found now, what is likelier meant first."""
    return [
        *_of_menus(window), *_of_exports(window), *_of_parameters(window), *_of_pages(window), *_of_groups(window),
        *_of_settings(window),
    ]  # fmt: skip


def _of_menus(window: Frame) -> Iterator[Findable]:
    for path, action in _all(window.menuBar().actions(), ""):
        yield Findable(
            words=path,
            also=action.property(ALSO) or "",
            key=action.shortcut().toString(),
            possible=action.isEnabled(),
            way=partial(_action, window, path),
        )


def _action(window: Frame, path: str) -> Run | None:
    """What runs an entry of the menus. It is looked up again, since menus may be refilled while the finder is open."""
    action = next((action for each, action in _all(window.menuBar().actions(), "") if each == path), None)
    return action.trigger if action is not None and action.isEnabled() else None


def _all(actions: Sequence[QAction], before: str) -> Iterator[tuple[str, QAction]]:
    """Every action of the menus and their submenus, with its path."""
    for action in actions:
        words = unmarked(action.text())
        menu = action.menu()
        if isinstance(menu, QMenu):
            menu.aboutToShow.emit()  # some menus are filled only when shown
            yield from _all(menu.actions(), f"{before}{words}: ")
        elif words and not action.isSeparator():
            yield f"{before}{words}", action


def all_actions(window: Frame) -> list[tuple[str, QAction]]:
    """Every action of the window's menus, with its path in words."""
    return list(_all(window.menuBar().actions(), ""))


def _of_exports(window: Frame) -> Iterator[Findable]:
    for key, export in exports.EXPORTS.items():
        also = f"{export.kind} {other_words.EXPORTS[key]}"
        yield Findable(
            words=_("Export or print: {what}", what=export.words), also=also, way=_always(partial(window.show_export, key))
        )


def _of_pages(window: Frame) -> Iterator[Findable]:
    """The buttons and fields with words on the pages that are built."""
    for name, page in window.built_pages().items():
        seen = set()
        for widget in page.findChildren(QWidget):
            words = _words_of(widget)
            if words and words not in seen and widget.objectName() not in _LEFT and widget.isVisibleTo(page):
                seen.add(words)
                also = other_words.ON_PAGES.get(widget.objectName(), "")
                way = _always(partial(_use, window, name, widget.objectName()))
                yield Findable(words=f"{_WORDS[name]}: {words}", also=also, way=way)


def _of_groups(window: Frame) -> Iterator[Findable]:
    """The groups that fold, by their heads."""
    for name, page in window.built_pages().items():
        for head in page.findChildren(GroupHead):
            also, words = other_words.ON_PAGES.get(head.objectName(), ""), head.accessibleName()
            yield Findable(
                words=f"{_WORDS[name]}: {words}", also=also, way=_always(partial(_unfold, window, name, head.objectName()))
            )


def _unfold(window: Frame, name: str, head_name: str) -> None:
    """Show a page with a group of it open."""
    window.show_page(name)
    head = window.built_pages()[name].findChild(GroupHead, head_name)
    if head is not None:
        head.set_open(True)
        reveal(head)


def _words_of(widget: QWidget) -> str:
    """The words on a button, or the name of a field to type or choose in; "" for anything else."""
    if isinstance(widget, QAbstractButton):
        return unmarked(widget.text()).strip(" -")
    return widget.accessibleName() if isinstance(widget, QLineEdit | QComboBox) else ""


def _use(window: Frame, name: str, widget_name: str) -> None:
    """Show a page, give a button or field on it the keyboard, and press the button."""
    window.show_page(name)
    widget = window.built_pages()[name].findChild(QWidget, widget_name)
    if isinstance(widget, QAbstractButton):
        widget.setFocus()
        widget.click()
    elif widget is not None:
        reveal(widget)


def _of_settings(window: Frame) -> Iterator[Findable]:
    yield from _of_form(window, "settings", _("Settings"), settings.ITEMS, other_words.SETTINGS)
    yield from _of_form(window, "rates", _("Shop rates"), rates.ITEMS, other_words.RATES)


def _of_form(window: Frame, dialog: str, title: str, items: Iterable[Item | Heading], also: dict[str, str]) -> Iterator[Findable]:
    """The fields of a dialog, each under its heading."""
    head = title
    for item in items:
        if isinstance(item, Heading):
            head = f"{title}: {item.words}"
        else:
            other = also.get(item.key, "")
            way = _always(partial(window.show_field, dialog, item.key))
            yield Findable(words=f"{head}: {item.words}", also=other, meaning=item.meaning, way=way)


def _of_parameters(window: Frame) -> Iterator[Findable]:
    """The chosen template's numbers, each on the page that has it."""
    if not isinstance(window.workspace.chosen_template, Template):
        return
    for parameter in PARAMETERS:
        page = "grind" if parameter.group == "grind" else "draw"
        words = f"{_WORDS[page]}: {TITLES[parameter.group]}: {parameter.label}"
        also = other_words.PARAMETERS.get(parameter.path, "")
        way = _always(partial(window.show_parameter, page, parameter.path))
        yield Findable(words=words, also=also, meaning=parameter.meaning, way=way)
