"""What a window opens on: what was worked on last, the demo at a first start; never again by itself what did not open last time.

While something is being opened its name stands in a note. A start that finds the note knows that this one ended in the middle (a
crash, a window that never came), leaves it alone, says so and begins with an empty workbook.
"""

import time
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.json import decode, encode

from workbook.document.document import Document
from workbook.document.records import SettingsRecord, TemplateRecord
from workbook.formats.family import family, family_ids
from workbook.later import modules
from workbook.paths import data_folder, keep_data, kept_data
from workbook.storage.session import Session
from workbook.storage.trouble import InUse, StorageTrouble
from workbook.storage.unsaved import Unreadable, kept_name, look_over
from workbook.system.locks import Lock
from workbook.tasks.recent import Used, sessions_folder, used_lately
from workbook.tasks.work import gone_on_with, new_id, unsaved, work_at, work_in
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.tasks import demo
else:
    (demo,) = modules("tasks.demo")

_NOTE, _TURN = "opening.json", "start.lock"
_PATIENCE, _LOOK = 10.0, 0.05  # s to wait for another start; between two looks


class NotOpened(Struct, frozen=True):
    """What was not opened, and why; it is kept where it is."""

    used: Used
    name: str
    why: str


class Start(Struct, frozen=True):
    """What a window begins with."""

    session: Session
    not_opened: NotOpened | None = None
    unreadable: tuple[Unreadable, ...] = ()


def one_at_a_time() -> Lock | None:
    """The right to start: held until the window listens, so that a second start finds it. None where it cannot be had."""
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


def start_usual() -> Start:
    """What was worked on last; the demo where nothing ever was. An empty workbook, and why, where it cannot be opened.

    InUse when another window has it.
    """
    found = look_over(sessions_folder())
    unreadable = tuple(one for one in found if isinstance(one, Unreadable))
    last = _last()
    if last is None:
        return Start(_demo() if not unreadable else empty_work(), None, unreadable)
    if (last.session is not None and any(last.session == one.file for one in unreadable)) or _note() == _name(last):
        why = next((one.why for one in unreadable if one.file == last.session), _("It did not open at the last start."))
        return Start(empty_work(), NotOpened(last, _said(last), why), unreadable)
    note_opening(last)
    try:
        return Start(opened(last), None, unreadable)
    except InUse:
        opening_ended()
        raise
    except StorageTrouble as trouble:
        opening_ended()
        return Start(empty_work(), NotOpened(last, _said(last), str(trouble)), unreadable)


def without(session: Session, why: str) -> Start:
    """An empty workbook in the place of work that could not be shown, which is let go and kept."""
    used, name = used_of(session), session.document.settings.name
    session.close()
    return Start(empty_work(), NotOpened(used, name, why))


def opened(used: Used) -> Session:
    """Work on something used before. StorageTrouble when it cannot be opened."""
    if used.path is not None:
        return work_at(used.path)
    assert used.session is not None
    return gone_on_with(used.session)


def used_of(session: Session) -> Used:
    """How a piece of work is known."""
    return Used(path=session.path) if session.path is not None else Used(session=session.file)


def _last() -> Used | None:
    """What was used last and is there; else the last of work that has no file."""
    left = unsaved()
    known = [used for used in used_lately() if used.there or any(one.path == used.path for one in left if used.path)]
    if known:
        return _where(known[0])
    return Used(session=left[0].file) if left else None


def _where(used: Used) -> Used:
    """Work whose file is gone lies in its session."""
    if used.there:
        return used
    return next((Used(session=one.file) for one in unsaved() if one.path == used.path), used)


def _said(used: Used) -> str:
    if used.path is not None:
        return used.path.name
    left = next((one for one in unsaved() if one.file == used.session), None)
    return left.name if left and left.name else _("Work without a file")


def _demo() -> Session:
    return work_in(demo.demo_document())


def empty_work() -> Session:
    """New work with one template to begin with and nothing else."""
    first = TemplateRecord(id=new_id(), place=0.0, family=family(family_ids()[0]))
    return work_in(Document({record.id: record for record in (SettingsRecord(), first)}))


def note_opening(used: Used) -> None:
    """Writes down what is being opened. That it cannot be written harms nothing."""
    try:
        keep_data(_NOTE, encode(_name(used)))
    except OSError:
        return


def opening_ended() -> None:
    """It is open, or it was said why not."""
    try:
        (data_folder() / _NOTE).unlink(missing_ok=True)
    except OSError:
        return


def _note() -> str:
    try:
        found = decode(kept_data(_NOTE))
    except (OSError, ValueError):
        return ""
    return found if isinstance(found, str) else ""


def _name(used: Used) -> str:
    return kept_name(used.path or used.session)
