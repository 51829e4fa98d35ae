"""Settings of the workbook: units, paper and printer, steps, tools, saw, habits, usual prices; each an edit like any other."""

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QDialog, QVBoxLayout, QWidget

from workbook.app.changed import Changed
from workbook.app.widgets.basics import Lettered, label, named, scrolled
from workbook.app.widgets.form import ChoiceItem, Form, Heading, Item
from workbook.app.widgets.items import item
from workbook.app.workspace import Workspace
from workbook.document.document import Document
from workbook.document.records import Prices, SettingsRecord
from workbook.sheets.printer import Printer
from workbook.shop.job import Cutting, PricePer, Quench, Saw
from workbook.shop.job import Settings as Habits
from workbook.structs import replace
from workbook.template.service import DxfVersion, Service
from workbook.template.tools import SERIES, Owned
from workbook.units import INCH

_WAYS = ((Cutting.LINE, "the saw follows the line"), (Cutting.STRAIGHT, "straight cuts only"), (Cutting.SERVICE, "jet or laser"))
_PER = ((PricePer.BAR, "one bar"), (PricePer.FOOT, "a foot"), (PricePer.METRE, "a metre"), (PricePer.KILOGRAM, "a kilogram"))
_QUENCHES = (
    (Quench.BY_STEEL, "as the steel's table has it"),
    (Quench.OIL, "oil"),
    (Quench.WATER, "water or brine"),
    (Quench.AIR, "air or plates"),
)
_INCHES = tuple((INCH * part, words) for part, words in (
    (1 / 64, "1/64 in"), (1 / 32, "1/32 in"), (1 / 16, "1/16 in"), (0.001, "0.001 in"), (0.005, "0.005 in"), (0.010, "0.010 in"),
))  # fmt: skip
_MILLIMETRES = tuple((mm, f"{mm:g} mm") for mm in (0.1, 0.25, 0.5, 1.0))
PAPER_WORDS = (
    ("", "as the unit has it"), ("letter", "letter"), ("a4", "A4"), ("legal", "legal"), ("tabloid", "tabloid, 11 × 17 in"),
    ("a3", "A3"), ("roll", "roll"),
)  # fmt: skip
_DRILLS = (
    ((), "those of the unit"),
    (SERIES[:3], "number, letter, fraction"),
    (SERIES[2:3], "fractions of an inch"),
    (SERIES[3:], "metric"),
    (SERIES, "all of them"),
)
ITEMS: tuple[Item | Heading, ...] = (
    Heading("Units and paper"),
    item(SettingsRecord, "name", "Name of the workbook", filled=True),
    ChoiceItem("unit", "Lengths first in", (("in", "inches"), ("mm", "millimetres"))),
    item(SettingsRecord, "currency", "Currency, as USD", filled=True),
    ChoiceItem("paper", "Paper", PAPER_WORDS),
    Heading("Printer"),
    item(Printer, "printer.name", "What it is called", filled=True),
    item(Printer, "printer.x", "A printed 100 mm across reads, mm"),
    item(Printer, "printer.y", "A printed 100 mm up the page reads, mm"),
    item(Printer, "printer.margin", "It cannot reach, from the paper's edges"),
    item(Printer, "printer.roll", "Width of its paper on a roll"),
    Heading("Steps"),
    ChoiceItem("steps.inch", "An arrow key changes by", _INCHES),
    ChoiceItem("steps.mm", "The same in millimetres", _MILLIMETRES),
    Heading("Tools"),
    item(Owned, "tools.wheels", "Contact wheels"),
    item(Owned, "tools.files", "Round files"),
    ChoiceItem("tools.drills", "Drills", _DRILLS),
    item(Habits, "rules.smallest_radius", "Smallest inside radius otherwise"),
    item(Owned, "tools.angle_step", "A grinding jig is set in steps of, degrees (0: any)"),
    item(Owned, "tools.gauge_step", "A surface gauge is set in steps of (0: any)"),
    item(Owned, "tools.stone", "Round stone's diameter (0: none)"),
    item(Owned, "tools.projection", "Its rest to the knife's edge"),
    item(Owned, "tools.rest", "That rest's diameter (0: an edge)"),
    item(Owned, "tools.jig_offset", "A jig holds the blade off the rest by"),
    Heading("Heat"),
    ChoiceItem("rules.quench", "Quenched in", _QUENCHES),
    item(Habits, "rules.heat", "Heat before the quench, °C"),
    item(Habits, "rules.soak", "Minutes at that heat"),
    Heading("Saw"),
    ChoiceItem("saw.cutting", "How blanks are cut", _WAYS),
    item(Saw, "saw.kerf", "Saw kerf"),
    item(Saw, "saw.clean_up", "Steel left outside the line"),
    item(Saw, "saw.bar_end", "Outline to the bar's ends"),
    item(Saw, "saw.bar_edge", "Outline to the bar's long edges"),
    item(Saw, "saw.sawn_edge", "Outline to a sawn edge"),
    item(Saw, "saw.sheared_edge", "Outline to a sheared edge"),
    item(Saw, "saw.band", "Width of the band (0: not known)", none=True),
    item(Saw, "saw.tightest_radius", "Tightest turn (0: by the band)", none=True),
    item(Saw, "saw.spine_on_edge", "Spines may lie on the bar's edge"),
    item(Saw, "saw.tilt", "Blanks may lean by, degrees"),
    Heading("Cutting service"),
    item(Service, "service.name", "What it is called", filled=True),
    ChoiceItem("service.version", "DXF it reads", tuple((v, v.value) for v in DxfVersion)),
    item(Service, "service.hole_share", "Smallest hole, times the thickness"),
    item(Service, "service.smallest_hole", "Smallest hole it cuts"),
    item(Service, "service.inside_radius", "Smallest inside radius"),
    item(Service, "service.drilled_under", "Holes cut under size by"),
    item(Service, "service.kerf", "Its kerf, to be made up for (0: it does)"),
    item(Service, "service.tabs", "Tabs that hold a blank (0: none)"),
    item(Service, "service.tab", "Width of a tab"),
    Heading("Layouts and holes"),
    item(Habits, "rules.under", "A bar may be thinner than wanted by"),
    item(Habits, "rules.over", "A bar may be thicker than wanted by"),
    item(Habits, "rules.keep_offcut", "Shortest offcut worth keeping"),
    item(Habits, "rules.credit_offcuts", "Offcuts are worth their steel"),
    item(Habits, "rules.offcuts_first", "Use up offcuts first"),
    item(Habits, "rules.use_openings", "Blanks may lie in openings (jet or laser)"),
    item(Habits, "rules.tang_clearance", "Tang hole over its pin"),
    item(Habits, "rules.hand_breadth", "Breadth of the hand they are for (0: any)"),
    item(Habits, "rules.web", "Steel between holes"),
    Heading("Usual prices of new bars"),
    ChoiceItem("prices.per", "The price is for", _PER),
    item(Prices, "prices.shipping", "Carriage for a bar"),
    item(Prices, "prices.cut_charge", "Cut charge for a bar"),
)
_BY_KEY = {item.key: item for item in ITEMS if isinstance(item, Item)}


