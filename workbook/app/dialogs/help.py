"""The help: pages shipped with the program, in the language of the program."""

from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QTextCursor
from PySide6.QtWidgets import QDialog, QHBoxLayout, QListWidget, QTextBrowser, QWidget

from workbook.app.elements.basics import named
from workbook.app.help_topics import TOPICS
from workbook.app.look import Look
from workbook.formats.help_text import translated
from workbook.paths import resource
from workbook.texts import _, of_file

_NAMES = tuple(name for name, _title in TOPICS)


class Help(QDialog):
    """The dialog: the topics at the left, the page of one at the right."""

    def __init__(self, parent: QWidget, look: Look, page: str) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Help"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.topics = named(QListWidget(), "topics")
        self.topics.setAccessibleName(_("Topics"))
        self.topics.setFont(look.font("body"))
        self.topics.addItems([title for _name, title in TOPICS])
        self.topics.setFixedWidth(self.topics.sizeHintForColumn(0) + look.px(44))
        self.text = named(QTextBrowser(), "help")
        self.text.setAccessibleName(_("Help"))
        self.text.setFont(look.font("body"))
        self.text.setOpenLinks(False)
        self.text.anchorClicked.connect(self._follow)
        self._margin = look.px(14)
        columns = QHBoxLayout(self)
        columns.addWidget(self.topics)
        columns.addWidget(self.text, 1)
        self.resize(look.px(760), look.px(560))
        self.topics.currentRowChanged.connect(self._show)
        self.show_topic(page)
        self.text.setFocus()

    def show_topic(self, name: str) -> None:
        """Show a topic by its name."""
        self.topics.setCurrentRow(_NAMES.index(name))

    def _show(self, row: int) -> None:
        text = resource("help", f"{_NAMES[row]}.md").read_text(encoding="utf-8")
        self.text.setMarkdown(translated(text, of_file))
        self.text.document().setDocumentMargin(self._margin)
        self._space_out()
        self.text.verticalScrollBar().setValue(0)

    def _space_out(self) -> None:
        """Put room between paragraphs, which a page in Markdown is shown without."""
        cursor, block = QTextCursor(self.text.document()), self.text.document().begin()
        while block.isValid():
            cursor.setPosition(block.position())
            room, head = block.blockFormat(), block.blockFormat().headingLevel()
            if cursor.currentTable() is None and not room.isEmpty() and block.length() > 1:
                room.setTopMargin(self._margin if head else 0)
                room.setBottomMargin(self._margin / 2)
                cursor.setBlockFormat(room)
            block = block.next()

    def _follow(self, link: QUrl) -> None:
        name = link.fileName().removesuffix(".md")
        if name in _NAMES:
            self.show_topic(name)
