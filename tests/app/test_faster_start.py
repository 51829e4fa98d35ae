"""What shortens the start changes nothing else: the same code, the same enums as Python makes of itself."""

import builtins
import enum
import os
import subprocess
import sys
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from typing import Any

import PySide6.QtCore
import PySide6.QtGui
import PySide6.QtNetwork
import PySide6.QtPrintSupport
import PySide6.QtSvg
import PySide6.QtWidgets
import pytest

from tests.counts import some
from workbook.app import faster_start
from workbook.app.faster_start import enum_of_names, kept_code, missing

PLACES = [
    PySide6.QtCore, PySide6.QtGui, PySide6.QtWidgets, PySide6.QtNetwork, PySide6.QtSvg, PySide6.QtPrintSupport,
]  # fmt: skip
SOURCE = b"value = 6 * 7\n"


def compiled(file: Path, source: bytes = SOURCE) -> tuple[int, int]:
    """The value that the source gives, and how often Python had to compile for it."""
    plain, times = builtins.compile, 0

    def counted(*given: Any, **named: Any) -> Any:
        nonlocal times
        times += 1
        return plain(*given, **named)

    builtins.compile = counted  # type: ignore[assignment]
    try:
        with kept_code(file):
            code = compile(source, "some.py", "exec")
    finally:
        builtins.compile = plain
    space: dict[str, Any] = {}
    exec(code, space)
    return space["value"], times


@pytest.fixture(autouse=True)
def _writes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "dont_write_bytecode", False)


def test_code_is_made_once_and_again_where_the_source_has_changed(tmp_path: Path) -> None:
    file = tmp_path / "kept.code"
    assert [compiled(file), compiled(file)] == [(42, 1), (42, 0)]
    assert [compiled(file, b"value = 1\n"), compiled(file, b"value = 1\n"), compiled(file)] == [(1, 1), (1, 0), (42, 1)]
    assert [found.name for found in tmp_path.iterdir()] == ["kept.code"]


def test_a_damaged_file_only_costs_time(tmp_path: Path) -> None:
    file = tmp_path / "kept.code"
    compiled(file)
    whole = file.read_bytes()
    for place in range(len(whole)):
        for damaged in (whole[:place], whole[:place] + bytes([whole[place] ^ 1]) + whole[place + 1 :]):
            file.write_bytes(damaged)
            assert compiled(file) == (42, 1)
            assert file.read_bytes() == whole


def test_what_could_not_be_written_whole_is_taken_away(tmp_path: Path) -> None:
    (tmp_path / "kept.code").mkdir()
    assert compiled(tmp_path / "kept.code") == (42, 1)
    assert [found.name for found in tmp_path.iterdir()] == ["kept.code"]


def test_where_nothing_can_be_written_all_goes_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").touch()
    assert [compiled(tmp_path / "file" / "kept.code") for _ in range(2)] == [(42, 1)] * 2
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    assert [compiled(tmp_path / "kept.code") for _ in range(2)] == [(42, 1)] * 2
    assert not (tmp_path / "kept.code").exists()


def test_what_is_compiled_has_the_features_of_the_module_that_asks(tmp_path: Path) -> None:
    asking = 'code = compile(b"def f(x: int) -> str: ...", "some.py", "exec")'
    for features, kept_as in (("from __future__ import annotations\n", "str"), ("", str)) * 2:
        asked, made = compile(features + asking, "asking.py", "exec", dont_inherit=True), {}  # type: Any, dict[str, Any]
        with kept_code(tmp_path / "kept.code"):
            exec(asked, made)
        exec(made["code"], made)
        assert made["f"].__annotations__["return"] == kept_as


def enums(place: Any, depth: int = 2) -> Iterator[Any]:
    """All enums in a module of Qt, those within classes too."""
    for found in [getattr(place, name) for name in dir(place) if not name.startswith("_")]:  # classes are made when asked for
        if isinstance(found, enum.EnumType):
            yield found
        elif isinstance(found, type) and depth:
            yield from enums(found, depth - 1)


def told(made: Any) -> dict[str, Any]:
    """All that an enum does."""
    members, numbers = made.__members__, (0, 1, 3, 1 << 20, 1 << 31, -1, 99_999)
    some = list(members.values())[:6]
    return {
        "members": [(name, m.name, m.value, type(m.value), repr(m), str(m), f"{m}", hash(m)) for name, m in members.items()],
        "inside": [sorted((name, str(value)) for name, value in vars(m).items()) for m in some],
        "goes through": [m.name for m in made],
        "by number": [outcome(lambda n=n: made(n)) for n in (*made._value2member_map_, *numbers)],
        "together": [outcome(lambda a=a, b=b: (a | b, a & b, a ^ b, b in a)) for a in some for b in some],
        "not": [outcome(lambda m=m: ~m) for m in some],
        "compared": [(a == b, outcome(lambda a=a, b=b: a < b), a == b.value) for a in some for b in some],
        "looked up": [getattr(made, name) is m for name, m in members.items()],
        "of itself": {n: str(v) for n, v in vars(made).items() if n not in {"__module__", *members} and not callable(v)},
        "names": sorted(set(vars(made)) - {"__reduce_ex__"}),  # which stands in a class that no module owns
        "kind": made.__mro__[1:],
    }


