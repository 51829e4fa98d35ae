"""Update the workbook's file, and close finished work, in threads, so that the window does not wait."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from threading import Thread

from msgspec import Struct
from PySide6.QtCore import QObject, Signal

from workbook.app.threads import begun
from workbook.storage.session import Session
from workbook.storage.trouble import ChangedElsewhere, StorageTrouble
from workbook.tasks.recent import remember
from workbook.tasks.work import stamp
from workbook.texts import _


class Published(Struct, frozen=True):
    """The result of an update: the trouble, if any, and where the work went if someone else had changed the file."""

    trouble: StorageTrouble | None = None
    elsewhere: Path | None = None


def brought_up(session: Session) -> Published:
    """Update the file; if someone else has changed it, save the work to a file of its own."""
    if session.path is None or session.saved:
        return Published()
    try:
        session.publish()
    except ChangedElsewhere as changed:
        return _beside(session, changed)
    except StorageTrouble as trouble:
        return Published(trouble)
    return Published()


def _beside(session: Session, changed: ChangedElsewhere) -> Published:
    try:
        path = session.keep_both(stamp())
    except StorageTrouble as worse:
        return Published(worse)
    remember(path)
    trouble = StorageTrouble(changed.what, _("Both are kept. Yours is now {name}, in the same folder.", name=path.name))
    return Published(trouble, path)


class Publishing(QObject):
    """Updates files, one after another."""

    published = Signal(object, object)  # a session, and a Published

    def __init__(self) -> None:
        super().__init__()
        self._going: list[Thread] = []

    @property
    def busy(self) -> bool:
        """Whether a file is being written, or work closed."""
        self._going = [thread for thread in self._going if thread.is_alive()]
        return bool(self._going)

    def begin(self, session: Session) -> None:
        """Start updating a file; `published` is emitted when done."""
        self._going.append(begun(lambda: self._publish(session), "publishing"))

    def let_go(self, session: Session) -> None:
        """Close work that was replaced by other work."""
        self._going.append(begun(session.close, "letting go"))

    def rest(self) -> None:
        """Wait until nothing is being written or closed."""
        for thread in tuple(self._going):
            thread.join()

    def _publish(self, session: Session) -> None:
        outcome = brought_up(session)
        with suppress(RuntimeError):  # the window is gone
            self.published.emit(session, outcome)
