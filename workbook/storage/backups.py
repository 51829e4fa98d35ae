"""Backups of each workbook: up to ten, closely spaced for today and far apart for long ago, and one before every update.

A backup is a workbook's file like any other. It is restored as a new workbook, never over an existing one.
"""

import datetime
import re
import stat
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from msgspec import Struct

from workbook.storage.file import SUFFIX, digest
from workbook.storage.publishing import MISSING, replace_whole
from workbook.storage.unsaved import BESIDE, SESSION
from workbook.system.owners import distrust, is_own, own_folder

MOST = 10
EVERY = 3600.0  # s between two copies while work goes on
MOST_BYTES = 600_000_000  # of all backups of one workbook; the newest two always stay
_SOON = 60.0  # s; backups within a minute count as equally old
_NAME = re.compile(
    r"(\d{4}-\d\d-\d\d \d\d\.\d\d\.\d\d)( before update)? ([0-9a-f]{8}) (.*)" + f"({SUFFIX}|{SESSION})".replace(".", r"\.")
)
_STAMP = "%Y-%m-%d %H.%M.%S"


class Backup(Struct, frozen=True):
    """A backup: its workbook, when it was made (local time), the workbook's name then, and whether it preceded an update.

    A backup of work that had no file, or had unsaved changes, is a session.
    """

    file: Path
    book: str
    made: datetime.datetime
    name: str
    before_update: bool
    size: int
    written: int  # ns, as the file system has it: orders backups of the same second


def folder_of(sessions: Path) -> Path:
    """The folder of the backups that belong to a folder of sessions."""
    return sessions / "backups" if sessions.name == BESIDE else sessions.parent / "backups"


def kept(folder: Path) -> list[Backup]:
    """All backups, newest first."""
    books = [book for book in sorted(folder.glob("*")) if is_own(book)] if is_own(folder) else []
    copies = [backup for book in books for file in book.glob("*") if (backup := _backup(file)) is not None]
    return sorted(copies, key=lambda backup: (backup.made, backup.written), reverse=True)


def _backup(file: Path) -> Backup | None:
    match = _NAME.fullmatch(file.name)
    try:
        moment = datetime.datetime.strptime(match[1], _STAMP) if match else None
        status = file.lstat()
    except (ValueError, OSError):
        return None
    if match is None or moment is None or not stat.S_ISREG(status.st_mode) or distrust(status):
        return None
    return Backup(file, file.parent.name, moment, match[4], match[2] is not None, status.st_size, status.st_mtime_ns)


def keep(
    folder: Path, book: str, name: str, data: bytes, now: datetime.datetime, *, before_update: bool = False, suffix: str = SUFFIX
) -> None:
    """Keep a backup, unless the same bytes are already kept, and delete surplus ones. StorageTrouble; OSError."""
    book_folder = own_folder(own_folder(folder) / book)
    mark = digest(data)[:8]
    if any(_NAME.fullmatch(file.name) and f" {mark} " in file.name for file in book_folder.glob("*")):
        return
    plain = "".join(c if c.isalnum() or c in " -_" else " " for c in name).strip()[:60] or "workbook"
    word = " before update" if before_update else ""
    replace_whole(book_folder / f"{now.strftime(_STAMP)}{word} {mark} {plain}{suffix}", data, MISSING, private=True)
    _thin([backup for backup in kept(folder) if backup.book == book and not backup.before_update], now)


def due(folder: Path, book: str, now: datetime.datetime) -> bool:
    """Whether the newest backup is an hour old or more, dated in the future (the clock went back), or missing."""
    times = [backup.made for backup in kept(folder) if backup.book == book and not backup.before_update]
    return not times or not 0 <= (now - times[0]).total_seconds() < EVERY


def _thin(copies: Sequence[Backup], now: datetime.datetime) -> None:
    ages = [(now - copy.made).total_seconds() for copy in copies]
    for n in dropped(ages, [copy.size for copy in copies]):
        with suppress(OSError):
            copies[n].file.unlink(missing_ok=True)


def dropped(ages: Sequence[float], sizes: Sequence[int]) -> list[int]:
    """The indices of the backups to delete, from their ages (s, newest first) and sizes (bytes).

    Each is the middle one of three in a row whose neighbours' ages are in the smallest ratio.
    """
    remaining, removals = list(range(len(ages))), []
    while len(remaining) > MOST or (len(remaining) > 2 and sum(sizes[n] for n in remaining) > MOST_BYTES):
        spread = [max(ages[n], 0.0) + _SOON for n in remaining]
        least = min(range(1, len(remaining) - 1), key=lambda i: spread[i + 1] / spread[i - 1])
        removals.append(remaining.pop(least))
    return removals
