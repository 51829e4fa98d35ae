"""What the program is, and the licences of all that it is made of."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QDialog, QHBoxLayout, QListWidget, QSplitter, QTextBrowser, QVBoxLayout, QWidget

from workbook import __version__
from workbook.app.elements.basics import label, named, row
from workbook.app.look import Look
from workbook.paths import resource
from workbook.tasks.notices import notices
from workbook.texts import _

_ICON = 56  # logical pixels


class About(QDialog):
    """The dialog: name and version, then the parts at the left, the licence of one at the right."""

    def __init__(self, parent: QWidget, look: Look) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("About"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._notices = notices()
        self.parts = named(QListWidget(), "parts")
        self.parts.setAccessibleName(_("Parts"))
        self.parts.setFont(look.font("body"))
        self.parts.addItems([f"{notice.name} {notice.version}" for notice in self._notices])
        self.text = named(QTextBrowser(), "licence")
        self.text.setAccessibleName(_("Licence"))
        self.text.setFont(look.font("body"))
        self._kind = label(look, "", "strong", bold=True)
        side = QWidget()
        beside = QVBoxLayout(side)
        beside.setContentsMargins(0, 0, 0, 0)
        beside.addWidget(self._kind)
        beside.addWidget(self.text, 1)
        columns = QSplitter()
        columns.setChildrenCollapsible(False)
        columns.addWidget(self.parts)
        columns.addWidget(side)
        columns.setSizes([look.px(220), look.px(600)])
        lines = QVBoxLayout(self)
        lines.setSpacing(look.px(10))
        lines.addLayout(self._head(look))
        lines.addWidget(label(look, _("Made with these parts, each under its own licence:"), "body"))
        lines.addWidget(columns, 1)
        self.resize(look.px(840), look.px(600))
        self.parts.currentRowChanged.connect(self._show)
        self.parts.setCurrentRow(0)
        self.parts.setFocus()

    def _head(self, look: Look) -> QHBoxLayout:
        picture = label(look, "")
        picture.setPixmap(QIcon(str(resource("program", "makers-workbook.svg"))).pixmap(look.px(_ICON), look.px(_ICON)))
        words = QVBoxLayout()
        words.addWidget(label(look, _("Maker's Workbook {version}", version=__version__), "title", bold=True))
        words.addWidget(label(look, _("On carrying or selling knives: check local law."), "body"))
        head = row(picture, None, margins=(0, 0, 0, 0), gap=look.px(14))
        head.insertLayout(1, words)
        return head

    def _show(self, number: int) -> None:
        notice = self._notices[number]
        self._kind.setText(_("Licence: {name}", name=notice.licence))
        self.text.setPlainText(notice.text)
