"""The shop's rates: hourly rate, stages, outside work, tax, deposit, and the text of its quotes."""

from typing import Any

from msgspec.structs import fields
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QHBoxLayout, QVBoxLayout, QWidget

from workbook.app.changed import Changed
from workbook.app.dialogs.record_cells import RecordCells, record_column
from workbook.app.dialogs.undo_keys import undo_by_keys
from workbook.app.elements.basics import Lettered, label, named, scrolled
from workbook.app.elements.form import Form, Heading, Item
from workbook.app.elements.items import form_items, item
from workbook.app.workspace import Workspace
from workbook.document.fields import FIELDS, row_of
from workbook.document.records import SettingsRecord
from workbook.shop.charges import Charges, Outside
from workbook.shop.fields import HOURS, ON_QUOTE, PRICE
from workbook.shop.labour import Stage, share_good
from workbook.shop.pricing import MOST_MARGIN, PriceMethod, Pricing
from workbook.structs import replace
from workbook.texts import _

# A target price is set per line of an order, not for the shop.
_WAYS = tuple((way, words) for way, words in row_of(Pricing, "way").options if way is not PriceMethod.TARGET)
ITEMS: tuple[Item | Heading, ...] = (
    *form_items(Charges, heads=(HOURS,)),
    Heading(_("Margin or markup")),
    item(Pricing, "way", options=_WAYS),
    item(Pricing, "share"),
    *form_items(Charges, heads=(PRICE,)),
    *form_items(SettingsRecord, heads=(ON_QUOTE,)),
    *(each for each in form_items(Charges, heads=(ON_QUOTE,)) if isinstance(each, Item)),
)
OF_SHOP = ("shop", "address", "contact")


_STAGE = tuple(record_column(Stage, row.key) for row in FIELDS[Stage])
_OUTSIDE = tuple(record_column(Outside, row.key) for row in FIELDS[Outside])


class Rates(QDialog):
    """The dialog; every entry takes effect at once and can be undone."""

    def __init__(self, parent: QWidget, workspace: Workspace) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Shop rates"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._space, look = workspace, workspace.look
        self.form = Form(look, ITEMS, workspace.unit)
        self.stages = RecordCells(look, "stages", _STAGE, lambda: Stage(name=_("New stage"), set_up=0.0, minutes=10.0))
        self.outside = RecordCells(look, "outside", _OUTSIDE, lambda: Outside(name=_("Outside heat treatment")))
        self._yield = label(look, "", soft=True)
        self.wrong = Lettered(look, "", 9, bold=True, tone="stop")
        self._build()
        self.resize(min(look.px(1400), parent.width()), min(look.px(660), parent.height()))
        self.form.entered.connect(self._entered)
        for part, name in ((self.stages, "stages"), (self.outside, "outside")):
            part.changed.connect(lambda records, name=name: self._keep(name, None, **{name: records}))
            part.trouble.connect(self._say)
            part.cells.typing.connect(workspace.hold)
        self.form.trouble.connect(self._say)
        self.form.keep_in(workspace)
        undo_by_keys(self, workspace)
        workspace.changed.connect(self._changed)
        workspace.refused.connect(self._refused)
        self._fill()

    def _build(self) -> None:
        look = self._space.look
        inner = named(QWidget(), "inner")
        column = QVBoxLayout(inner)
        column.setContentsMargins(4, 0, 4, 8)
        column.addWidget(self.form)
        column.addStretch(1)
        tables = QVBoxLayout()
        tables.addWidget(self.stages, 3)
        tables.addWidget(self._yield)
        tables.addWidget(self.outside, 1)
        body = QHBoxLayout()
        form = scrolled(inner)
        form.setFixedWidth(look.px(400))
        body.addWidget(form)
        body.addLayout(tables, 1)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(8, 10, 8, 10)
        words = _(
            "Every change takes effect at once and can be undone. The minutes in a new shop book are common "
            "practice: type your own."
        )
        note = label(look, words, "small", soft=True)
        note.setWordWrap(True)
        outer.addWidget(note)
        outer.addLayout(body, 1)
        outer.addWidget(self.wrong)

    def _say(self, problem: str) -> None:
        self.wrong.say(problem, "stop")
        self.wrong.setVisible(bool(problem))

    def _refused(self) -> None:
        self.stages.cells.let_go()
        self.outside.cells.let_go()
        self._fill()

    def _changed(self, change: Changed) -> None:
        if change.records:
            self._fill()

    def _fill(self) -> None:
        settings = self._space.session.document.settings
        charges = settings.charges
        values: dict[str, Any] = {item.name: getattr(charges, item.name) for item in fields(Charges)}
        values |= {"way": charges.pricing.way, "share": charges.pricing.share}
        values |= {name: getattr(settings, name) for name in OF_SHOP}
        self.form.show_values({key: values[key] for key in self.form.keys}, self._space.unit)
        self.stages.show_records(charges.stages)
        self.outside.show_records(charges.outside)
        self._yield.setText(_("{share:.1%} of the blanks started pass all stages.", share=share_good(charges.stages)))
        self._say("")

    def _entered(self, key: str, value: Any) -> None:
        charges = self._space.session.document.settings.charges
        if key in OF_SHOP:
            self._space.change_settings(key, value, **{key: value})
        elif key in ("way", "share"):
            pricing: Pricing = replace(charges.pricing, **{key: value})
            most = MOST_MARGIN if pricing.way is PriceMethod.MARGIN else pricing.share
            pricing = replace(pricing, share=min(pricing.share, most))
            self._keep(key, getattr(pricing, key), pricing=pricing)
        else:
            self._keep(key, value, **{key: value})

    def _keep(self, key: str, value: Any, **parts: Any) -> None:
        charges = replace(self._space.session.document.settings.charges, **parts)
        self._space.change_settings(f"charges.{key}", value, charges=charges)
