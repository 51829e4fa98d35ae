"""What was worked on lately, the last first: workbooks by their path, and work without a file by its session.

The order is that of use, whatever the clock says.
"""

from pathlib import Path

from msgspec import Struct
from msgspec.json import decode, encode

from workbook.paths import data_place, keep_data, kept_data
from workbook.storage.unsaved import kept_name, named_path

_FILE, _MOST = "recent.json", 12
_SESSION = "session:"


class Used(Struct, frozen=True):
    """Something worked on: a workbook at a path, or a session without one."""

    path: Path | None = None
    session: Path | None = None

    @property
    def there(self) -> bool:
        """Whether it is there still."""
        found = self.path or self.session
        return found is not None and found.is_file()


def sessions_folder() -> Path:
    """Where work is kept that may not have reached its file; who reads or writes there looks whose it is."""
    return data_place() / "sessions"


def used_lately() -> list[Used]:
    """All that is remembered, the last first, also what is gone; nothing where it cannot be read."""
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
    """Workbooks used lately, the last first; those that are gone are left out."""
    return [used.path for used in used_lately() if used.path is not None and used.there]


def remember(path: Path | None, session: Path | None = None) -> None:
    """Puts a workbook, or a session without a file, first among what was used lately. That it cannot be written harms nothing."""
    first = Used(path=path.absolute()) if path is not None else Used(session=session)
    before = used_lately()
    if before[:1] == [first]:
        return
    kept = [first, *(one for one in before if one != first and one.there)][:_MOST]
    names = [
        kept_name(one.path) if one.path is not None else f"{_SESSION}{one.session.name if one.session else ''}" for one in kept
    ]
    try:
        keep_data(_FILE, encode(names))
    except OSError:
        return
