"""Recent work, latest first: workbooks by their path, and work without a file by its session.

The order is that of use, independent of the clock.
"""

from pathlib import Path

from msgspec import Struct
from msgspec.json import decode, encode

from workbook.paths import keep_data, kept_data
from workbook.storage.unsaved import kept_name, named_path
from workbook.system.folders import data_place

_FILE, _MOST = "recent.json", 12
_SESSION = "session:"


class Used(Struct, frozen=True):
    """Something worked on: a workbook at a path, or a session without one."""

    path: Path | None = None
    session: Path | None = None

    @property
    def there(self) -> bool:
        """Whether its file still exists."""
        path = self.path or self.session
        return path is not None and path.is_file()


def sessions_folder() -> Path:
    """The folder for work that may not have reached its file; code that reads or writes there checks who owns it."""
    return data_place() / "sessions"


def used_lately() -> list[Used]:
    """All remembered work, latest first, including what is gone; empty if the list cannot be read."""
    try:
        names = decode(kept_data(_FILE))
        return [_used(name) for name in names if isinstance(name, str) and name] if isinstance(names, list) else []
    except (OSError, ValueError):
        return []


def _used(name: str) -> Used:
    if name.startswith(_SESSION):
        return Used(session=sessions_folder() / Path(name.removeprefix(_SESSION)).name)
    return Used(path=named_path(name))


def recent() -> list[Path]:
    """Workbooks used lately, latest first; those that are gone are left out."""
    return [used.path for used in used_lately() if used.path is not None and used.there]


def remember(path: Path | None, session: Path | None = None) -> None:
    """Put a workbook, or a session without a file, first in the list of recent work. A failure to write the list is ignored."""
    first = Used(path=path.absolute()) if path is not None else Used(session=session)
    history = used_lately()
    if history[:1] == [first]:
        return
    entries = [first, *(entry for entry in history if entry != first and entry.there)][:_MOST]
    names = [
        kept_name(entry.path) if entry.path is not None else f"{_SESSION}{entry.session.name if entry.session else ''}"
        for entry in entries
    ]
    try:
        keep_data(_FILE, encode(names))
    except OSError:
        return
