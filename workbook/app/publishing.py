"""The workbook's file brought up to date beside the window, and work that is let go: neither holds the window."""

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
    """What came of it: what kept the file from being written, or where the work went when someone else had changed it."""

    trouble: StorageTrouble | None = None
    elsewhere: Path | None = None


def brought_up(session: Session) -> Published:
    """Brings the file up to date; work that someone else's change keeps out goes to a file of its own."""
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
    told = StorageTrouble(changed.what, _("Both are kept: yours is now {name}, in the same folder.", name=path.name))
    return Published(told, path)


class Publishing(QObject):
    """Brings files up to date, one after another."""

    published = Signal(object, object)  # a session, and what came of it

    def __init__(self) -> None:
        super().__init__()
        self._going: list[Thread] = []

    @property
    def busy(self) -> bool:
        """Whether one is being written, or let go."""
        self._going = [thread for thread in self._going if thread.is_alive()]
        return bool(self._going)

    def begin(self, session: Session) -> None:
        """Begins to bring a file up to date; `published` tells when it is."""
        self._going.append(begun(lambda: self._publish(session), "publishing"))

    def let_go(self, session: Session) -> None:
        """Ends work in whose place there is other work."""
        self._going.append(begun(session.close, "letting go"))

    def rest(self) -> None:
        """Waits until nothing is being written or let go."""
        for thread in tuple(self._going):
            thread.join()

    def _publish(self, session: Session) -> None:
        found = brought_up(session)
        with suppress(RuntimeError):  # the window is gone
            self.published.emit(session, found)
