"""The bench card on the screen: the main numbers in large type, the caliper readings, the caution."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QLabel, QSizePolicy, QVBoxLayout, QWidget

from workbook.app.elements.basics import Lettered, label, named, row
from workbook.app.icons import picture
from workbook.app.look import Look
from workbook.app.pages.grind.rows import Rows
from workbook.grind.bench import Bench
from workbook.sheets.bench_words import first_rows
from workbook.texts import _, labelled
from workbook.units import Unit, built, reading, show

_CAUTION = _("Eyes, ears, fitted respirator. Tip trailing. No gloves at the nip. Follow your own training and local rules.")


class BenchCard(QFrame):
    """The settings for one template before hardening."""

    def __init__(self, look: Look) -> None:
        super().__init__()
        self.setObjectName("card")
        self.setAccessibleName(_("Bench card"))
        self._look = look
        self._title, self._revision = label(look, _("Bench card"), "title"), label(look, "", "small", soft=True)
        self._under = label(look, "", "small", soft=True)
        self._under.setWordWrap(True)
        self._under.setContentsMargins(12, 0, 12, 4)
        self.big = [self._big_row() for _unused in range(3)]
        self._heads = Rows(look, widths=(62, 62), points=8.0)
        self.readings = Rows(look, widths=(62, 62))
        caution = label(look, _CAUTION, "small")
        caution.setWordWrap(True)
        mark = label(look, "")
        mark.setPixmap(picture("warn", look.px(18), look.colour("warn")))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 10, 0, 10)
        column.setSpacing(look.px(3))
        column.addLayout(row(self._title, None, self._revision))
        column.addWidget(self._under)
        for figure in self.big:
            column.addWidget(figure[0])
        column.addSpacing(look.px(4))
        column.addWidget(self._heads)
        column.addWidget(self.readings)
        column.addSpacing(look.px(4))
        warning = row(mark, caution, margins=(12, 0, 12, 0))
        warning.setStretch(1, 1)
        column.addLayout(warning)

    def _big_row(self) -> tuple[QWidget, Lettered, QLabel]:
        look = self._look
        value, words = Lettered(look, "", 15.0, bold=True), label(look, "", "small", soft=True)
        value.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        words.setWordWrap(True)
        words.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        line_of = row(value, words, margins=(12, 0, 12, 0))
        line_of.setStretch(1, 1)
        column.addLayout(line_of)
        line = named(QFrame(), "rule")
        line.setFixedHeight(1)
        column.addWidget(line)
        return holder, value, words

    def say(self, bench: Bench, name: str, under: str, revision: int, unit: Unit) -> None:
        """Show another template's numbers."""
        self._revision.setText(_("rev {revision}", revision=revision))
        self._under.setText(f"{name}, {under}")
        rows = first_rows(bench, unit)
        for n, (holder, value, words) in enumerate(self.big):
            holder.setVisible(n < len(rows))
            if n < len(rows):
                value.say(rows[n][1])
                words.setText(rows[n][0])
                holder.setAccessibleName(labelled(*rows[n]))
        self._heads.say([(_("Above the edge"), _("before"), _("finished"))])
        self.readings.say(_readings(bench, unit))


def _readings(bench: Bench, unit: Unit) -> Sequence[Sequence[str]]:
    return [
        (f"{built(show(r.up, unit))} {unit}", *(reading(value, unit, column=True) for value in (r.before, r.finished)))
        for r in bench.readings
    ]
