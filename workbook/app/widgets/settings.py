"""Settings of the workbook: units, paper and printer, steps, tools, saw, habits, usual prices; each an edit like any other."""

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QDialog, QVBoxLayout, QWidget

from workbook.app.widgets.basics import Lettered, label, named, scrolled
from workbook.app.widgets.form import (
    AmountItem,
    ChoiceItem,
    Form,
    Heading,
    Item,
    LengthItem,
    LengthsItem,
    NumberItem,
    SwitchItem,
    TextItem,
)
from workbook.app.workspace import Workspace
from workbook.document.document import Document
from workbook.shop.job import Cutting, PricePer, Quench
from workbook.structs import replace
from workbook.template.parameters import Kind
from workbook.template.service import DxfVersion
from workbook.template.tools import SERIES
from workbook.units import INCH, Unit, show

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
    TextItem("name", "Name of the workbook", 80),
    ChoiceItem("unit", "Lengths first in", (("in", "inches"), ("mm", "millimetres"))),
    TextItem("currency", "Currency, as USD", 3),
    ChoiceItem("paper", "Paper", PAPER_WORDS),
    Heading("Printer"),
    TextItem("printer.name", "What it is called", 40),
    NumberItem("printer.x", "A printed 100 mm across reads, mm", 90, 110),
    NumberItem("printer.y", "A printed 100 mm up the page reads, mm", 90, 110),
    LengthItem("printer.margin", "It cannot reach, from the paper's edges", 0.0, 15.0),
    LengthItem("printer.roll", "Width of its paper on a roll", 150.0, 2000.0),
    Heading("Steps"),
    ChoiceItem("steps.inch", "An arrow key changes by", _INCHES),
    ChoiceItem("steps.mm", "The same in millimetres", _MILLIMETRES),
    Heading("Tools"),
    LengthsItem("tools.wheels", "Contact wheels", 1.0, 2000.0),
    LengthsItem("tools.files", "Round files", 0.5, 100.0),
    ChoiceItem("tools.drills", "Drills", _DRILLS),
    LengthItem("rules.smallest_radius", "Smallest inside radius otherwise", 0.0, 50.0),
    NumberItem("tools.angle_step", "A grinding jig is set in steps of, degrees (0: any)", 0, 10),
    LengthItem("tools.gauge_step", "A surface gauge is set in steps of (0: any)", 0.0, 1.0, Kind.FINE),
    LengthItem("tools.stone", "Round stone's diameter (0: none)", 0.0, 1000.0),
    LengthItem("tools.projection", "Its rest to the knife's edge", 10.0, 1000.0),
    LengthItem("tools.jig_offset", "A jig holds the blade off the rest by", 0.0, 200.0),
    Heading("Heat"),
    ChoiceItem("rules.quench", "Quenched in", _QUENCHES),
    NumberItem("rules.heat", "Heat before the quench, °C", 600, 1300),
    NumberItem("rules.soak", "Minutes at that heat", 0, 600),
    Heading("Saw"),
    ChoiceItem("saw.cutting", "How blanks are cut", _WAYS),
    LengthItem("saw.kerf", "Saw kerf", 0.0, 20.0),
    LengthItem("saw.clean_up", "Steel left outside the line", 0.0, 20.0),
    LengthItem("saw.bar_end", "Outline to the bar's ends", 0.0, 100.0),
    LengthItem("saw.bar_edge", "Outline to the bar's long edges", 0.0, 100.0),
    LengthItem("saw.sawn_edge", "Outline to a sawn edge", 0.0, 100.0),
    LengthItem("saw.sheared_edge", "Outline to a sheared edge", 0.0, 100.0),
    LengthItem("saw.band", "Width of the band (0: not known)", 0.2, 60.0, none=True),
    LengthItem("saw.tightest_radius", "Tightest turn (0: by the band)", 0.0, 1000.0, none=True),
    SwitchItem("saw.spine_on_edge", "Spines may lie on the bar's edge"),
    NumberItem("saw.tilt", "Blanks may lean by, degrees", 0, 15),
    Heading("Cutting service"),
    TextItem("service.name", "What it is called", 40),
    ChoiceItem("service.version", "DXF it reads", tuple((v, v.value) for v in DxfVersion)),
    NumberItem("service.hole_share", "Smallest hole, times the thickness", 0, 5),
    LengthItem("service.smallest_hole", "Smallest hole it cuts", 0.0, 20.0),
    LengthItem("service.inside_radius", "Smallest inside radius", 0.0, 20.0),
    LengthItem("service.drilled_under", "Holes cut under size by", 0.0, 5.0, Kind.FINE),
    LengthItem("service.kerf", "Its kerf, to be made up for (0: it does)", 0.0, 3.0, Kind.FINE),
    NumberItem("service.tabs", "Tabs that hold a blank (0: none)", 0, 20, whole=True),
    LengthItem("service.tab", "Width of a tab", 0.1, 10.0, Kind.FINE),
    Heading("Layouts and holes"),
    LengthItem("rules.under", "A bar may be thinner than wanted by", 0.0, 5.0, Kind.FINE),
    LengthItem("rules.over", "A bar may be thicker than wanted by", 0.0, 10.0, Kind.FINE),
    LengthItem("rules.keep_offcut", "Shortest offcut worth keeping", 0.0, 5000.0),
    SwitchItem("rules.credit_offcuts", "Offcuts are worth their steel"),
    SwitchItem("rules.offcuts_first", "Use up offcuts first"),
    SwitchItem("rules.use_openings", "Blanks may lie in openings (jet or laser)"),
    LengthItem("rules.tang_clearance", "Tang hole over its pin", 0.0, 3.0, Kind.FINE),
    LengthItem("rules.hand_breadth", "Breadth of the hand they are for (0: any)", 0.0, 150.0),
    LengthItem("rules.web", "Steel between holes", 0.0, 50.0),
    Heading("Usual prices of new bars"),
    ChoiceItem("prices.per", "The price is for", _PER),
    AmountItem("prices.shipping", "Carriage for a bar"),
    AmountItem("prices.cut_charge", "Cut charge for a bar"),
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
        self.form.typing.connect(workspace.hold)
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
        workspace.history_changed.connect(self._fill)
        workspace.unit_changed.connect(self._fill)
        workspace.refused.connect(self._refused)
        self._fill()

    def _say(self, why: str) -> None:
        self._wrong.say(why, "stop")
        self._wrong.setVisible(bool(why))

    def _refused(self) -> None:
        self.form.let_go()
        self._fill()

    def _fill(self) -> None:
        self.form.show_values(values_of(self._space.session.document), self._space.unit)

    def _entered(self, key: str, value: Any) -> None:
        words = f"{_BY_KEY[key].words.split(' (')[0]}: {said(_BY_KEY[key], value, self._space.unit)}"
        words = words[0].lower() + words[1:]
        part, _, name = key.rpartition(".")
        settings = self._space.session.document.settings
        if part == "tools":
            self._space.change_tools(key, words, **{name: value})
        elif part:
            self._space.change_settings(key, words, **{part: replace(getattr(settings, part), **{name: value})})
        else:
            self._space.change_settings(key, words, **{name: value.upper() if name == "currency" else value})


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


def said(item: Item, value: Any, unit: Unit) -> str:
    """A value as the history says it."""
    match item:
        case LengthItem():
            return f"{show(value, unit, fine=item.kind is Kind.FINE)} {unit}" if value is not None else "none"
        case LengthsItem():
            return f"{', '.join(show(length, unit) for length in value)} {unit}" if value else "none"
        case ChoiceItem():
            return dict(item.options)[value]
        case SwitchItem():
            return "yes" if value else "no"
        case _:
            return str(value)
