"""What is to be made: how many blanks of each template, in which steel."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from workbook.app.changed import Changed
from workbook.app.elements.basics import Lettered, row
from workbook.app.elements.count_field import CountField
from workbook.app.workspace import Workspace
from workbook.document.orders import for_orders
from workbook.shop.fields import MOST_ORDERED
from workbook.shop.job import Bar, suits
from workbook.texts import _


class OrderTable(QWidget):
    """A row for each template and steel, with its count."""

    changed = Signal(str, str, int)  # a template's id, steel, how many

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self.setObjectName("order")
        self._workspace = workspace
        self._rows: dict[tuple[str, str], CountField] = {}
        self._names: list[str] = []  # in the rows
        self._words: dict[tuple[str, str], Lettered] = {}
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(2)
        workspace.changed.connect(self._changed)
        workspace.refused.connect(self.refresh)
        self.refresh()

    def _changed(self, change: Changed) -> None:
        if change.job:
            self.refresh()

    def refresh(self) -> None:
        """The rows of today's order; templates that are not ordered stand with none, in a steel that suits them."""
        wanted = _order(self._workspace)
        ordered = for_orders(self._workspace.session.document)
        if list(wanted) != list(self._rows) or [self._name(of) for of, _steel in wanted] != self._names:
            self._build(list(wanted))
        for key, count in wanted.items():
            self._rows[key].show_count(count)
            more = _("   + {ordered} ordered", ordered=ordered[key]) if ordered.get(key) else ""
            self._words[key].say(f"{self._name(key[0])}, {key[1]}{more}")

    def _name(self, template: str) -> str:
        return self._workspace.model.shapes[template].name

    def count(self, template: str, steel: str) -> CountField:
        """The field of a template, by its id, and a steel."""
        return self._rows[template, steel]

    def _build(self, keys: list[tuple[str, str]]) -> None:
        for box in self._rows.values():
            box.blockSignals(True)  # it may still have the keyboard, and be left only now: its template may be gone
        while (item := self._column.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.deleteLater()
        self._rows, self._words, self._names = {}, {}, [self._name(of) for of, _steel in keys]
        look = self._workspace.look
        for template, steel in keys:
            name = self._name(template)
            box = CountField(look, f"count-{name}-{steel}", _("How many {template} of {steel}", template=name, steel=steel), 72)
            box.set_limits(0, MOST_ORDERED)
            box.entered.connect(lambda count, template=template, steel=steel: self.changed.emit(template, steel, count))
            box.trouble.connect(self._workspace.said)
            holder = QWidget()
            self._words[template, steel] = Lettered(look, f"{name}, {steel}", 9.75)
            holder.setLayout(row(self._words[template, steel], box, margins=(0, 0, 0, 0)))
            self._column.addWidget(holder)
            self._rows[template, steel] = box


def _order(workspace: Workspace) -> dict[tuple[str, str], int]:
    """How many of each template besides orders, in every steel it is made in or that a bar here suits; in the shelf's order."""
    job, ordered = workspace.model.job, for_orders(workspace.session.document)
    found: dict[tuple[str, str], int] = {}
    kinds: dict[tuple[str, float], Bar] = {}  # of many bars, few differ in what makes them suit
    for bar in job.bars:
        kinds.setdefault((bar.steel, bar.thickness), bar)
    for key, template in zip(job.keys, job.templates, strict=True):
        own = ((wish.steel, wish.quantity) for wish in job.make if wish.template == key)
        found |= {(key, steel): n - ordered.get((key, steel), 0) for steel, n in own}
        for bar in kinds.values():
            if suits(job, template, bar.steel, bar):
                found.setdefault((key, bar.steel), 0)
    return found
