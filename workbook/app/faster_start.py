"""What makes the start of the window a fifth shorter and changes nothing else. Whatever of it does not work is left out.

- Modules are not garbage: nothing is collected until the window stands.
- PySide carries Python source inside its libraries and compiles it anew at every start: what comes of it is kept.
- PySide makes 200 enums, with 2000 names, of what the window uses, and Python has a quick way and a slow one to make one.
- msgspec asks for a large library that it does without, and is told that there is none.
- PySide puts an import of its own in the place of Python's, which reads the source of every module, to look for a feature
  that is used nowhere here: that is undone.
"""

import __future__

import builtins
import enum
import gc
import marshal
import sys
import zlib
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext, suppress
from importlib.util import MAGIC_NUMBER, source_hash
from pathlib import Path
from types import CodeType
from typing import Any

from workbook.paths import own_cache
from workbook.system.owners import read_own
from workbook.system.replacing import replace_file

_Code = dict[tuple[str, int, bytes], CodeType]  # by name, features and hash of the source
_FEATURES = __future__.annotations.compiler_flag
_of_names: Any = enum.EnumType._create_  # type: ignore[attr-defined]  # Python's own way from names to an enum
_simple: Any = getattr(enum, "_simple_enum", None)  # the way that its library takes for its own enums


def start_faster() -> None:
    """Brings PySide's core, as fast as can be. To be called before anything else of Qt is imported."""
    gc.disable()
    _make_enums_quickly()
    cache, python = own_cache(), f"{sys.implementation.cache_tag}-{sys.flags.optimize}"
    with kept_code(cache / f"qt-{python}.code") if cache else nullcontext():
        import PySide6.QtCore  # noqa: F401  # while its code is kept
    builtins.__import__ = getattr(builtins, "__orig_import__", builtins.__import__)
    with missing("typing_extensions"):
        import msgspec  # noqa: F401  # while the library is missing


def have_time() -> None:
    """The window stands: all is as ever again, but that no collection walks what stands; app/collecting.py sees to them."""
    enum.EnumType._create_ = _of_names  # type: ignore[attr-defined]
    gc.freeze()


def _make_enums_quickly() -> None:
    """The quick way where this Python has it and a sample comes out right; it is Python's own affair, and may change."""
    enum.EnumType._create_ = enum_of_names  # type: ignore[attr-defined]
    try:
        kind: Any = enum.IntFlag
        made = kind("Sample", [("A", 1), ("B", 2)], boundary=enum.FlagBoundary.KEEP)
        right = [(m.name, m.value) for m in made] == [("A", 1), ("B", 2)] and made(7) == made.A | made.B | 4
    except Exception:  # noqa: BLE001  # whatever another Python says
        right = False
    if not right:
        enum.EnumType._create_ = _of_names  # type: ignore[attr-defined]


def enum_of_names(kind: Any, class_name: str, names: Any, *, boundary: Any = None, **rest: Any) -> Any:
    """The class that `kind(class_name, names)` makes, in half the time for what PySide gives: pairs of a name and a number.

    It takes what `EnumType._create_` takes, whose place it has for a while.
    """
    plain = rest == {"module": None, "qualname": None, "type": None, "start": 1} and boundary is enum.FlagBoundary.KEEP
    if _simple is None or not plain or not _are_plain_pairs(names):
        return _of_names(kind, class_name, names, boundary=boundary, **rest)
    body = dict(names) | {"__module__": sys._getframe(2).f_globals.get("__name__")}  # as Python finds it
    made = _simple(kind, boundary=boundary)(type(class_name, (), body))
    made.__doc__ = None
    return made


def _are_plain_pairs(names: Any) -> bool:
    """Whether they are pairs, of names that mean nothing to an enum, and numbers."""
    if type(names) is not list or not all(type(pair) is tuple for pair in names):
        return False
    return all(type(value) is int and name[0] != "_" for name, value in names)


@contextmanager
def missing(library: str) -> Iterator[None]:
    """Within it, a library that was not imported yet is not there to import."""
    modules: dict[str, Any] = sys.modules
    if library in modules:
        yield
        return
    modules[library] = None
    try:
        yield
    finally:
        del modules[library]


@contextmanager
def kept_code(file: Path) -> Iterator[None]:
    """Within it, a module's source is compiled once on a machine, and the code kept in `file`.

    Whatever is wrong with the file, or with writing it, costs the time to compile and nothing else. Nothing is written where
    Python was told to write no bytecode.
    """
    kept, used, plain = _read(file), _Code(), builtins.compile

    def compiled(source: Any, name: Any, mode: str, *rest: Any, **named: Any) -> Any:
        if rest or named or mode != "exec" or type(source) is not bytes:
            return plain(source, name, mode, *rest, **named)
        features = sys._getframe(1).f_code.co_flags & _FEATURES  # a module's own count for what it compiles
        key = (name, features, source_hash(source))
        used[key] = kept.get(key) or plain(source, name, mode, features, True)
        return used[key]

    builtins.compile = compiled  # type: ignore[assignment]
    try:
        yield
    finally:
        builtins.compile = plain
    if used.keys() - kept.keys() and not sys.dont_write_bytecode:
        _write(file, used)


def _read(file: Path) -> _Code:
    """What is kept; nothing when it is damaged or another Python's."""
    with suppress(OSError, ValueError, EOFError, TypeError):
        content = read_own(file)
        head, body = content[: len(_head(b""))], memoryview(content)[len(_head(b"")) :]
        if head == _head(body):
            return marshal.loads(body)
    return {}


def _write(file: Path, code: _Code) -> None:
    """Keeps it, whole or not at all."""
    body = marshal.dumps(code)
    with suppress(OSError):
        replace_file(file, _head(body) + body, private=True)


def _head(body: bytes | memoryview) -> bytes:
    """What stands before the code: which Python reads it, and a check sum."""
    return MAGIC_NUMBER + zlib.crc32(body).to_bytes(4, "little")