class Settings(QDialog):
    """The dialog; what is entered counts at once and can be undone."""

    def __init__(self, parent: QWidget, workspace: Workspace) -> None:
        super().__init__(parent)
        self.setWindowTitle("Settings")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._space, look = workspace, workspace.look
        self.form = Form(look, ITEMS, workspace.unit)
        self._wrong = Lettered(look, "", 9, bold=True, tone="stop")
        self.form.entered.connect(self._entered)
        self.form.keep_in(workspace)
        self.form.trouble.connect(self._say)
        self._say("")
        inner = named(QWidget(), "inner")
        column = QVBoxLayout(inner)
        column.setContentsMargins(4, 0, 4, 8)
        column.addWidget(self.form)
        scroll = scrolled(inner)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(8, 10, 8, 10)
        head = label(
            look, "Every change counts at once and can be undone. Light, dark and text size: menu View.", "small", soft=True
        )
        head.setWordWrap(True)
        whole.addWidget(head)
        whole.addWidget(scroll, 1)
        whole.addWidget(self._wrong)
        self.resize(look.px(490), min(look.px(720), parent.height()))
        for key, run in ((QKeySequence.StandardKey.Undo, workspace.undo), (QKeySequence.StandardKey.Redo, workspace.redo)):
            QShortcut(QKeySequence(key), self).activated.connect(run)
        workspace.changed.connect(self._changed)
        workspace.refused.connect(self._fill)
        self._fill()

    def _say(self, why: str) -> None:
        self._wrong.say(why, "stop")
        self._wrong.setVisible(bool(why))

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
    """What stands in every field: a margin that is not set shows what counts instead."""
    saw = document.settings.saw
    return {key: _value(document, key) for key in _BY_KEY} | {
        "saw.bar_edge": saw.edge_margin,
        "saw.sawn_edge": saw.edge_margin if saw.sawn_edge is None else saw.sawn_edge,
    }


def _value(document: Document, key: str) -> Any:
    part, _, name = key.rpartition(".")
    if part == "tools":
        return getattr(document.tools.owned, name)
    return getattr(getattr(document.settings, part) if part else document.settings, name)
