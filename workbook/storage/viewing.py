"""A workbook opened to look at: from a place that cannot be written, or while another window works on it."""

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

_CURE = _("Save it under a name of its own to work on it.")


class OnlyToLookAt(StorageTrouble):
    """A change of a workbook that is open to look at only."""


class ViewedWork(Session):
    """A workbook as its file was when it was opened; nothing is changed and nothing is written."""

    read_only = True

    def __init__(self, path: Path, body: BookBody) -> None:
        self._path, self.document, self._body = path.absolute(), body.document, body
        self._steps, self._done, self._gone = list(body.steps), body.done, body.gone
        self.book, self.no_backup = body.book, ""

    @property
    def path(self) -> Path | None:
        """The file looked at."""
        return self._path

    @property
    def saved(self) -> bool:
        """Always: there is nothing to save."""
        return True

    @property
    def body(self) -> BookBody:
        """Everything there is."""
        return self._body

    @property
    def last_edit(self) -> None:
        """None: nothing is gone on with."""

    @property
    def to_prove(self) -> None:
        """None: nothing was written."""

    @property
    def file(self) -> Path | None:
        """None: nothing is kept on this computer."""
        return None

    def edit(self, edit: Edit, at: str, *, same_step: bool = False) -> None:
        """Refused; an edit that changes nothing is none."""
        if edit.changes:
            self._refuse()

    def undo(self) -> NoReturn:
        """Refused."""
        self._refuse()

    def redo(self) -> NoReturn:
        """Refused."""
        self._refuse()

    def attach(self, attachment: Attachment) -> NoReturn:
        """Refused."""
        self._refuse()

    def attachment(self, named: str) -> Attachment | None:
        """The picture that a reference names; None where it is not there."""
        return self._body.attachments.get(digest_in(named))

    def publish(self) -> None:
        """Nothing to do."""

    def save_as(self, path: Path) -> NoReturn:
        """Refused: a workbook of one's own is begun with `body`."""
        self._refuse()

    def changed_elsewhere(self) -> bool:
        """Of no interest here."""
        return False

    def close(self) -> None:
        """Nothing is held."""

    def _refuse(self) -> NoReturn:
        raise OnlyToLookAt(_("{name} is open to look at only.", name=self._path.name), _CURE)


def look_at(path: Path, *, known: bool = False) -> ViewedWork:
    """A workbook's file opened to look at. `known`: used here before. NotAWorkbook; StorageTrouble."""
    return ViewedWork(path, read(path, known=known).body)


def can_be_written(path: Path) -> bool:
    """Whether a file could be replaced by a newer one: its folder takes files, and the file is not marked read-only."""
    try:
        marked = path.stat().st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH) == 0
    except OSError:
        return True  # that it is not there is said elsewhere
    return not marked and os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)
