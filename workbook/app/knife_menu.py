"""The menu Knife: what is done with the chosen template."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QInputDialog, QMenu

from workbook.app.dialogs.table import show_dialog
from workbook.app.pages.draw.shelf import family_menu
from workbook.app.parts import Key, Parts, action
from workbook.app.plain import plain
from workbook.app.reshaping import as_family, mirror, take_part, turn
from workbook.template.holes import WORDS
from workbook.template.model import GROUPS, Template
from workbook.template.pegs import RUN_WORDS
from workbook.template.resizing import Taken

if TYPE_CHECKING:
    from workbook.app.frame import Frame


def _rename(window: Frame) -> None:
    space = window.workspace
    name, given = QInputDialog.getText(window, "Name of the template", "Name", text=space.chosen)
    if given:
        space.rename(name)


def _tag(window: Frame) -> None:
    space = window.workspace
    words, given = QInputDialog.getText(
        window, "Tags", plain(f"Words to find {space.chosen} by, parted by commas"), text=", ".join(space.tags(space.chosen))
    )
    if given:
        space.set_tags(words)


def keep_revision(window: Frame) -> None:
    """Asks for a note and keeps the chosen template as it is."""
    space = window.workspace
    if space.session.read_only:
        space.said.emit("This workbook is open to look at only: save it under a name of its own to keep revisions.")
        return
    note, given = QInputDialog.getText(window, "Keep a revision", plain(f"What is {space.chosen} like now? (may be left empty)"))
    if given and space.keep_revision(space.chosen, "kept", note.strip()[:200]):
        space.said.emit(f"Revision {space.revisions()[-1].number} of {space.chosen} is kept.")


def fill_knife(window: Frame, menu: QMenu, parts: Parts) -> None:
    """All that is done with the chosen template."""
    families = family_menu(window, window.workspace)
    families.setTitle("&New from family")
    menu.addMenu(families)
    action(menu, "Bring in an &outline…", parts.bringing.ask_for_outline)
    action(menu, "&Trace a picture…", parts.bringing.ask_for_picture)
    action(menu, "&Duplicate", window.workspace.duplicate)
    action(menu, "Re&name…", partial(_rename, window))
    action(menu, "Ta&gs…", partial(_tag, window))
    action(menu, "Re&move", window.workspace.remove)
    menu.addSeparator()
    action(menu, "&Scale…", partial(show_dialog, window, "scaling"))
    action(menu, "For the o&ther hand", partial(mirror, window.workspace))
    action(menu, "T&urn an outline end for end", partial(turn, window.workspace))
    action(menu, "A family of si&zes…", partial(show_dialog, window, "sizes"))
    more = menu.addMenu("One more &hole")
    for purpose, words in WORDS.items():
        action(more, f"One more {words}", partial(window.draw.panel.holes.add, purpose))
    free = menu.addMenu("Free p&oint")
    for run, words in RUN_WORDS.items():
        action(free, f"Free point on the {words}", partial(window.draw.touching.add_on, run))
    back = menu.addMenu("As the &family has it")
    for group, words in (("", "Everything"), *((group, group.capitalize()) for group in (*GROUPS, "holes"))):
        action(back, words, partial(as_family, window.workspace, group))
    _from_another(window, menu.addMenu("As &another has it"))
    menu.addSeparator()
    action(menu, "&Keep a revision…", partial(keep_revision, window))
    action(menu, "&Is a print still right…", partial(show_dialog, window, "print-code"))
    menu.addSeparator()
    action(menu, "Print the &bench card…", parts.printing.print_card)
    action(menu, "&Print the template sheet…", parts.printing.print_template, Key.Print)
    action(menu, "Save the &cut file…", parts.printing.save_cut_file)
    action(menu, "Print a contact &sheet of the shelf…", parts.printing.print_shelf)


def _from_another(window: Frame, menu: QMenu) -> None:
    """Handle, blade or grind of another template; which there are is looked up when the menu opens."""
    space = window.workspace

    def fill(parts: QMenu, part: Taken) -> None:
        parts.clear()
        for template in space.model.job.templates:
            if isinstance(template, Template) and template.name != space.chosen:
                action(
                    parts,
                    f"{part.capitalize()} of {template.name}".replace("&", "&&"),
                    partial(take_part, space, template.name, part),
                )
        parts.setEnabled(not parts.isEmpty() and isinstance(space.template(space.chosen), Template))

    for part in Taken:
        parts = menu.addMenu(part.capitalize())
        menu.aboutToShow.connect(partial(fill, parts, part))
