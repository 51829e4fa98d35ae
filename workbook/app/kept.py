"""How the window was: its size, look and page, kept between starts, and the room there is for it; reports of what went wrong."""

import platform
import sys
import traceback
from datetime import datetime
from pathlib import Path
from types import TracebackType

from msgspec import Struct
from msgspec.json import decode, encode
from msgspec.structs import fields
from PySide6.QtCore import QSize
from PySide6.QtWidgets import QWidget

from workbook import __version__
from workbook.paths import data_folder, keep_data, kept_data
from workbook.storage.unsaved import kept_name
from workbook.system.owners import own_folder
from workbook.texts import _

_FRAME = QSize(16, 48)  # px: borders, and a bar with the title


class WindowState(Struct, frozen=True):
    """Size in logical pixels; theme "" is the system's; the name of the page that showed."""

    width: int = 1440
    height: int = 900
    theme: str = ""
    text: float = 1.0
    page: str = "draw"
    screen: float = 96 / 25.4  # logical pixels to a mm


class _Typed(Struct, frozen=True):
    """Lines that were typed in some work, by their names."""

    work: str
    lines: dict[str, str]


def window_state() -> WindowState:
    """As it was kept; the defaults for what cannot be read or makes no sense."""
    try:
        found = decode(kept_data("window.json"))
        known = {f.name: found[f.name] for f in fields(WindowState) if type(found.get(f.name)) is type(f.default)}
    except (OSError, ValueError, AttributeError):
        return WindowState()
    state = WindowState(**known)
    sound = (
        1.0 <= state.screen <= 15.0
        and 400 <= state.width <= 10_000
        and 300 <= state.height <= 10_000
        and 0.8 <= state.text <= 2.0
    )
    return state if sound and state.theme in ("", "light", "dark") else WindowState()


def keep_window(state: WindowState) -> None:
    """Keeps it; that it cannot be written harms nothing."""
    try:
        keep_data("window.json", encode(state))
    except OSError:
        return


def export_choices() -> dict[str, str | bool]:
    """What was chosen in the export dialog last; nothing where it cannot be read."""
    try:
        found = decode(kept_data("export.json"))
    except (OSError, ValueError):
        return {}
    return {k: v for k, v in found.items() if isinstance(v, str | bool)} if isinstance(found, dict) else {}


def keep_export_choices(choices: dict[str, str | bool]) -> None:
    """Keeps it; that it cannot be written harms nothing."""
    try:
        keep_data("export.json", encode(choices))
    except OSError:
        return


def lines_typed(work: Path | None) -> dict[str, str]:
    """What was typed in a line of this work and not added yet, by the line's name; nothing where it cannot be read."""
    try:
        found = decode(kept_data("typed.json"), type=_Typed)
    except (OSError, ValueError):
        return {}
    return found.lines if found.work == kept_name(work) else {}


def keep_lines_typed(work: Path | None, lines: dict[str, str]) -> None:
    """Keeps it; that it cannot be written harms nothing."""
    try:
        keep_data("typed.json", encode(_Typed(kept_name(work), lines)))
    except OSError:
        return


def report(kind: type[BaseException], trouble: BaseException, trace: TracebackType | None) -> Path | None:
    """Writes what went wrong into the data folder, for the maker to send if he likes; None when it cannot be written."""
    moment = datetime.now()
    lines = [
        _("Maker's Workbook {version}, {moment:%Y-%m-%d %H:%M:%S}", version=__version__, moment=moment),
        _("{platform}, Python {split}", platform=platform.platform(), split=sys.version.split()[0]),
        "",
        *traceback.format_exception(kind, trouble, trace),
    ]
    try:
        file = own_folder(data_folder() / "reports") / f"{moment:%Y-%m-%d %H.%M.%S.%f}.txt"
        keep_data(f"reports/{file.name}", "\n".join(lines).encode("utf-8", "replace"))
    except OSError:
        return None
    return file


def fitting(window: QWidget, width: int, height: int) -> QSize:
    """A size for a window, no larger than the screen it opens on has room for beside the system's own bars."""
    return QSize(width, height).boundedTo(window.screen().availableSize() - _FRAME)
