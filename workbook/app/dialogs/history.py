"""The history: every step by name; a click goes back or forward to it."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from workbook.app.changed import Changed
from workbook.app.elements.basics import label, named
from workbook.app.workspace import Workspace
from workbook.document.action_words import in_words
from workbook.texts import _


class History(QDialog):
    """The steps of the current work, the oldest first; undone steps are dimmed."""

    def __init__(self, parent: QWidget, workspace: Workspace) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("History"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._workspace = workspace
        look = workspace.look
        self.list = named(QListWidget(), "history")
        self.list.setAccessibleName(_("Steps"))
        self.list.setFont(look.font("body"))
        column = QVBoxLayout(self)
        column.addWidget(label(look, _("Choose a step to go back or forward to it."), "small", soft=True))
        column.addWidget(self.list)
        self.resize(look.px(420), look.px(420))
        self.list.itemActivated.connect(lambda item: workspace.go_to(self.list.row(item)))
        self.list.itemClicked.connect(lambda item: workspace.go_to(self.list.row(item)))
        workspace.changed.connect(self._changed)
        self._fill()

    def _changed(self, change: Changed) -> None:
        if change.records:
            self._fill()

    def _fill(self) -> None:
        session, look, unit = self._workspace.session, self._workspace.look, self._workspace.unit
        local = session.document.settings.local
        self.list.clear()
        self.list.addItem(
            _("Before the oldest step ({gone} earlier ones were deleted)", gone=session.gone) if session.gone else _("Beginning")
        )
        for number, step in enumerate(session.steps, 1):
            item = QListWidgetItem(f"{local.moment(step.at)}   {in_words(step.action, unit)}")
            if number > session.done:
                item.setForeground(look.colour("soft"))
            self.list.addItem(item)
        self.list.setCurrentRow(session.done)
