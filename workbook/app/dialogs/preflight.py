"""Check of a cutting file from any source before it is sent: its figures, its problems, and a repair on request."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QFileDialog, QInputDialog, QVBoxLayout

from workbook.app.asking import ask_where
from workbook.app.dialogs.page_view import PageView
from workbook.app.elements.basics import button, label, named, row
from workbook.app.proof import curves_image
from workbook.geometry.path import corners
from workbook.problems import NO_UNIT, JobError
from workbook.shop.wording import sentence
from workbook.system.names import shown
from workbook.tasks.exports.repair import mended
from workbook.tasks.judging import Judged, judge
from workbook.tasks.write import write_all
from workbook.texts import _, labelled, ngettext
from workbook.units import show

if TYPE_CHECKING:
    from PySide6.QtGui import QImage

    from workbook.app.beside import Found
    from workbook.app.frame import Frame
    from workbook.geometry.path import Point

_UNITS = ("mm", "in", "cm", "m", "ft")
_SEVERITIES = {"stop": _("Error"), "warn": _("Warning"), "note": _("Note")}
_MOST = 14  # findings listed


def ask_and_judge(window: Frame) -> None:
    """Ask for a file, and for its unit if it states none, and show the findings."""
    path, _filter = QFileDialog.getOpenFileName(window, _("Check a cutting file"), "", _("DXF (*.dxf)"))
    if path:
        judge_file(window, Path(path))


def judge_file(window: Frame, file: Path, unit: str | None = None, said: str = "") -> None:
    """Check a file and show the dialog, or report why it cannot be checked. `said`: a note on what was done to the file."""
    service, thickness = window.workspace.model.job.service, window.workspace.blank.thickness

    def look_through() -> tuple[Judged, QImage | None]:
        judged = judge(file, unit, service, thickness)
        return judged, _drawn(judged)

    window.beside.do(
        _("Checking {name}", name=shown(file.name)), look_through, lambda outcome: _judged(window, file, said, outcome)
    )


def _judged(window: Frame, file: Path, message: str, outcome: Found[tuple[Judged, QImage | None]]) -> None:
    try:
        dialog = PreflightDialog(window, *outcome())
    except JobError as trouble:
        if NO_UNIT in str(trouble):
            _ask_unit(window, file, message)
        else:
            window.say_trouble(_("The file could not be checked"), trouble)
        return
    dialog.trouble.setText(message)
    dialog.show()


def _ask_unit(window: Frame, file: Path, message: str) -> None:
    unit, accepted = QInputDialog.getItem(window, file.name, _("The file has no unit. It is drawn in"), list(_UNITS), 0, False)
    if accepted:
        judge_file(window, file, unit, message)


def _drawn(judged: Judged) -> QImage | None:
    """A picture of the file, drawn from the curves checked; None if there are none."""
    lines: list[Sequence[Point]] = []
    for piece in judged.drawn.sound:
        points = corners(piece.path, 0.05)
        lines.append([*points, points[0]] if piece.path.closed else points)
    return curves_image(lines, [p.at for p in judged.problems if p.at is not None]) if lines else None


class PreflightDialog(QDialog):
    """The dialog, with the drawing above the report."""

    def __init__(self, window: Frame, judged: Judged, image: QImage | None) -> None:
        super().__init__(window)
        self.setWindowTitle(_("{name}: cutting check", name=judged.name))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._window, self._judged, look = window, judged, window.workspace.look
        self.report = label(look, "\n".join(self._lines()), "small")
        self.report.setWordWrap(True)
        self.report.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.mend = button(look, "mend", _("Save repaired copy…"), main=True)
        self.mend.setAutoDefault(False)
        self.trouble = named(label(look, "", "small", bold=True), "stop")
        self.trouble.setWordWrap(True)
        self.mend.clicked.connect(self._mend)
        self.mend.setEnabled(bool(judged.problems))
        self.view = PageView(look)
        if image is not None:
            self.view.show_image(image)
        column = QVBoxLayout(self)
        column.addWidget(self.view, 1)
        column.addWidget(self.report)
        column.addWidget(self.trouble)
        column.addLayout(row(None, self.mend))
        self.resize(min(look.px(760), window.width()), min(look.px(680), window.height()))

    def _lines(self) -> list[str]:
        judged, unit = self._judged, self._window.workspace.unit
        lines = [_("DXF {version}, unit: {unit}", version=judged.version, unit=judged.unit)]
        facts = judged.facts
        if facts is not None:
            size = " × ".join(show(v, unit, fine=True) for v in (facts.width, facts.height))
            lines.append(
                ngettext(
                    "{size} {unit}, steel {area:.1f} cm², cut {length:.0f} mm, {count} pierce, {curves}",
                    "{size} {unit}, steel {area:.1f} cm², cut {length:.0f} mm, {count} pierces, {curves}",
                    facts.pierces,
                    size=size,
                    unit=unit,
                    area=facts.area / 100,
                    length=facts.length,
                    curves=facts.curves,
                )
            )
        lines += [labelled(_SEVERITIES[p.severity.value], sentence(p, unit)) for p in judged.problems[:_MOST]]
        if len(judged.problems) > _MOST:
            lines.append(_("and {count} more", count=len(judged.problems) - _MOST))
        return lines if judged.problems else [*lines, _("No problems found.")]

    def _mend(self) -> None:
        """Save the repaired drawing under a new name, then check that file."""
        try:
            text, changes = mended(self._judged, self._window.workspace.model.job.service.version)
            proposed = f"{Path(self._judged.name).stem}-mended.dxf"
            path = ask_where(self, _("Save repaired copy"), proposed, _("DXF (*.dxf)"), ".dxf")
            if path is None:
                return
            write_all(path.parent, {path.name: text.encode()}, over={path.name})
        except JobError as trouble:
            self.trouble.setText("\n".join(trouble.lines()))
            return
        self.trouble.setText("")
        self._window.say_written(path)
        self.close()
        said = _("Repaired: {changes}.", changes=", ".join(changes)) if changes else _("Nothing to repair.")
        judge_file(self._window, path, said=said)
