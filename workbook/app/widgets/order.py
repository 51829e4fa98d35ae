"""What is to be made: how many blanks of each template, in which steel."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QPalette, QWheelEvent
from PySide6.QtWidgets import QSpinBox, QVBoxLayout, QWidget

from workbook.app.widgets.basics import Lettered, named, row
from workbook.app.workspace import Workspace
from workbook.shop.job import suits

_MOST = 1000


class Order(QWidget):
    """A row for each template and steel, with its count."""

    changed = Signal(str, str, int)  # template, steel, how many

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self.setObjectName("order")
        self._workspace = workspace
        self._rows: dict[tuple[str, str], QSpinBox] = {}
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(2)
        workspace.templates_changed.connect(self.refresh)
        workspace.refused.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """The rows of today's order; templates that are not ordered stand with none, in a steel that suits them."""
        wanted = _order(self._workspace)
        if list(wanted) != list(self._rows):
            self._build(list(wanted))
        for key, count in wanted.items():
            box = self._rows[key]
            box.blockSignals(True)
            box.setValue(count)
            box.blockSignals(False)

    def count(self, template: str, steel: str) -> QSpinBox:
        """The field of a template and steel."""
        return self._rows[template, steel]

    def _build(self, keys: list[tuple[str, str]]) -> None:
        while (item := self._column.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.deleteLater()
        self._rows = {}
        look = self._workspace.look
        for template, steel in keys:
            box = named(_Count(), f"count-{template}-{steel}")
            box.setRange(0, _MOST)
            box.setKeyboardTracking(False)
            box.setAccessibleName(f"How many {template} of {steel}")
            box.setFont(look.font("body"))
            colours = box.palette()
            for role, tone in ((QPalette.ColorRole.Base, "field"), (QPalette.ColorRole.Button, "panel")):
                colours.setColor(role, look.colour(tone))
            for role in (QPalette.ColorRole.Text, QPalette.ColorRole.ButtonText):
                colours.setColor(role, look.colour("ink"))
            box.setPalette(colours)
            box.setFixedSize(look.px(72), look.size("row"))
            box.valueChanged.connect(lambda count, template=template, steel=steel: self.changed.emit(template, steel, count))
            holder = QWidget()
            holder.setLayout(row(Lettered(look, f"{template}, {steel}", 9.75), box, margins=(0, 0, 0, 0)))
            self._column.addWidget(holder)
            self._rows[template, steel] = box


class _Count(QSpinBox):
    """A count; the wheel scrolls what is round it, unless it has the focus."""

    def __init__(self) -> None:
        super().__init__()
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Only with the focus."""
        super().wheelEvent(event) if self.hasFocus() else event.ignore()


def _order(workspace: Workspace) -> dict[tuple[str, str], int]:
    """How many of each template, in every steel that it is ordered in or that a bar here suits it in; in the shelf's order."""
    job = workspace.loaded.job
    found: dict[tuple[str, str], int] = {}
    for template in job.templates:
        found |= {(wish.template, wish.steel): wish.quantity for wish in job.make if wish.template == template.name}
        for bar in job.bars:
            if suits(job, template, bar.steel, bar):
                found.setdefault((template.name, bar.steel), 0)
    return found
