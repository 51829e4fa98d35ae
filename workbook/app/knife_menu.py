"""The menu Knife: commands for the chosen template."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QInputDialog, QMenu

from workbook.app.dialogs.table import show_dialog
from workbook.app.parts import Key, Parts, action
from workbook.app.plain import plain
from workbook.app.reshaping import as_family, mirror, part_of, take_part, turn
from workbook.app.shelving import family_menu, rename, save_family, tag
from workbook.template.model import Purpose, Template
from workbook.template.pegs import RUN_WORDS
from workbook.template.resizing import Taken
from workbook.template.words import GROUP_WORDS
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app.frame import Frame

_MORE = {
    Purpose.BOLT: _("One more handle bolt"),
    Purpose.PIN: _("One more pin"),
    Purpose.LANYARD: _("One more lanyard tube"),
    Purpose.EPOXY: _("One more epoxy hole"),
}


def keep_revision(window: Frame) -> None:
    """Ask for a note and keep a revision of the chosen template."""
    space = window.workspace
    if space.session.read_only:
        space.said.emit(_("This workbook is open to look at only: save it under a name of its own to keep revisions."))
        return
    note, ok = QInputDialog.getText(
        window, _("Keep a revision"), plain(_("What is {chosen} like now? (may be left empty)", chosen=space.name))
    )
    if ok and space.keep_revision(space.chosen, _("kept"), note.strip()[:200]):
        space.said.emit(_("Revision {number} of {chosen} is kept.", number=space.revisions()[-1].number, chosen=space.name))


def fill_knife(window: Frame, menu: QMenu, parts: Parts) -> None:
    """Fill the menu with the commands for the chosen template."""
    families = family_menu(window, window.workspace)
    families.setTitle(_("&New from family"))
    menu.addMenu(families)
    action(menu, _("Bring in an &outline…"), parts.bringing.ask_for_outline)
    action(menu, _("&Trace a picture…"), parts.bringing.ask_for_picture)
    action(menu, _("&Duplicate"), window.workspace.duplicate)
    action(menu, _("Re&name…"), partial(rename, window, window.workspace))
    action(menu, _("Ta&gs…"), partial(tag, window, window.workspace))
    action(menu, _("Save as my own &family…"), partial(save_family, window, window.workspace))
    action(menu, _("De&lete"), window.workspace.remove)
    menu.addSeparator()
    action(menu, _("&Scale…"), partial(show_dialog, window, "scaling"))
    action(menu, _("For the o&ther hand"), partial(mirror, window.workspace))
    action(menu, _("T&urn an outline end for end"), partial(turn, window.workspace))
    action(menu, _("A family of si&zes…"), partial(show_dialog, window, "sizes"))
    more = menu.addMenu(_("One more &hole"))
    for purpose, words in _MORE.items():
        action(more, words, partial(window.draw.panel.holes.add, purpose))
    free = menu.addMenu(_("Free p&oint"))
    for run, words in RUN_WORDS.items():
        action(free, _("Free point: {run}", run=words), partial(window.draw.touching.add_on, run))
    back = menu.addMenu(_("As the &family has it"))
    for group, words in (("", _("Everything")), *GROUP_WORDS.items()):
        action(back, words, partial(as_family, window.workspace, group))
    _from_another(window, menu.addMenu(_("As &another has it")))
    menu.addSeparator()
    action(menu, _("&Keep a revision…"), partial(keep_revision, window))
    action(menu, _("&Is a print still right…"), partial(show_dialog, window, "print-code"))
    menu.addSeparator()
    action(menu, _("Print the &bench set…"), parts.printing.print_bench_set)
    action(menu, _("&Print the template sheet…"), parts.printing.print_template, Key.Print)
    action(menu, _("Print the sheat&h pattern…"), parts.printing.print_sheath)
    action(menu, _("Save the &cut file…"), parts.printing.save_cut_file)
    action(menu, _("Print a contact &sheet of the shelf…"), parts.printing.print_shelf)


def _from_another(window: Frame, menu: QMenu) -> None:
    """Add a submenu for the handle, blade and grind of other templates, filled when the menu opens."""
    space = window.workspace

    def fill(parts: QMenu, part: Taken) -> None:
        parts.clear()
        for key, template in zip(space.model.job.keys, space.model.job.templates, strict=True):
            if isinstance(template, Template) and key != space.chosen:
                action(
                    parts,
                    part_of(part, template.name).replace("&", "&&"),
                    partial(take_part, space, key, part),
                )
        parts.setEnabled(not parts.isEmpty() and isinstance(space.chosen_template, Template))

    for part in Taken:
        parts = menu.addMenu(GROUP_WORDS[part.value])
        menu.aboutToShow.connect(partial(fill, parts, part))
