"""Sessions changed at random, as damage or malice may change them: gone on with, or refused in words and kept."""

import random
import sqlite3
import time

import pytest

from tests.counts import tries
from tests.mutation import mutated
from tests.storage.conftest import setting
from tests.storage.test_hostile import PIECES, a_body
from workbook.document.document import Document
from workbook.storage.opening import begin, recover
from workbook.storage.trouble import StorageTrouble
from workbook.storage.unsaved import UnsavedSession, look_over

COUNT = tries(120, 10_000)
TEXTS = (("record", "id"), ("record", "value"), ("step", "action"), ("step", "at"), ("step", "changes"), ("note", "value"))


@pytest.fixture(scope="module")
def left(tmp_path_factory):
    """A session with a few steps, as it lies on the disk."""
    session = begin(tmp_path_factory.mktemp("left"), a_body())
    for number in range(4):
        session.edit(setting(session.document, number, number + 1), "2026-11-27T10:00")
    file = session.file
    session.undo()
    session.close()
    at = sqlite3.connect(file)
    with at:
        notes = [("path", "/nowhere/shop.shopbook"), ("pending", f"{'a' * 64} 3 /nowhere/shop.shopbook"), ("base", "a" * 64)]
        at.executemany("INSERT OR REPLACE INTO note VALUES(?,?)", notes)
    at.close()
    return file.read_bytes()


def check_gone_on_with_or_refused(file):
    """Looked at, gone on with, worked on and undone; or refused in words, and then it is still there as it was."""
    data, began = file.read_bytes(), time.monotonic()
    found = look_over(file.parent)  # one in which nothing was begun is taken away
    assert len(found) == (1 if file.exists() else 0)
    if not found:
        return False
    if isinstance(found[0], UnsavedSession):
        try:
            session = recover(file)
        except StorageTrouble as trouble:
            assert str(trouble)
        else:
            assert isinstance(session.document, Document)
            work_on(session)
            return True
    else:
        assert found[0].why
    assert file.read_bytes() == data
    assert time.monotonic() - began < 10
    return False


def work_on(session):
    """An edit, then back as far as it goes: what cannot be undone is refused in words."""
    try:
        session.edit(setting(session.document, 9, 1), "2026-11-27T10:00")
        while session.undo():
            pass
    except StorageTrouble as trouble:
        assert str(trouble)
    finally:
        session.close()


def test_no_damage_to_a_sessions_bytes_does_harm(left, tmp_path):
    chance, went_on = random.Random(11), 0
    for n in range(COUNT):
        folder = tmp_path / str(n % 10) / "sessions"
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        file = folder / f"{n:032x}.session"
        file.write_bytes(mutated(left, chance, PIECES))
        went_on += check_gone_on_with_or_refused(file)
        for other in folder.iterdir():
            other.unlink()
    assert 0 < went_on < COUNT


def test_no_words_put_into_a_session_do_harm(left, tmp_path):
    chance, went_on = random.Random(12), 0
    folder = tmp_path / "sessions"
    folder.mkdir(mode=0o700)
    for n in range(COUNT):
        file = folder / f"{n:032x}.session"
        file.write_bytes(left)
        put_in(file, chance)
        went_on += check_gone_on_with_or_refused(file)
        for other in folder.iterdir():
            other.unlink()
    assert 0 < went_on < COUNT


def put_in(file, chance):
    """Changes one text of one row."""
    table, column = chance.choice(TEXTS)
    at = sqlite3.connect(file)
    at.text_factory = bytes
    with at:
        (text,) = chance.choice(at.execute(f"SELECT {column} FROM {table} WHERE length({column}) > 0").fetchall())
        changed = mutated(text, chance, PIECES).decode("utf-8", "replace")
        at.execute(f"UPDATE OR REPLACE {table} SET {column} = ? WHERE {column} = ?", (changed, text.decode()))
    at.close()
