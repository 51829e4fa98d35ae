"""What a window opens on: the last work, or the demo at a first start; never again by itself what did not open last time.

While something is being opened, a note holds its name. A start that finds the note knows that the last start ended midway (a
crash, a window that never appeared): it leaves that work alone, says so and begins with an empty workbook.
"""

import time
from collections.abc import Callable
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.json import decode, encode

from workbook.later import modules
from workbook.paths import data_folder, keep_data, kept_data
from workbook.storage.session import Session
from workbook.storage.trouble import InUse, StorageTrouble
from workbook.storage.unsaved import Unreadable, kept_name, look_over
from workbook.system.locks import Lock
from workbook.tasks.recent import Used, sessions_folder, used_lately
from workbook.tasks.work import empty_work, gone_on_with, unsaved, work_at, work_in
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.tasks import demo
else:
    (demo,) = modules("tasks.demo")

_NOTE, _TURN = "opening.json", "start.lock"
_PATIENCE, _LOOK = 10.0, 0.05  # s to wait for another start; between two looks


class NotOpened(Struct, frozen=True):
    """Work that was not opened, and why; it stays where it is."""

    used: Used
    name: str
    why: str


class Start(Struct, frozen=True):
    """What a window begins with."""

    session: Session
    not_opened: NotOpened | None = None
    unreadable: tuple[Unreadable, ...] = ()


def one_at_a_time() -> Lock | None:
    """The lock for starting, held until the window listens, so that a second start finds it; None if it cannot be taken."""
    until = time.monotonic() + _PATIENCE
    try:
        lock = Lock(data_folder() / _TURN)
        while not lock.take():
            if time.monotonic() > until:
                return None
            time.sleep(_LOOK)
    except OSError:
        return None
    return lock


def start_usual(empty: Callable[[], Session] = empty_work) -> Start:
    """Open the last work, or the demo if there never was any; an empty workbook, with the reason, if it cannot be opened.

    Raises InUse if another window has it open.
    """
    sessions = look_over(sessions_folder())
    unreadable = tuple(session for session in sessions if isinstance(session, Unreadable))
    last = _last()
    if last is None:
        return Start(_demo() if not unreadable else empty(), None, unreadable)
    if (last.session is not None and any(last.session == session.file for session in unreadable)) or _note() == _name(last):
        reason = next(
            (session.why for session in unreadable if session.file == last.session), _("It did not open at the last start.")
        )
        return Start(empty(), NotOpened(last, _said(last), reason), unreadable)
    note_opening(last)
    try:
        return Start(opened(last), None, unreadable)
    except InUse:
        opening_ended()
        raise
    except StorageTrouble as trouble:
        opening_ended()
        return Start(empty(), NotOpened(last, _said(last), str(trouble)), unreadable)


def without(session: Session, why: str, empty: Callable[[], Session] = empty_work) -> Start:
    """An empty workbook in place of work that could not be shown, which is closed and kept."""
    used, name = used_of(session), session.document.settings.name
    session.close()
    return Start(empty(), NotOpened(used, name, why))


def opened(used: Used) -> Session:
    """Open something used before. Raises StorageTrouble if it cannot be opened."""
    if used.path is not None:
        return work_at(used.path)
    assert used.session is not None
    return gone_on_with(used.session)


def used_of(session: Session) -> Used:
    """The entry for a session in the list of recent work."""
    return Used(path=session.path) if session.path is not None else Used(session=session.file)


def _last() -> Used | None:
    """The latest work used that still exists; else the latest without a file."""
    sessions = unsaved()
    recent = [used for used in used_lately() if used.there or any(session.path == used.path for session in sessions if used.path)]
    if recent:
        return _where(recent[0])
    return Used(session=sessions[0].file) if sessions else None


def _where(used: Used) -> Used:
    """Where the work is: in its session, if its file is gone."""
    if used.there:
        return used
    return next((Used(session=session.file) for session in unsaved() if session.path == used.path), used)


def _said(used: Used) -> str:
    if used.path is not None:
        return used.path.name
    session = next((item for item in unsaved() if item.file == used.session), None)
    return session.name if session and session.name else _("Work without a file")


def _demo() -> Session:
    return work_in(demo.demo_document())


def note_opening(used: Used) -> None:
    """Write the note of what is being opened. A failure to write it is ignored."""
    try:
        keep_data(_NOTE, encode(_name(used)))
    except OSError:
        return


def opening_ended() -> None:
    """Remove the note: the work is open, or the reason why not was reported."""
    try:
        (data_folder() / _NOTE).unlink(missing_ok=True)
    except OSError:
        return


def _note() -> str:
    try:
        name = decode(kept_data(_NOTE))
    except (OSError, ValueError):
        return ""
    return name if isinstance(name, str) else ""


def _name(used: Used) -> str:
    return kept_name(used.path or used.session)
