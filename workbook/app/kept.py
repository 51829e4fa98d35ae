"""The window's state kept between starts: size, look and page, the room on the screen; and reports of errors."""

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
    """The size in logical pixels, the theme ("" for the system's), and the name of the current page."""

    width: int = 1440
    height: int = 900
    theme: str = ""
    text: float = 1.0
    page: str = "draw"
    screen: float = 96 / 25.4  # logical pixels to a mm


class _Typed(Struct, frozen=True):
    """Unfinished lines typed in one piece of work, by line name."""

    work: str
    lines: dict[str, str]


def window_state() -> WindowState:
    """Read the state of the window; use the defaults for values that are unreadable or out of range."""
    try:
        data = decode(kept_data("window.json"))
        values = {f.name: data[f.name] for f in fields(WindowState) if type(data.get(f.name)) is type(f.default)}
    except (OSError, ValueError, AttributeError):
        return WindowState()
    state = WindowState(**values)
    valid = (
        1.0 <= state.screen <= 15.0
        and 400 <= state.width <= 10_000
        and 300 <= state.height <= 10_000
        and 0.8 <= state.text <= 2.0
    )
    return state if valid and state.theme in ("", "light", "dark") else WindowState()


def keep_window(state: WindowState) -> None:
    """Keep the state of the window; a failure to write does no harm."""
    try:
        keep_data("window.json", encode(state))
    except OSError:
        return


def export_choices() -> dict[str, str | bool]:
    """The last choices in the export dialog; empty if they cannot be read."""
    try:
        data = decode(kept_data("export.json"))
    except (OSError, ValueError):
        return {}
    return {k: v for k, v in data.items() if isinstance(v, str | bool)} if isinstance(data, dict) else {}


def keep_export_choices(choices: dict[str, str | bool]) -> None:
    """Keep the choices; a failure to write does no harm."""
    try:
        keep_data("export.json", encode(choices))
    except OSError:
        return


def lines_typed(work: Path | None) -> dict[str, str]:
    """The text typed in this work's lines and not yet added, by line name; empty if it cannot be read."""
    try:
        data = decode(kept_data("typed.json"), type=_Typed)
    except (OSError, ValueError):
        return {}
    return data.lines if data.work == kept_name(work) else {}


def keep_lines_typed(work: Path | None, lines: dict[str, str]) -> None:
    """Keep the lines; a failure to write does no harm."""
    try:
        keep_data("typed.json", encode(_Typed(kept_name(work), lines)))
    except OSError:
        return


def report(kind: type[BaseException], trouble: BaseException, trace: TracebackType | None) -> Path | None:
    """Write an error report to the data folder, for the maker to send if he likes. Return None when it cannot be written."""
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
    """The size of a window, limited to the screen's room beside the system's own bars."""
    return QSize(width, height).boundedTo(window.screen().availableSize() - _FRAME)
