"""Dialogs that scale a template: to one length, or to several sizes at once."""

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QVBoxLayout, QWidget

from workbook.app.changed import Changed
from workbook.app.elements.basics import Lettered, button, row
from workbook.app.elements.form import ChoiceItem, Form, Item, LengthItem, LengthsItem, SwitchItem
from workbook.app.workspace import Workspace
from workbook.document.action import Action
from workbook.document.actions import templates
from workbook.structs import replace
from workbook.tasks.work import new_id
from workbook.template.model import Template
from workbook.template.resizing import ScaledPart, length_of, scaled
from workbook.texts import _
from workbook.units import HABITS, show

_LONGEST, _SHORTEST, _MOST = 700.0, 20.0, 12
_PARTS = (
    (ScaledPart.WHOLE, _("whole knife")),
    (ScaledPart.BLADE, _("the blade, same handle")),
    (ScaledPart.HANDLE, _("the handle, same blade")),
)


class _Sizing(QDialog):
    """A dialog with a form, a line for problems, and one button."""

    def __init__(self, parent: QWidget, workspace: Workspace, title: str, items: tuple[Item, ...], does: str) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        look = workspace.look
        self._space = workspace
        self._key = workspace.chosen  # the template the dialog was opened for
        workspace.changed.connect(self._changed)
        self.form = Form(look, items, workspace.unit)
        self.wrong = Lettered(look, "", 9, bold=True, tone="stop")
        self.go = button(look, "go", does, main=True)
        self.go.setAutoDefault(False)  # Return must only end an entry
        self.go.clicked.connect(self._asked)
        self.form.entered.connect(self._entered)
        self.form.trouble.connect(self._say)
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 12, 12, 12)
        column.addWidget(self.form)
        column.addWidget(self.wrong)
        column.addLayout(row(None, self.go, margins=(0, 0, 0, 0)))
        self.setMinimumWidth(look.px(420))

    def _asked(self) -> None:
        """Do it, unless a field is wrong: its value is not the one that stands there."""
        if self.form.problem:
            self._say(self.form.problem)
        else:
            self._go()

    def _changed(self, change: Changed) -> None:
        if change.chosen or change.job:
            self.close()

    @property
    def _template(self) -> Template:
        """The template as it is now."""
        template = self._space.model.job.template(self._key)
        assert isinstance(template, Template)
        return template

    def _say(self, problem: str) -> None:
        self.wrong.say(problem, "stop")

    def _entered(self, key: str, value: Any) -> None:
        raise NotImplementedError

    def _go(self) -> None:
        raise NotImplementedError

    def _made(self, part: ScaledPart, length: float, *, heights: bool) -> Template | None:
        """The scaled template, or None after showing why it cannot be scaled. `length` in mm."""
        try:
            return scaled(self._template, part, length, heights=heights)
        except ValueError as trouble:
            self._say(_("{finding}.", finding=trouble))
            return None


class Scaling(_Sizing):
    """The dialog that scales one template to a length."""

    def __init__(self, parent: QWidget, workspace: Workspace) -> None:
        items = (
            ChoiceItem("part", _("Scale"), options=_PARTS),
            LengthItem("length", _("To a length of"), low=_SHORTEST, high=_LONGEST),
            SwitchItem("heights", _("Heights in proportion")),
        )
        super().__init__(parent, workspace, _("Scale template"), items, _("Scale"))
        self._part, self._length, self._heights = ScaledPart.WHOLE, length_of(self._template, ScaledPart.WHOLE), True
        self._show()

    def _show(self) -> None:
        self.form.show_values({"part": self._part, "length": self._length, "heights": self._heights}, self._space.unit)

    def _entered(self, key: str, value: Any) -> None:
        if key == "part":
            self._part, self._length = value, length_of(self._template, value)
        elif key == "length":
            self._length = value
        else:
            self._heights = value
        self._show()

    def _go(self) -> None:
        template = self._made(self._part, self._length, heights=self._heights)
        if template is None:
            return
        document = self._space.session.document
        action = Action("template.scaled", {"part": self._part.value, "length": self._length})
        if self._space.do(templates.reshape(document, self._key, template, action)):
            self.close()


class SizesDialog(_Sizing):
    """The dialog that makes several blade lengths of one template."""

    def __init__(self, parent: QWidget, workspace: Workspace) -> None:
        items = (
            LengthsItem("lengths", _("Blade lengths"), low=_SHORTEST, high=450.0, example=HABITS[workspace.unit].lengths),
            SwitchItem("handle", _("The handle grows with the blade")),
            SwitchItem("heights", _("Heights in proportion")),
        )
        super().__init__(parent, workspace, _("Make several sizes"), items, _("Make"))
        self._lengths: tuple[float, ...] = ()
        self._with_handle, self._heights = False, True
        self._show()

    def _show(self) -> None:
        values = {"lengths": self._lengths, "handle": self._with_handle, "heights": self._heights}
        self.form.show_values(values, self._space.unit)

    def _entered(self, key: str, value: Any) -> None:
        if key == "lengths":
            self._lengths = tuple(dict.fromkeys(value))
        elif key == "handle":
            self._with_handle = value
        else:
            self._heights = value
        self._show()

    def _go(self) -> None:
        if not 1 <= len(self._lengths) <= _MOST:
            self._say(_("Type 1 to {most} lengths, e.g. {lengths}", most=_MOST, lengths=HABITS[self._space.unit].lengths))
            return
        sizes, unit = [], self._space.unit
        for length in self._lengths:
            ratio = length / self._template.blade.length
            part = ScaledPart.WHOLE if self._with_handle else ScaledPart.BLADE
            size = self._made(part, ratio * length_of(self._template, part), heights=self._heights)
            if size is None:
                return
            sizes.append(replace(size, name=f"{self._template.name} {show(length, unit)} {unit}", revision=1))
        document = self._space.session.document
        if self._space.do(templates.add_sizes(document, self._key, sizes, [new_id() for _unused in sizes])):
            self.close()
