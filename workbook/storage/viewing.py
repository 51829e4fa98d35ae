"""A workbook opened for viewing only: from a read-only place, or while another window works on it."""

import os
import stat
from pathlib import Path
from typing import NoReturn

from workbook.document.document import Edit
from workbook.storage.attachment import Attachment, digest_in
from workbook.storage.body import BookBody
from workbook.storage.file import read
from workbook.storage.session import Session
from workbook.storage.trouble import StorageTrouble
from workbook.texts import _

_CURE = _("Save it under a new name to work on it.")


class OnlyToLookAt(StorageTrouble):
    """An attempt to change a workbook that is open for viewing only."""


class ViewedWork(Session):
    """A workbook as its file was when it was opened; it is never changed or written."""

    read_only = True

    def __init__(self, path: Path, body: BookBody) -> None:
        self._path, self.document, self._body = path.absolute(), body.document, body
        self._steps, self._done, self._gone = list(body.steps), body.done, body.gone
        self.book, self.no_backup = body.book, ""

    @property
    def path(self) -> Path | None:
        """The file being viewed."""
        return self._path

    @property
    def saved(self) -> bool:
        """Always true: there is nothing to save."""
        return True

    @property
    def body(self) -> BookBody:
        """The document with its history and attachments."""
        return self._body

    @property
    def last_edit(self) -> None:
        """None: no edit can be continued."""

    @property
    def to_prove(self) -> None:
        """None: nothing was written."""

    @property
    def file(self) -> Path | None:
        """None: this computer keeps no session for it."""
        return None

    def edit(self, edit: Edit, at: str, *, same_step: bool = False) -> None:
        """Refuse an edit, unless it changes nothing. OnlyToLookAt."""
        if edit.changes:
            self._refuse()

    def undo(self) -> NoReturn:
        """Refuse. OnlyToLookAt."""
        self._refuse()

    def redo(self) -> NoReturn:
        """Refuse. OnlyToLookAt."""
        self._refuse()

    def attach(self, attachment: Attachment) -> NoReturn:
        """Refuse. OnlyToLookAt."""
        self._refuse()

    def attachment(self, named: str) -> Attachment | None:
        """The picture that a reference names; None where it is missing. ValueError when it is no reference."""
        return self._body.attachments.get(digest_in(named))

    def publish(self) -> None:
        """Do nothing: there is nothing to save."""

    def save_as(self, path: Path) -> NoReturn:
        """Refuse; a workbook of one's own is begun with `body`. OnlyToLookAt."""
        self._refuse()

    def changed_elsewhere(self) -> bool:
        """Always false: nothing is written, so other changes do not matter."""
        return False

    def close(self) -> None:
        """Do nothing: no session or lock is held."""

    def _refuse(self) -> NoReturn:
        raise OnlyToLookAt(_("{name} is open read-only.", name=self._path.name), _CURE)


def look_at(path: Path, *, known: bool = False) -> ViewedWork:
    """Open a workbook's file for viewing only. `known`, NotAWorkbook and StorageTrouble as for `read`."""
    return ViewedWork(path, read(path, known=known).body)


def can_be_written(path: Path) -> bool:
    """Whether a file could be replaced by a newer one: its folder is writable and the file is not marked read-only."""
    try:
        read_only = path.stat().st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH) == 0
    except OSError:
        return True  # a missing file is reported elsewhere
    return not read_only and os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)
