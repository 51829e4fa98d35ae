"""The menu Template: commands for the chosen template."""

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
    Purpose.BOLT: _("Add handle bolt"),
    Purpose.PIN: _("Add pin"),
    Purpose.LANYARD: _("Add lanyard tube"),
    Purpose.EPOXY: _("Add epoxy hole"),
}


def keep_revision(window: Frame) -> None:
    """Ask for a note and keep a revision of the chosen template."""
    space = window.workspace
    if space.session.read_only:
        space.said.emit(_("This shop book is read-only. Save it under a new name to save revisions."))
        return
    note, ok = QInputDialog.getText(
        window, _("Save revision"), plain(_("Note for this revision of {chosen} (optional)", chosen=space.name))
    )
    if ok and space.keep_revision(space.chosen, _("saved"), note.strip()[:200]):
        space.said.emit(_("Revision {number} of {chosen} saved.", number=space.revisions()[-1].number, chosen=space.name))


def fill_template(window: Frame, menu: QMenu, parts: Parts) -> None:
    """Fill the menu with the commands for the chosen template."""
    _of_the_shelf(window, menu, parts)
    menu.addSeparator()
    _reshaping(window, menu)
    menu.addSeparator()
    action(
        menu,
        _("Sa&ve revision…"),
        partial(keep_revision, window),
        also=_("version snapshot note comment remark keep freeze milestone store"),
    )
    action(
        menu, _("C&heck a printed sheet…"), partial(show_dialog, window, "print-code"),
        also=_("scan qr code barcode print valid current revision old paper"),
    )  # fmt: skip
    menu.addSeparator()
    _papers(menu, parts)


def _of_the_shelf(window: Frame, menu: QMenu, parts: Parts) -> None:
    """Add commands that make, name and delete templates."""
    space = window.workspace
    families = family_menu(window, space)
    families.setTitle(_("&New from family"))
    menu.addMenu(families)
    action(
        menu, _("Import &outline (DXF, SVG)…"), parts.bringing.ask_for_outline,
        also=_("dxf svg cad drawing vector load open file profile"),
    )  # fmt: skip
    action(
        menu, _("&Trace a picture…"), parts.bringing.ask_for_picture,
        also=_("photo image scan camera jpeg png digitize copy existing knife"),
    )  # fmt: skip
    action(menu, _("&Duplicate"), space.duplicate, also=_("copy clone template"))
    action(menu, _("Re&name…"), partial(rename, window, space), also=_("name title call template"))
    action(menu, _("Ta&gs…"), partial(tag, window, space), also=_("category label group keyword sort filter"))
    action(
        menu, _("Save as my own &family…"), partial(save_family, window, space), also=_("default preset standard library pattern")
    )
    action(menu, _("De&lete"), space.remove, also=_("delete remove erase trash discard throw away template"))


def _reshaping(window: Frame, menu: QMenu) -> None:
    """Add commands that change the chosen template's shape."""
    space = window.workspace
    action(menu, _("&Scale…"), partial(show_dialog, window, "scaling"), also=_("resize size larger smaller stretch proportion"))
    action(
        menu, _("Make several si&zes…"), partial(show_dialog, window, "sizes"), also=_("series set range family of sizes resize")
    )
    action(menu, _("Mirror for the o&ther hand"), partial(mirror, space), also=_("flip left handed right reverse reflect"))
    action(menu, _("Flip o&utline end for end"), partial(turn, space), also=_("rotate turn reverse direction mirror imported"))
    more = menu.addMenu(_("Add &hole"))
    for purpose, words in _MORE.items():
        action(more, words, partial(window.draw.panel.holes.add, purpose), also=_("hole drill bore rivet pin"))
    free = menu.addMenu(_("Add control &point"))
    for run, words in RUN_WORDS.items():
        action(
            free, _("Control point: {run}", run=words), partial(window.draw.touching.add_on, run),
            also=_("node vertex handle bend curve free point shape"),
        )  # fmt: skip
    back = menu.addMenu(_("Rese&t to family default"))
    for group, words in (("", _("Everything")), *GROUP_WORDS.items()):
        action(back, words, partial(as_family, space, group), also=_("reset restore original default revert undo"))
    _from_another(window, menu.addMenu(_("Copy from &another template")))


def _papers(menu: QMenu, parts: Parts) -> None:
    """Add what is printed and exported of the chosen template."""
    printing = parts.printing
    action(
        menu, _("&Print template sheet…"), printing.print_template, Key.Print,
        also=_("pattern paper card pdf full scale true size drawing"),
    )  # fmt: skip
    action(
        menu, _("Print &bench set…"), printing.print_bench_set, also=_("grind card bevel numbers shop sheets plunge pdf paper")
    )
    action(menu, _("Print sheath pattern…"), printing.print_sheath, also=_("leather holster thermoplastic stitch sew pdf"))
    action(
        menu, _("Export cutting f&ile (DXF)…"), printing.save_cut_file,
        also=_("laser waterjet plasma cut file dxf cnc cad outline save"),
    )  # fmt: skip
    action(
        menu,
        _("Print contact sheet of the shelf…"),
        printing.print_shelf,
        also=_("catalog catalogue overview pictures"),
    )


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
