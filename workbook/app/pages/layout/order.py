"""What is to be made: the number of blanks of each template, in which steel."""

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
    """A row with its count for each template and steel asked for; for a template not asked for, its likeliest steel."""

    changed = Signal(str, str, int)  # a template's id, steel, the number

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self.setObjectName("order")
        self._workspace = workspace
        self._rows: dict[tuple[str, str], CountField] = {}
        self._names: list[str] = []  # of the templates in the rows
        self._words: dict[tuple[str, str], Lettered] = {}
        self._every_steel = False
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(2)
        workspace.changed.connect(self._changed)
        workspace.refused.connect(self.refresh)
        self.refresh()

    def _changed(self, change: Changed) -> None:
        if change.job:
            self.refresh()

    def refresh(self, *, shrink: bool = False) -> None:
        """Show the present numbers; templates not ordered have 0, in a steel that suits them. `shrink`: leave out rows of 0."""
        counts = _order(self._workspace)
        if not self._every_steel:
            asked = _asked_for(self._workspace, counts) | (set() if shrink else set(self._rows))  # one of 0 stays in sight
            counts = {key: count for key, count in counts.items() if key in asked}
        ordered = for_orders(self._workspace.session.document)
        if list(counts) != list(self._rows) or [self._name(of) for of, _steel in counts] != self._names:
            self._build(list(counts))
        for key, count in counts.items():
            self._rows[key].show_count(count)
            words = f"{self._name(key[0])}, {key[1]}"
            if ordered.get(key):
                words = f"{words}   {_('+ {count} ordered', count=ordered[key])}"
            self._words[key].say(words)

    def show_every_steel(self, on: bool) -> None:
        """Show each template in every steel that suits it, or only in those asked for."""
        for box in list(self._rows.values()):
            box.clearFocus()  # what is typed counts
        self._every_steel = on
        self.refresh(shrink=not on)

    def _name(self, template: str) -> str:
        return self._workspace.model.shapes[template].name

    def has_row(self, template: str, steel: str) -> bool:
        """Whether a template (its id) in a steel is listed."""
        return (template, steel) in self._rows

    def count(self, template: str, steel: str) -> CountField:
        """The field of a template (its id) and a steel."""
        return self._rows[template, steel]

    def _build(self, keys: list[tuple[str, str]]) -> None:
        for box in self._rows.values():
            box.blockSignals(True)  # its template may be gone when it loses the keyboard
        while (item := self._column.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.deleteLater()
        self._rows, self._words, self._names = {}, {}, [self._name(of) for of, _steel in keys]
        look = self._workspace.look
        for template, steel in keys:
            name = self._name(template)
            box = CountField(
                look, f"count-{name}-{steel}", _("Quantity of {template} in {steel}", template=name, steel=steel), 72
            )
            box.set_limits(0, MOST_ORDERED)
            box.entered.connect(lambda count, template=template, steel=steel: self.changed.emit(template, steel, count))
            box.trouble.connect(self._workspace.said)
            holder = QWidget()
            self._words[template, steel] = Lettered(look, f"{name}, {steel}", 9.75)
            holder.setLayout(row(self._words[template, steel], box, margins=(0, 0, 0, 0)))
            self._column.addWidget(holder)
            self._rows[template, steel] = box


def _order(workspace: Workspace) -> dict[tuple[str, str], int]:
    """The number of each template besides orders, in every steel it is made in or that a bar suits; in the shelf's order."""
    job, ordered = workspace.model.job, for_orders(workspace.session.document)
    counts: dict[tuple[str, str], int] = {}
    kinds: dict[tuple[str, float], Bar] = {}  # many bars differ only in what does not matter here
    for bar in job.bars:
        kinds.setdefault((bar.steel, bar.thickness), bar)
    for key, template in zip(job.keys, job.templates, strict=True):
        wishes = ((wish.steel, wish.quantity) for wish in job.make if wish.template == key)
        counts |= {(key, steel): n - ordered.get((key, steel), 0) for steel, n in wishes}
        for bar in kinds.values():
            if suits(job, template, bar.steel, bar):
                counts.setdefault((key, bar.steel), 0)
    return counts


def _asked_for(workspace: Workspace, counts: dict[tuple[str, str], int]) -> set[tuple[str, str]]:
    """The rows with blanks, and for a template without any the one in its likeliest steel."""
    ordered = for_orders(workspace.session.document)
    asked = {key for key, count in counts.items() if count or ordered.get(key)}
    templates = {template for template, _steel in asked}
    likeliest = {(template, _likeliest(workspace, template, counts)) for template, _steel in counts if template not in templates}
    return asked | likeliest


def _likeliest(workspace: Workspace, template: str, counts: dict[tuple[str, str], int]) -> str:
    steels = [steel for key, steel in counts if key == template]
    usual = workspace.model.steel_of(template)
    return usual if usual in steels else steels[0]
