"""The pictures of a knife: one at a time, added from files, kept small in the shop book."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QImage, QPixmap
from PySide6.QtWidgets import QFileDialog, QVBoxLayout, QWidget

from workbook.app.elements.basics import Lettered, label, named, row, tool
from workbook.document.accounts import pictures_of
from workbook.document.document import Document
from workbook.document.shop_records import PictureRecord
from workbook.formats import picture as pictures
from workbook.problems import JobError
from workbook.storage.trouble import StorageTrouble
from workbook.system.names import shown
from workbook.tasks.guarded import guarded
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app.beside import Found
    from workbook.app.frame import Frame

_WIDE, _HIGH = 220, 150  # of the picture


class KnifePictures(QWidget):
    """Shows the pictures of the knife at hand."""

    def __init__(self, window: Frame) -> None:
        super().__init__()
        self._window, look = window, window.workspace.look
        self._piece, self._at = "", 0
        self._shown = "-"  # the reference of the picture that is drawn
        self.picture = named(label(look, "", soft=True), "card")
        self.picture.setFixedSize(look.px(_WIDE), look.px(_HIGH))
        self.picture.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.picture.setAccessibleName(_("Picture of the knife"))
        self.back, self.on = tool(look, "picture-back", "‹"), tool(look, "picture-on", "›")
        self.count = Lettered(look, "", 9, tone="soft", anchor="middle")
        self.add_button, self.less_button = (
            tool(look, "add-picture", _("Picture…"), "add"),
            tool(look, "less-picture", _("Remove")),
        )
        most = pictures.PHOTO_BYTES // 1_000_000
        words = _("Made smaller, to at most {most} MB. It is stored in the shop book.", most=most)
        note = label(look, words, "small", soft=True)
        note.setWordWrap(True)
        none = (0, 0, 0, 0)
        column = QVBoxLayout(self)
        column.setContentsMargins(*none)
        column.addWidget(self.picture)
        column.addLayout(row(self.back, self.count, self.on, margins=none))
        column.addLayout(row(self.add_button, None, self.less_button, margins=none))
        column.addWidget(note)
        column.addStretch(1)
        self.setFixedWidth(look.px(_WIDE))
        self.back.clicked.connect(lambda: self._turn(-1))
        self.on.clicked.connect(lambda: self._turn(1))
        self.add_button.clicked.connect(self._ask)
        self.less_button.clicked.connect(self._less)

    @property
    def _document(self) -> Document:
        return self._window.workspace.session.document

    @property
    def _own(self) -> list[PictureRecord]:
        return pictures_of(self._document, self._piece) if self._piece else []

    def show_knife(self, piece: str) -> None:
        """Show the pictures of a knife, the last first; "" for none."""
        own = pictures_of(self._document, piece) if piece else []
        if piece != self._piece:
            self._piece, self._at = piece, len(own) - 1
        self._at = min(max(self._at, 0), max(len(own) - 1, 0))
        self.add_button.setEnabled(bool(piece))
        self.less_button.setEnabled(bool(own))
        self.count.say(f"{self._at + 1}/{len(own)}" if own else "", "soft")
        self.back.setEnabled(self._at > 0)
        self.on.setEnabled(self._at < len(own) - 1)
        self._draw(own[self._at].picture if own else "")

    def _draw(self, reference: str) -> None:
        if reference == self._shown:
            return
        self._shown = reference
        attachment = self._window.workspace.session.attachment(reference) if reference else None
        image = QImage.fromData(attachment.data) if attachment is not None else QImage()
        if image.isNull():
            self.picture.setText(_("no picture"))
            return
        ratio, size = self.devicePixelRatioF(), self.picture.size()
        kept, smooth = Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
        pixmap = QPixmap.fromImage(image.scaled(size * ratio, kept, smooth))
        pixmap.setDevicePixelRatio(ratio)
        self.picture.setPixmap(pixmap)

    def _turn(self, by: int) -> None:
        self._at += by
        self.show_knife(self._piece)

    def _ask(self) -> None:
        kinds = _("Pictures (*.jpg *.jpeg *.png *.tif *.tiff *.bmp *.webp)")
        chosen, _filter = QFileDialog.getOpenFileName(self, _("Picture of the knife"), "", kinds)
        if chosen:
            self.add(Path(chosen))

    def add(self, path: Path) -> None:
        """Add a picture from a file; it is read in a process of its own, and made small."""
        piece, words = self._piece, _("Reading {name}", name=shown(path.name))
        read = lambda: guarded(pictures.read_photo, path)  # noqa: E731
        self._window.beside.do(words, read, lambda outcome: self._read(piece, path, outcome))

    def _read(self, piece: str, path: Path, outcome: Found[bytes]) -> None:
        title = _("{name} cannot be added", name=shown(path.name))
        try:
            self._at = len(self._own)
            self._window.workspace.accounts.add_picture(piece, outcome())
        except JobError as trouble:
            self._window.say_trouble(title, trouble)
        except StorageTrouble as trouble:
            self._window.say_storage(title, trouble)

    def _less(self) -> None:
        self._window.workspace.accounts.drop_picture(self._own[self._at].id)
