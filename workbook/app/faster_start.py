"""Shorten the start of the window by a fifth without changing anything else. A shortcut that does not work is skipped.

- Modules are not garbage: collection is off until the window is shown.
- PySide compiles Python source stored in its libraries at every start: the compiled code is cached.
- PySide builds 200 enums, with 2000 names, for the parts the window uses, and Python can build them in a fast or a slow way.
- msgspec tries to import a large library that it does not need: the import fails at once.
- PySide replaces Python's import with its own, which reads the source of every module to look for a feature that is not used
  here: the original is restored.
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
_simple: Any = getattr(enum, "_simple_enum", None)  # the way the enum module builds the standard library's enums


def start_faster() -> None:
    """Import PySide's core as fast as possible. Call it before any other import of Qt."""
    gc.disable()
    _make_enums_quickly()
    file = _kept_file()
    with kept_code(file) if file else nullcontext():
        import PySide6.QtCore  # noqa: F401  # while its code is cached
    builtins.__import__ = getattr(builtins, "__orig_import__", builtins.__import__)
    with missing("typing_extensions"):
        import msgspec  # noqa: F401  # while the library is missing


def started_before() -> bool:
    """Whether Qt's core was loaded here once, by this Python."""
    file = _kept_file()
    return file is not None and file.is_file()


def _kept_file() -> Path | None:
    cache = own_cache()
    return cache / f"qt-{sys.implementation.cache_tag}-{sys.flags.optimize}.code" if cache else None


def have_time() -> None:
    """Restore Python's behaviour once the window is shown, except for garbage collection; see app/collecting.py."""
    enum.EnumType._create_ = _of_names  # type: ignore[attr-defined]
    gc.freeze()


def _make_enums_quickly() -> None:
    """Use the fast way if this Python has it and a sample comes out right: it is internal to Python and may change."""
    enum.EnumType._create_ = enum_of_names  # type: ignore[attr-defined]
    try:
        kind: Any = enum.IntFlag
        sample = kind("Sample", [("A", 1), ("B", 2)], boundary=enum.FlagBoundary.KEEP)
        right = [(m.name, m.value) for m in sample] == [("A", 1), ("B", 2)] and sample(7) == sample.A | sample.B | 4
    except Exception:  # noqa: BLE001  # another Python may raise anything
        right = False
    if not right:
        enum.EnumType._create_ = _of_names  # type: ignore[attr-defined]


def enum_of_names(kind: Any, class_name: str, names: Any, *, boundary: Any = None, **options: Any) -> Any:
    """Build the class `kind(class_name, names)` in half the time, if `names` are pairs of a name and a number, as in PySide.

    Takes the arguments of `EnumType._create_`, which it replaces during the start.
    """
    plain = options == {"module": None, "qualname": None, "type": None, "start": 1} and boundary is enum.FlagBoundary.KEEP
    if _simple is None or not plain or not _are_plain_pairs(names):
        return _of_names(kind, class_name, names, boundary=boundary, **options)
    body = dict(names) | {"__module__": sys._getframe(2).f_globals.get("__name__")}  # the module name that Python would find
    enum_class = _simple(kind, boundary=boundary)(type(class_name, (), body))
    enum_class.__doc__ = None
    return enum_class


def _are_plain_pairs(names: Any) -> bool:
    """Whether all are pairs of a name without special meaning to an enum and a number."""
    if type(names) is not list or not all(type(pair) is tuple for pair in names):
        return False
    return all(type(value) is int and name[0] != "_" for name, value in names)


@contextmanager
def missing(library: str) -> Iterator[None]:
    """Make a library that is not yet imported impossible to import, within the context."""
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
    """Cache compiled module code in `file`, within the context, so that each source is compiled once on a machine.

    An error in reading or writing the file costs the time to compile and nothing else. Nothing is written where Python was
    told to write no bytecode, unless that is because the program is packed and Python's own cannot be written beside it.
    """
    cached, current, plain = _read(file), _Code(), builtins.compile

    def compiled(source: Any, name: Any, mode: str, *extra: Any, **options: Any) -> Any:
        if extra or options or mode != "exec" or type(source) is not bytes:
            return plain(source, name, mode, *extra, **options)
        features = sys._getframe(1).f_code.co_flags & _FEATURES  # the flags of the calling module apply to what it compiles
        key = (name, features, source_hash(source))
        current[key] = cached.get(key) or plain(source, name, mode, features, True)
        return current[key]

    builtins.compile = compiled  # type: ignore[assignment]
    try:
        yield
    finally:
        builtins.compile = plain
    if current.keys() - cached.keys() and (hasattr(sys, "frozen") or not sys.dont_write_bytecode):
        _write(file, current)


def _read(file: Path) -> _Code:
    """The cached code; empty when the file is damaged or from another Python."""
    with suppress(OSError, ValueError, EOFError, TypeError):
        content = read_own(file)
        head, body = content[: len(_head(b""))], memoryview(content)[len(_head(b"")) :]
        if head == _head(body):
            return marshal.loads(body)
    return {}


def _write(file: Path, code: _Code) -> None:
    """Write all of the code or nothing."""
    body = marshal.dumps(code)
    with suppress(OSError):
        replace_file(file, _head(body) + body, private=True)


def _head(body: bytes | memoryview) -> bytes:
    """The header before the code: the Python version and a checksum."""
    return MAGIC_NUMBER + zlib.crc32(body).to_bytes(4, "little")