def outcome(what: Any) -> str:
    """What comes of it, in words: one enum's members are not another's."""
    try:
        return repr(what())
    except (ValueError, TypeError) as trouble:
        return f"{type(trouble).__name__} {trouble}"


@pytest.mark.parametrize("place", some(PLACES, 2))
def test_an_enum_made_the_quick_way_is_the_same(place: Any) -> None:
    slow: Any = enum.EnumType._create_  # type: ignore[attr-defined]
    seen = 0
    for found in enums(place):
        kind, names = found.__mro__[1], [(name, member.value) for name, member in found.__members__.items()]
        given = {"module": None, "qualname": None, "type": None, "start": 1, "boundary": enum.FlagBoundary.KEEP}
        assert told(enum_of_names(kind, found.__name__, names, **given)) == told(slow(kind, found.__name__, names, **given))
        seen += len(names)
    assert seen > {"QtCore": 2000, "QtGui": 1000, "QtWidgets": 1000}.get(place.__name__.partition(".")[2], 10)


def test_the_quick_way_takes_what_python_gives_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(enum.EnumType, "_create_", enum_of_names)
    kinds: dict[str, Any] = {"Enum": enum.Enum, "Flag": enum.Flag, "IntEnum": enum.IntEnum, "IntFlag": enum.IntFlag}
    for kind in kinds.values():
        made = kind("Made", [("A", 1), ("B", 2)], boundary=enum.FlagBoundary.KEEP)
        assert ([(m.name, m.value) for m in made], made.__module__) == ([("A", 1), ("B", 2)], __name__)
    other: Any = enum.Enum
    assert [m.value for m in other("Words", "A B")] == [1, 2]


@pytest.mark.parametrize("sample", ["raises", "wrong"])
def test_where_the_quick_way_is_not_right_it_is_not_taken(monkeypatch: pytest.MonkeyPatch, sample: str) -> None:
    def other(*given: Any, **named: Any) -> Any:
        if sample == "raises":
            raise TypeError
        return lambda made: enum.IntFlag

    slow = enum.EnumType._create_  # type: ignore[attr-defined]
    monkeypatch.setattr(faster_start, "_simple", other)
    faster_start._make_enums_quickly()
    assert enum.EnumType._create_ is slow  # type: ignore[attr-defined]


def test_an_enum_of_another_form_is_made_as_ever() -> None:
    given = {"module": "here", "qualname": None, "type": None, "start": 1}
    assert [m.value for m in enum_of_names(enum.Enum, "Words", "A B", **given)] == [1, 2]
    assert [m.value for m in enum_of_names(enum.StrEnum, "Pairs", [("A", "a")], **given)] == ["a"]
    with pytest.raises(ValueError, match="sunder"):
        enum_of_names(enum.Enum, "Reserved", [("_a_", 1)], **given | {"module": None})


def test_a_library_is_missing_only_for_a_while_and_only_where_none_has_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(sys.modules, "this", raising=False)
    with missing("this"), pytest.raises(ModuleNotFoundError):
        import_module("this")
    assert "this" not in sys.modules
    with missing("json"):
        assert import_module("json") is sys.modules["json"]


_WITH_TIME = """
import builtins, enum, gc, sys
slow = enum.EnumType._create_
from workbook.app.faster_start import have_time, start_faster
start_faster()
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame
assert enum.EnumType._create_ is not slow and not gc.isenabled()
assert (Qt.AlignmentFlag.__module__, Qt.AlignmentFlag.__qualname__) == ("PySide6.QtCore", "Qt.AlignmentFlag")
have_time()
assert enum.EnumType._create_ is slow
import msgspec, typing_extensions
assert typing_extensions.TypedDict and msgspec.json.decode(b"[1, 2]", type=tuple[int, ...]) == (1, 2)
print(builtins.compile.__module__, int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop))
"""


def test_with_time_all_is_as_ever_again(tmp_path: Path) -> None:
    env = {**os.environ, "XDG_CACHE_HOME": str(tmp_path), "LOCALAPPDATA": str(tmp_path), "HOME": str(tmp_path)}
    env.pop("PYTHONDONTWRITEBYTECODE", None)
    kept = []
    for _ in range(2):  # with no code kept, and with it
        run = subprocess.run([sys.executable, "-c", _WITH_TIME], env=env, capture_output=True, text=True, check=True)
        assert run.stdout.split() == ["builtins", "33"]
        kept.append([(file, file.stat().st_mtime_ns) for file in tmp_path.rglob("*.code")])
    assert kept[0] and kept[0] == kept[1]
