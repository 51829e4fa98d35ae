"""What a maker does with the templates of the shelf: rename, tag, copy, remove, and save as a family of his own."""

from collections.abc import Callable, Iterator
from functools import partial

from PySide6 import QtWidgets
from PySide6.QtWidgets import QMenu, QWidget

from workbook.app.plain import plain
from workbook.app.workspace import Workspace
from workbook.document.records import FamilyRecord
from workbook.formats.family import family, family_ids
from workbook.template.model import Template
from workbook.texts import _

_KEYS = {"rename": "F2", "tag": "Shift+F2", "duplicate": "Ctrl+D", "remove": "Del"}  # while the shelf has the keyboard
Act = tuple[str, str, Callable[[], object]]  # its words, its key or "", and what it does


def rename(parent: QWidget, space: Workspace) -> None:
    """Ask for another name for the chosen template."""
    name, ok = QtWidgets.QInputDialog.getText(parent, _("Name of the template"), _("Name"), text=space.name)
    if ok:
        space.rename(name)


def tag(parent: QWidget, space: Workspace) -> None:
    """Ask for the words to find the chosen template by."""
    words, ok = QtWidgets.QInputDialog.getText(
        parent,
        _("Tags"),
        plain(_("Tags of {chosen}, separated by commas", chosen=space.name)),
        text=", ".join(space.tags),
    )
    if ok:
        space.set_tags(words)


def save_family(parent: QWidget, space: Workspace) -> None:
    """Ask for a name and save the chosen template as a family of that name."""
    if not isinstance(space.chosen_template, Template):
        space.said.emit(_("{chosen} is an imported outline. It has no measures to begin from.", chosen=space.name))
        return
    own = space.own_family
    name, ok = QtWidgets.QInputDialog.getText(
        parent,
        _("Save as my own family"),
        plain(_("Family name. A family of that name is replaced.")),
        text=own.template.name if own is not None else space.name,
    )
    if ok:
        space.save_family(name)


def acts(parent: QWidget, space: Workspace) -> Iterator[Act]:
    """What can be done with the chosen template on the shelf."""
    yield _("Rename…"), _KEYS["rename"], lambda: rename(parent, space)
    yield _("Tags…"), _KEYS["tag"], lambda: tag(parent, space)
    yield _("Duplicate"), _KEYS["duplicate"], space.duplicate
    yield _("Save as my own family…"), "", lambda: save_family(parent, space)
    yield _("Delete"), _KEYS["remove"], space.remove


def family_menu(parent: QWidget, space: Workspace) -> QMenu:
    """A menu of the families, the maker's own first; choosing one adds a template of it to the shelf."""
    menu = QMenu(parent)
    menu.aboutToShow.connect(lambda: _fill(menu, space))  # twenty small files are read when needed, not at the start
    return menu


def _fill(menu: QMenu, space: Workspace) -> None:
    menu.clear()
    own = list(space.session.document.all(FamilyRecord))
    for each in own:
        _add(menu, each.template.name, partial(space.add_own_family, each.id))
    if own:
        menu.addSeparator()
    for family_id in family_ids():
        _add(menu, family(family_id).name, partial(space.add_family, family_id))
    if own:
        menu.addSeparator()
        old = menu.addMenu(_("Delete my own family"))
        for each in own:
            _add(old, each.template.name, partial(space.remove_family, each.id))


def _add(menu: QMenu, name: str, run: Callable[[], object]) -> None:
    menu.addAction(name.replace("&", "&&")).triggered.connect(lambda checked=False: run())
