"""Pack a report: what goes into the zip is listed and can be read; the maker unticks what he keeps to himself."""

from datetime import date
from pathlib import Path

from PySide6.QtCore import Qt, qVersion
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QDialog, QListWidget, QListWidgetItem, QSplitter, QTextBrowser, QVBoxLayout

from workbook.app.asking import ask_where, kind_words
from workbook.app.elements.basics import button, label, named, row
from workbook.app.frame import Frame
from workbook.system.names import shown
from workbook.system.replacing import replace_file
from workbook.tasks.report_pack import ReportFile, packed, parts
from workbook.texts import _


class ReportPack(QDialog):
    """The dialog: the files at the left, each with a tick; what one says at the right."""

    def __init__(self, window: Frame) -> None:
        super().__init__(window)
        self.setWindowTitle(_("Pack a report"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        look, session = window.workspace.look, window.workspace.session
        self.parts = parts(session.document, _screen(), session.path)
        self.list = named(QListWidget(), "report-parts")
        self.list.setAccessibleName(_("Files of the report"))
        self.list.setFont(look.font("body"))
        for part in self.parts:
            self.list.addItem(_item(part))
        self.text = named(QTextBrowser(), "report-text")
        self.text.setAccessibleName(_("What the file says"))
        self.text.setFont(look.font("body"))
        self.status = label(look, "", "small", soft=True)
        self.status.setWordWrap(True)
        save = button(look, "save-report", _("Save report…"), main=True)
        save.clicked.connect(self._save)
        columns = QSplitter()
        columns.setChildrenCollapsible(False)
        columns.addWidget(self.list)
        columns.addWidget(self.text)
        columns.setSizes([look.px(280), look.px(520)])
        words = label(look, _("Tick what is to go into one file that you can send. Nothing is sent by the program."))
        words.setWordWrap(True)
        lines = QVBoxLayout(self)
        lines.addWidget(words)
        lines.addWidget(columns, 1)
        lines.addLayout(row(self.status, None, save, margins=(0, 0, 0, 0)))
        self.resize(look.px(820), look.px(560))
        self.list.currentRowChanged.connect(lambda number: self.text.setPlainText(self.parts[number].text))
        self.list.itemChanged.connect(lambda: self.status.clear())
        self.list.setCurrentRow(0)

    def chosen(self) -> list[ReportFile]:
        """The parts that are ticked."""
        ticked = Qt.CheckState.Checked
        return [part for number, part in enumerate(self.parts) if self.list.item(number).checkState() is ticked]

    def _save(self) -> None:
        chosen = self.chosen()
        if not chosen:
            self.status.setText(_("Nothing is ticked."))
            return
        proposed = str(Path.home() / f"makers-workbook-report-{date.today():%Y-%m-%d}.zip")
        path = ask_where(self, _("Save report"), proposed, kind_words("zip"), ".zip")
        if path is None:
            return
        try:
            replace_file(path, packed(chosen))
        except OSError as trouble:
            self.status.setText(_("{name} could not be written: {trouble}.", name=shown(path.name), trouble=trouble.strerror))
            return
        self.status.setText(_("Written: {name}.", name=shown(str(path))))


def _item(part: ReportFile) -> QListWidgetItem:
    item = QListWidgetItem(part.name)
    item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
    item.setCheckState(Qt.CheckState.Checked if part.usual else Qt.CheckState.Unchecked)
    return item


def _screen() -> list[str]:
    """Qt and the screens, in English, for those who are to read it."""
    lines = [f"Qt {qVersion()}, {QGuiApplication.platformName()}"]
    for screen in QGuiApplication.screens():
        size = screen.size()
        lines.append(f"screen {size.width()} x {size.height()}, ratio {screen.devicePixelRatio():g}")
    return lines
