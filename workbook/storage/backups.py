"""Copies of each workbook: the last ten, close together for today and far apart for long ago, and one before every update.

A copy is a workbook's file like any other. It is restored as new work, never over what is there.
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
MOST_BYTES = 600_000_000  # of all copies of one workbook; the newest two stay
_SOON = 60.0  # s; copies of one minute are alike
_NAME = re.compile(
    r"(\d{4}-\d\d-\d\d \d\d\.\d\d\.\d\d)( before update)? ([0-9a-f]{8}) (.*)" + f"({SUFFIX}|{SESSION})".replace(".", r"\.")
)
_STAMP = "%Y-%m-%d %H.%M.%S"


class Backup(Struct, frozen=True):
    """A copy: of which workbook, made when (local time), the workbook's name then, whether it was made before an update.

    One of work that had no file, or more than its file, is a session.
    """

    file: Path
    book: str
    made: datetime.datetime
    name: str
    before_update: bool
    size: int
    written: int  # ns, as the disk has it: of two of one second the later


def folder_of(sessions: Path) -> Path:
    """Where the copies of work lie that is kept in a folder of sessions."""
    return sessions / "backups" if sessions.name == BESIDE else sessions.parent / "backups"


def kept(folder: Path) -> list[Backup]:
    """All copies, the newest first."""
    books = [own for own in sorted(folder.glob("*")) if is_own(own)] if is_own(folder) else []
    found = [backup for own in books for file in own.glob("*") if (backup := _backup(file)) is not None]
    return sorted(found, key=lambda backup: (backup.made, backup.written), reverse=True)


def _backup(file: Path) -> Backup | None:
    match = _NAME.fullmatch(file.name)
    try:
        made = datetime.datetime.strptime(match[1], _STAMP) if match else None
        found = file.lstat()
    except (ValueError, OSError):
        return None
    if match is None or made is None or not stat.S_ISREG(found.st_mode) or distrust(found):
        return None
    return Backup(file, file.parent.name, made, match[4], match[2] is not None, found.st_size, found.st_mtime_ns)


def keep(
    folder: Path, book: str, name: str, data: bytes, now: datetime.datetime, *, before_update: bool = False, suffix: str = SUFFIX
) -> None:
    """Keeps a copy, unless the same bytes are kept, and lets go of what is too many. StorageTrouble; OSError."""
    own = own_folder(own_folder(folder) / book)
    mark = digest(data)[:8]
    if any(_NAME.fullmatch(file.name) and f" {mark} " in file.name for file in own.glob("*")):
        return
    plain = "".join(c if c.isalnum() or c in " -_" else " " for c in name).strip()[:60] or "workbook"
    word = " before update" if before_update else ""
    replace_whole(own / f"{now.strftime(_STAMP)}{word} {mark} {plain}{suffix}", data, MISSING, private=True)
    _thin([backup for backup in kept(folder) if backup.book == book and not backup.before_update], now)


def due(folder: Path, book: str, now: datetime.datetime) -> bool:
    """Whether the newest copy is old enough for another; also where the clock went back."""
    own = [backup.made for backup in kept(folder) if backup.book == book and not backup.before_update]
    return not own or not 0 <= (now - own[0]).total_seconds() < EVERY


def _thin(copies: Sequence[Backup], now: datetime.datetime) -> None:
    ages = [(now - copy.made).total_seconds() for copy in copies]
    for n in dropped(ages, [copy.size for copy in copies]):
        with suppress(OSError):
            copies[n].file.unlink(missing_ok=True)


def dropped(ages: Sequence[float], sizes: Sequence[int]) -> list[int]:
    """Which copies go, by their ages in s (newest first) and bytes: of any three in a row the middle one that is missed least."""
    left, gone = list(range(len(ages))), []
    while len(left) > MOST or (len(left) > 2 and sum(sizes[n] for n in left) > MOST_BYTES):
        spread = [max(ages[n], 0.0) + _SOON for n in left]
        least = min(range(1, len(left) - 1), key=lambda i: spread[i + 1] / spread[i - 1])
        gone.append(left.pop(least))
    return gone
