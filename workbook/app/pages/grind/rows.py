"""Words on the left, their values on the right: a table that a screen reader reads line by line."""

from collections.abc import Sequence

from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from workbook.app.elements.basics import Lettered, row
from workbook.app.look import Look
from workbook.units import built


class Rows(QWidget):
    """Rows of words and values. `widths`: of the columns after the first, in unscaled pixels."""

    def __init__(self, look: Look, *, widths: Sequence[int] = (), points: float = 9.0) -> None:
        super().__init__()
        self._look, self._widths, self._points = look, widths, points
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(look.px(1))
        self._cells: list[list[Lettered]] = []
        self._holders: list[QWidget] = []

    def say(self, rows: Sequence[Sequence[str]]) -> None:
        """Show these rows."""
        while len(self._cells) < len(rows):
            self._add(len(rows[0]))
        for n, (holder, cells) in enumerate(zip(self._holders, self._cells, strict=True)):
            holder.setVisible(n < len(rows))
            if n < len(rows):
                for cell, text in zip(cells, rows[n], strict=True):
                    cell.say(built(text))
                holder.setAccessibleName(": ".join(rows[n]).replace("⁄", "/"))

    def texts(self) -> list[tuple[str, ...]]:
        """The texts of the visible rows."""
        return [tuple(c.text() for c in cells) for cells, h in zip(self._cells, self._holders, strict=True) if not h.isHidden()]

    def _add(self, columns: int) -> None:
        look = self._look
        cells = [Lettered(look, "", self._points)]
        cells += [Lettered(look, "", self._points, bold=True, anchor="end") for _ in range(columns - 1)]
        for cell in cells[1:]:
            cell.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)  # the words shrink first
        for cell, width in zip(cells[1:], self._widths, strict=False):
            cell.setFixedWidth(look.px(width))
        holder = QWidget()
        holder.setLayout(row(*cells, margins=(12, 0, 12, 0), gap=6))
        holder.setFixedHeight(look.px(22))
        self._cells.append(cells)
        self._holders.append(holder)
        self._column.addWidget(holder)
