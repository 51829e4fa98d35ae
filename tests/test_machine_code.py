"""Machine code of the search lies apart for every program it may be of."""

import os

import pytest

from workbook import machine_code
from workbook.nesting.engine import kernel
from workbook.paths import own_cache


@pytest.fixture
def cache(tmp_path, monkeypatch):
    monkeypatch.setattr("workbook.paths.user_cache", lambda: tmp_path)
    return own_cache("kernels")


def test_another_program_has_another_folder(cache, monkeypatch):
    own = machine_code.folder()
    assert own.parent == cache
    assert own.name == machine_code.fingerprint()[:16]
    monkeypatch.setattr(machine_code, "fingerprint", lambda: "f" * 64)  # as where a class of the engine is called otherwise
    assert machine_code.folder() == cache / ("f" * 16)


def test_kernels_are_kept_in_the_folder_of_this_program():
    if kernel._KEPT is not None:
        assert kernel._KEPT.name == machine_code.fingerprint()[:16]


def test_old_machine_code_goes_and_the_latest_stays(cache):
    for age, name in enumerate(("newest", "newer", "new", "old", "older", "oldest")):
        folder = cache / name
        folder.mkdir()
        (folder / "code.nbc").write_bytes(b"code")
        os.utime(folder, (1e9 - age, 1e9 - age))
    for name in ("engine.nbi", "engine.1.nbc", "separation-0123456789abcdef.ready", "compiling.lock"):
        (cache / name).write_bytes(b"of a program that kept all in one folder")
    machine_code.forget_old()
    assert sorted(path.name for path in cache.iterdir()) == ["compiling.lock", "new", "newer", "newest", "old"]


def test_without_a_place_nothing_is_forgotten(monkeypatch):
    monkeypatch.setattr(machine_code, "own_cache", lambda *parts: None)
    machine_code.forget_old()
    assert machine_code.folder() is None
