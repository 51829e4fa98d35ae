"""Help pages shipped with the program."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QTextBrowser, QVBoxLayout, QWidget

from workbook.app.elements.basics import named
from workbook.app.look import Look
from workbook.paths import resource
from workbook.texts import _


class Help(QDialog):
    """The dialog with the help for one page of the window."""

    def __init__(self, parent: QWidget, look: Look, page: str) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Help"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.text = named(QTextBrowser(), "help")
        self.text.setAccessibleName(_("Help"))
        self.text.setFont(look.font("body"))
        self.text.setMarkdown(resource("help", f"{page}.md").read_text(encoding="utf-8"))
        self.text.document().setDocumentMargin(look.px(14))
        column = QVBoxLayout(self)
        column.addWidget(self.text)
        self.resize(look.px(560), look.px(520))
