"""Settings of the workbook: units, paper, printer, steps, tools, saw, habits, usual prices; each change is an ordinary edit."""

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QVBoxLayout, QWidget

from workbook.app.changed import Changed
from workbook.app.dialogs.undo_keys import undo_by_keys
from workbook.app.elements.basics import Lettered, label, named, scrolled
from workbook.app.elements.form import Form, Heading, Item
from workbook.app.elements.items import form_items
from workbook.app.workspace import Workspace
from workbook.document.document import Document
from workbook.document.records import Prices, SettingsRecord, Steps
from workbook.heat.load import Bath
from workbook.sheath.rules import SheathRules
from workbook.sheets.printer import Printer
from workbook.shop.job import Rules as Habits
from workbook.shop.job import Saw
from workbook.structs import replace
from workbook.template.service import Service
from workbook.template.tools import Owned
from workbook.texts import _

ITEMS: tuple[Item | Heading, ...] = (
    Heading(_("Units and paper")), *form_items(SettingsRecord, leave=("shop", "address", "contact")),  # these are in the rates
    Heading(_("Printer")), *form_items(Printer, "printer."),
    Heading(_("Steps")), *form_items(Steps, "steps."),
    Heading(_("Tools")), *form_items(Owned, "tools."),
    Heading(_("Saw")), *form_items(Saw, "saw."),
    Heading(_("Cutting service")), *form_items(Service, "service."),
    Heading(_("Sheaths")), *form_items(SheathRules, "sheath."),
    Heading(_("Quench tank")), *form_items(Bath, "bath."),
    *form_items(Habits, "rules."),
    Heading(_("Default prices of new bars")), *form_items(Prices, "prices."),
)  # fmt: skip
BY_KEY = {item.key: item for item in ITEMS if isinstance(item, Item)}


class SettingsDialog(QDialog):
    """The dialog; every entry takes effect at once and can be undone."""

    def __init__(self, parent: QWidget, workspace: Workspace) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Settings"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._space, look = workspace, workspace.look
        self.form = Form(look, ITEMS, workspace.unit)
        self.wrong = Lettered(look, "", 9, bold=True, tone="stop")
        self.form.entered.connect(self._entered)
        self.form.keep_in(workspace)
        self.form.trouble.connect(self._say)
        self._say("")
        inner = named(QWidget(), "inner")
        column = QVBoxLayout(inner)
        column.setContentsMargins(4, 0, 4, 8)
        column.addWidget(self.form)
        scroll = scrolled(inner)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(8, 10, 8, 10)
        note = label(
            look,
            _("Every change takes effect at once and can be undone. Light, dark and text size are in the View menu."),
            "small",
            soft=True,
        )
        note.setWordWrap(True)
        outer.addWidget(note)
        outer.addWidget(scroll, 1)
        outer.addWidget(self.wrong)
        self.resize(look.px(490), min(look.px(720), parent.height()))
        undo_by_keys(self, workspace)
        workspace.changed.connect(self._changed)
        workspace.refused.connect(self._fill)
        self._fill()

    def _say(self, problem: str) -> None:
        self.wrong.say(problem, "stop")
        self.wrong.setVisible(bool(problem))

    def _changed(self, change: Changed) -> None:
        if change.records:
            self._fill()

    def _fill(self) -> None:
        self.form.show_values(values_of(self._space.session.document), self._space.unit)

    def _entered(self, key: str, value: Any) -> None:
        part, _, name = key.rpartition(".")
        value = value.upper() if key == "currency" else value
        settings = self._space.session.document.settings
        if part == "tools":
            self._space.change_tools(key, value, **{name: value})
        elif part:
            self._space.change_settings(key, value, **{part: replace(getattr(settings, part), **{name: value})})
        else:
            self._space.change_settings(key, value, **{name: value})


def values_of(document: Document) -> dict[str, Any]:
    """The value of every field; a margin that is not set shows the one in effect instead."""
    saw = document.settings.saw
    return {key: _value(document, key) for key in BY_KEY} | {
        "saw.bar_edge": saw.edge_margin,
        "saw.sawn_edge": saw.edge_margin if saw.sawn_edge is None else saw.sawn_edge,
    }


def _value(document: Document, key: str) -> Any:
    part, _, name = key.rpartition(".")
    if part == "tools":
        return getattr(document.tools.owned, name)
    return getattr(getattr(document.settings, part) if part else document.settings, name)
