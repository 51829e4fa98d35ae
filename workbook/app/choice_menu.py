"""Menus of which one entry is chosen: units, looks, the printers and the cutting services of the settings."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

from msgspec import Struct
from PySide6.QtGui import QActionGroup
from PySide6.QtWidgets import QInputDialog, QMenu

from workbook.app.parts import action
from workbook.sheets.printer import Printer
from workbook.template.service import Service
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app.frame import Frame


def choices(menu: QMenu, options: Sequence[tuple[str, Any, str]], now: object, choose: Callable[[Any], None]) -> None:
    """Add a group of options to the menu, the present one ticked. Each has its words, its value and other words for it."""
    group = QActionGroup(menu)
    for words, value, also in options:
        item = action(menu, words, partial(choose, value), also=also)
        item.setCheckable(True)
        item.setChecked(value == now)
        group.addAction(item)


class _Named(Struct, frozen=True, kw_only=True):
    """Something named in the settings, such as a printer: the one in use, and the others."""

    field: str  # of the settings; the others are in the field of this name with an s
    new: str  # the words to make one
    title: str
    nameless: str
    made: Callable[[str], Printer | Service]  # builds one from a name
    then: str  # what to do with a new one: a text with its name
    also: str


_PRINTER = _Named(
    field="printer",
    new=_("&New printer…"),
    title=_("New printer"),
    nameless=_("unnamed"),
    made=lambda name: Printer(name=name),
    then=_("{name}: print its test page (Export or print) and type the readings under Settings."),
    also=_("printer paper margins calibrate true size"),
)
_SERVICE = _Named(
    field="service",
    new=_("&New cutting service…"),
    title=_("New cutting service"),
    nameless=_("none: holes to size"),
    made=lambda name: Service(name=name, hole_share=1.0, smallest_hole=0.8, inside_radius=0.8) if name else Service(),
    then=_("{name}: set what it cuts under Settings, Cutting service."),
    also=_("laser waterjet jet plasma water vendor supplier kerf cutting"),
)


def fill_printers(window: Frame, menu: QMenu) -> None:
    """Offer the printers in the settings, and a new one."""
    _by_name(window, menu, _PRINTER)


def fill_services(window: Frame, menu: QMenu) -> None:
    """Offer the cutting services in the settings, and a new one."""
    _by_name(window, menu, _SERVICE)


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
        name, ok = QInputDialog.getText(window, kind.title, _("Name"))
        if ok and name.strip():
            use(kind.made(name.strip()[:40]))
            space.said.emit(kind.then.format(name=name.strip()))

    def fill() -> None:
        menu.clear()
        names = [(name.replace("&", "&&") or kind.nameless, each, kind.also) for name, each in sorted(known().items())]
        choices(menu, names, getattr(space.session.document.settings, kind.field), use)
        menu.addSeparator()
        action(menu, kind.new, another, also=kind.also)

    menu.aboutToShow.connect(fill)
    fill()
